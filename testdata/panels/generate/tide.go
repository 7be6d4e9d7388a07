package main

import "math/rand/v2"

// tideLogger is a dense logger: a ball grid, a field of stitching vias, half
// holes along one routed end by which it is soldered to its carrier. Sizes
// are drilled ones.
func tideLogger() sample {
	b := board{width: 120, height: 60}
	const ball, stitch, header, half = 1, 2, 3, 4
	const mount, gauge = 1, 2
	b.grid(ball, 0.25, 40, 24, 16, 16, 0.8, 0.8)
	b.grid(header, 1.05, 88, 10, 8, 2, 2.54, 2.54)
	b.grid(half, 0.8, 0, 15, 1, 16, 0, 2)
	plated := len(b.holes)
	b.grid(mount, 3.2, 6, 6, 2, 2, 108, 48)
	b.slot(gauge, 2, 98, 44, 102, 44)
	b.slot(gauge, 2, 98, 34, 102, 34)
	unplated := len(b.holes)
	rng := rand.New(rand.NewPCG(7, 2))
	for c := range 56 {
		for r := range 27 {
			x, y := 3+2.1*float64(c)+0.1*float64(rng.IntN(6)), 3+2.1*float64(r)+0.1*float64(rng.IntN(6))
			b.scatter(stitch, 0.3, x, y, 2, 0.6)
		}
	}
	pth := append(append([]hole{}, b.holes[:plated]...), b.holes[unplated:]...)
	return sample{"tide-logger", map[string]string{
		"job.json": tideJob,
		"plated.drl": drillFile([]string{
			"; tide logger, invented", ";TYPE=PLATED", "METRIC,LZ,000.000", "T1C0.250", "T2C0.300", "T3C1.050", "T4C0.800",
		}, wholeMM, []int{ball, stitch, header, half}, pth),
		"unplated.drl": drillFile([]string{
			"; tide logger, invented", ";TYPE=NON_PLATED", "METRIC,LZ,000.000", "T1C3.200", "T2C2.000",
		}, wholeMM, []int{mount, gauge}, b.holes[plated:unplated]),
		"outline.rte": outlineFile("tide logger, invented", rounded{0, 0, 120, 60, 0}),
	}}
}

const tideJob = `{
  "schema": 1,
  "job": "tide-logger",
  "revision": "A",
  "note": "invented: a tide gauge's logger that was never built",
  "panels": 60,
  "panel": {
    "width_mm": 300,
    "height_mm": 230,
    "thickness_mm": 1.0,
    "material": "FR-4",
    "copper_um": 18,
    "layers": 4,
    "features": [
      {"role": "pin", "at_mm": [10, 108], "diameter_mm": 3.175, "set_up": 1},
      {"role": "pin", "at_mm": [284, 108], "diameter_mm": 3.175, "set_up": 1},
      {"role": "tooling", "at_mm": [10, 50], "diameter_mm": 3.2},
      {"role": "tooling", "at_mm": [284, 182], "diameter_mm": 3.2},
      {"role": "pin", "at_mm": [10, 50], "diameter_mm": 3.175, "set_up": 2},
      {"role": "pin", "at_mm": [284, 182], "diameter_mm": 3.175, "set_up": 2},
      {"role": "coupon", "at_mm": [150, 12], "diameter_mm": 0.9}
    ],
    "keep_outs": [
      {"name": "lower clamp", "min_mm": [90, 0], "max_mm": [110, 6], "height_mm": 1.2},
      {"name": "upper clamp", "min_mm": [190, 224], "max_mm": [210, 230], "height_mm": 1.2}
    ],
    "scores": [
      [[0, 25], [300, 25]],
      [[0, 85], [300, 85]],
      [[0, 145], [300, 145]],
      [[0, 205], [300, 205]]
    ]
  },
  "boards": [
    {
      "name": "logger",
      "drill": [
        {
          "file": "plated.drl",
          "sizes": "drilled",
          "class": "via",
          "tools": [
            {"tool": 3, "class": "component"},
            {"tool": 4, "class": "component", "half": true}
          ]
        },
        {"file": "unplated.drl", "sizes": "finished"}
      ],
      "outline": "outline.rte"
    }
  ],
  "placements": [
    {"board": "logger", "at_mm": [28.8, 25], "columns": 2, "rows": 3, "step_mm": [122.4, 60]}
  ],
  "machine": "linear motor",
  "machine_adjust": {"change_at_mm": [150, -50]},
  "rules": {"rout": {"cutter_mm": 2.4}}
}
`
