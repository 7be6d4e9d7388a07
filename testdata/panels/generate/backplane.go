package main

import "slices"

// backplane carries fourteen pump controllers: fields of press-fit holes, a
// row of supply pins, vias between the slots. Its file is untidy, as files
// are: hits twice, two tools of one diameter, a tool without hits, inches
// without decimal points.
func backplane() sample {
	b := board{width: 400, height: 300}
	const signal, via, supply, again = 1, 2, 3, 4
	const peg, mount = 1, 2
	for slot := range 14 {
		x := 24 + 25.4*float64(slot)
		for k := range 5 {
			tool := signal
			if k == 3 {
				tool = again
			}
			b.grid(tool, 0.6, x, 14+54*float64(k), 10, 29, 1.5, 1.8)
		}
		b.grid(supply, 1.15, x, 290, 4, 1, 3, 0)
		b.grid(via, 0.5, x+19, 20, 1, 44, 0, 6)
	}
	plated := len(b.holes)
	for slot := range 14 {
		x := 24 + 25.4*float64(slot)
		b.grid(peg, 2.4, x+6.75, 8.5, 1, 1, 0, 0)
	}
	b.grid(mount, 4.3, 7, 7, 2, 2, 386, 286)
	pth := slices.Clone(b.holes[:plated])
	for n := 0; n < plated; n += 211 { // the same hits once more, at the end of their tool
		pth = append(pth, b.holes[n])
	}
	for n := 500; n < plated; n += 1999 { // and some with the other tool of the size
		if h := b.holes[n]; h.tool == signal {
			h.tool = again
			pth = append(pth, h)
		}
	}
	return sample{"pump-backplane", map[string]string{
		"job.json": backplaneJob,
		"plated.drl": drillFile([]string{
			"; pump backplane, invented", ";FILE_FORMAT=2:4", "INCH,TZ", "T1C0.0181", "T2C0.0157", "T3C0.0402", "T4C0.0181", "T5C0.0394",
		}, wholeInch, []int{signal, via, supply, again}, pth),
		"unplated.drl": drillFile([]string{
			"; pump backplane, invented", "INCH,TZ", "T1C0.0945", "T2C0.1693",
		}, wholeInch, []int{peg, mount}, b.holes[plated:]),
		"outline.rte": outlineFile("pump backplane, invented", rounded{0, 0, 400, 300, 3}),
	}}
}

const backplaneJob = `{
  "schema": 1,
  "job": "pump-backplane",
  "revision": "B",
  "note": "invented: a backplane for pump controllers that was never built; its drill files are untidy on purpose",
  "panels": 9,
  "panel": {
    "width_mm": 457.2,
    "height_mm": 355.6,
    "thickness_mm": 3.2,
    "material": "FR-4",
    "copper_um": 35,
    "layers": 8,
    "features": [
      {"role": "pin", "at_mm": [12, 170], "diameter_mm": 3.175, "set_up": 1},
      {"role": "pin", "at_mm": [440, 170], "diameter_mm": 3.175, "set_up": 1},
      {"role": "tooling", "at_mm": [12, 50], "diameter_mm": 3.2},
      {"role": "tooling", "at_mm": [440, 300], "diameter_mm": 3.2},
      {"role": "pin", "at_mm": [12, 50], "diameter_mm": 3.175, "set_up": 2},
      {"role": "pin", "at_mm": [440, 300], "diameter_mm": 3.175, "set_up": 2}
    ],
    "keep_outs": [
      {"name": "lower clamp", "min_mm": [210, 0], "max_mm": [240, 8], "height_mm": 1.2},
      {"name": "upper clamp", "min_mm": [210, 347.6], "max_mm": [240, 355.6], "height_mm": 1.2}
    ]
  },
  "boards": [
    {
      "name": "backplane",
      "drill": [
        {
          "file": "plated.drl",
          "sizes": "finished",
          "plating": "plated",
          "class": "press-fit",
          "tools": [{"tool": 2, "class": "via"}]
        },
        {"file": "unplated.drl", "sizes": "finished", "plating": "unplated", "digits": [2, 4]}
      ],
      "outline": "outline.rte"
    }
  ],
  "placements": [
    {"board": "backplane", "at_mm": [28.6, 27.8]}
  ],
  "machine": "older",
  "machine_adjust": {"change_at_mm": [-80, -30]},
  "rules": {"rout": {"cutter_mm": 2.4}}
}
`
