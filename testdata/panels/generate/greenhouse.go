package main

import "math/rand/v2"

// greenhouse is a humidity and light sensor: terminals, a header, four probe
// sockets, a supply socket with slots, a membrane window cut out of the middle.
// Sizes are finished; walls are what the bits leave before plating.
func greenhouse() sample {
	b := board{width: 96, height: 80, cutOuts: [][4]float64{{40, 36, 60, 48}}}
	const via, socket, header, terminal = 1, 2, 3, 4
	const supply, shield = 5, 6
	const peg, mount, gland = 11, 12, 13
	b.grid(terminal, 1.45, 20, 8, 6, 1, 5.08, 0)
	b.grid(header, 1.05, 56, 12, 10, 2, 2.54, 2.54)
	for k := range 4 {
		b.grid(socket, 0.95, 14+18*float64(k), 66, 4, 1, 2, 0)
	}
	b.slot(supply, 1.15, 88, 30, 88, 32)
	b.slot(supply, 1.15, 82, 30, 82, 32)
	b.slot(supply, 1.15, 84, 26.5, 86, 26.5)
	b.slot(shield, 0.95, 10, 30, 10, 30.6)
	b.slot(shield, 0.95, 10, 39, 10, 39.6)
	b.grid(peg, 1.6, 72, 50, 2, 1, 8, 0)
	b.grid(mount, 3.2, 7, 7, 2, 2, 82, 66)
	b.hit(gland, 5, 22, 30)
	for row := range 4 { // a bus from the header to the sockets
		for k := range 12 {
			b.scatter(via, 0.4, 24+1.27*float64(k), 20+8*float64(row), 3, 0.6)
		}
	}
	rng := rand.New(rand.NewPCG(7, 1))
	for n := 0; n < 90; {
		if b.scatter(via, 0.4, 0.5*float64(rng.IntN(192)), 0.5*float64(rng.IntN(160)), 3, 0.6) {
			n++
		}
	}
	plated := drillFile([]string{
		"; greenhouse sensor, invented", "; #@! TF.FileFunction,Plated,1,2,PTH", "METRIC,TZ", "FMAT,2",
		"; #@! TA.AperFunction,Plated,PTH,ViaDrill", "T1C0.300",
		"; #@! TA.AperFunction,Plated,PTH,ComponentDrill", "T2C0.800", "T3C0.900", "T4C1.300", "T5C1.000", "T6C0.800", "; #@! TD",
	}, decimalMM, []int{via, socket, header, terminal, supply, shield}, b.holes)
	unplated := drillFile([]string{
		"; greenhouse sensor, invented", "METRIC,TZ", "FMAT,2", ";TYPE=NON_PLATED", "T11C1.600", "T12C3.200", "T13C5.000",
	}, decimalMM, []int{peg, mount, gland}, b.holes)
	return sample{"greenhouse-sensor", map[string]string{
		"job.json": greenhouseJob, "plated.drl": plated, "unplated.drl": unplated,
		"outline.rte": outlineFile("greenhouse sensor, invented", rounded{0, 0, 96, 80, 6}, rounded{40, 36, 60, 48, 3}),
	}}
}

const greenhouseJob = `{
  "schema": 1,
  "job": "greenhouse-sensor",
  "revision": "C",
  "note": "invented: a humidity and light sensor that was never built",
  "panels": 240,
  "panel": {
    "width_mm": 460,
    "height_mm": 306,
    "thickness_mm": 1.6,
    "material": "FR-4",
    "copper_um": 35,
    "layers": 2,
    "features": [
      {"role": "pin", "at_mm": [8, 143], "diameter_mm": 3.175, "set_up": 1},
      {"role": "pin", "at_mm": [448, 143], "diameter_mm": 3.175, "set_up": 1},
      {"role": "tooling", "at_mm": [8, 40], "diameter_mm": 3.2},
      {"role": "tooling", "at_mm": [448, 262], "diameter_mm": 3.2},
      {"role": "pin", "at_mm": [8, 40], "diameter_mm": 3.175, "set_up": 2},
      {"role": "pin", "at_mm": [448, 262], "diameter_mm": 3.175, "set_up": 2},
      {"role": "coupon", "at_mm": [230, 10], "diameter_mm": 0.9},
      {"role": "coupon", "at_mm": [233, 10], "diameter_mm": 0.9},
      {"role": "target", "at_mm": [230, 296], "diameter_mm": 3.2}
    ],
    "keep_outs": [
      {"name": "lower left clamp", "min_mm": [120, 0], "max_mm": [140, 5], "height_mm": 1.2},
      {"name": "lower right clamp", "min_mm": [320, 0], "max_mm": [340, 5], "height_mm": 1.2},
      {"name": "upper left clamp", "min_mm": [120, 301], "max_mm": [140, 306], "height_mm": 1.2},
      {"name": "upper right clamp", "min_mm": [320, 301], "max_mm": [340, 306], "height_mm": 1.2}
    ]
  },
  "boards": [
    {
      "name": "sensor",
      "drill": [
        {"file": "plated.drl", "sizes": "finished"},
        {"file": "unplated.drl", "sizes": "finished", "plating": "unplated"}
      ],
      "outline": "outline.rte"
    }
  ],
  "placements": [
    {"board": "sensor", "at_mm": [23, 23], "columns": 4, "rows": 3, "step_mm": [106, 90]}
  ],
  "machine": "ball screw",
  "machine_adjust": {"change_at_mm": [-60, 150]},
  "rules": {"rout": {"cutter_mm": 2.4}}
}
`
