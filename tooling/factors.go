package tooling

import "fmt"

// LifeFactors shorten the life of a table for what its rows do not say. The
// zero value shortens nothing, and a repointed bit lasts as long as a new one.
type LifeFactors struct {
	Materials []MaterialFactor `json:"materials,omitempty"`
	Copper    []Threshold      `json:"copper,omitempty"`         // From in um of the thickest layer
	Layers    []Threshold      `json:"layers,omitempty"`         // From in copper layers
	Repoint   float64          `json:"repoint_factor,omitempty"` // life after a repoint / life before it; 0: 1
}

// MaterialFactor gives a material without rows of its own the rows of another
// one, times a factor.
type MaterialFactor struct {
	Material string  `json:"material"`
	Like     string  `json:"like"`   // a material with rows
	Factor   float64 `json:"factor"` // 0 < factor <= 1
}

// Threshold is a factor that holds from a value on, until the next one.
type Threshold struct {
	From   float64 `json:"from"`
	Factor float64 `json:"factor"` // 0 < factor <= 1
}

// Laminate is what a panel is made of, as far as tool life cares.
type Laminate struct {
	Material string  `json:"material"`
	Copper   float64 `json:"copper_um,omitempty"` // um of the thickest layer; 0: not told, ordinary
	Layers   int     `json:"layers,omitempty"`    // copper layers; 0: not told, ordinary
}

// DefaultLifeFactors returns the usual ones, from memory: half the life in
// heavy copper (105 um, 3 oz/ft2, and more) or in more than 10 layers, and
// 15 % off for each repoint. For filled and high-Tg laminates 0.7 is the usual
// [MaterialFactor]; the shop names the material.
func DefaultLifeFactors() LifeFactors {
	return LifeFactors{
		Copper: []Threshold{{From: 105, Factor: 0.5}}, Layers: []Threshold{{From: 11, Factor: 0.5}}, Repoint: 0.85,
	}
}

// Lives returns the life of a tool at a drilled depth in mm, new and after
// each of its repoints, in hits or millimetres of path rounded down. Copper
// and layers do not multiply: the harder of the two counts [assumption].
// A repoint that leaves less than one hit ends the list. Errors as for
// [LifeTable.At].
func (t LifeTable) Lives(l Laminate, tool Tool, depth float64) ([]float64, error) {
	factor := min(pick(t.Factors.Copper, l.Copper), pick(t.Factors.Layers, float64(l.Layers)))
	var lives []float64
	for k := 0; k <= min(tool.Repoints, maxRepoints); k++ {
		life, err := t.life(l.Material, tool.Kind, tool.Diameter, depth, factor)
		switch {
		case err != nil && k == 0:
			return nil, err
		case err != nil:
			return lives, nil
		}
		lives = append(lives, life)
		if t.Factors.Repoint != 0 {
			factor *= t.Factors.Repoint
		}
	}
	return lives, nil
}

// pick returns the factor of the highest threshold reached; 1 below them all.
func pick(list []Threshold, x float64) float64 {
	best := Threshold{Factor: 1}
	for _, t := range list {
		if t.From <= x && t.From >= best.From {
			best = t
		}
	}
	return best.Factor
}

// like returns the material whose rows stand for the one asked for.
func (t LifeTable) like(material string, kind ToolKind) (string, float64) {
	if len(t.Factors.Materials) == 0 || t.has(material, t.kind(material, kind)) {
		return material, 1
	}
	for _, m := range t.Factors.Materials {
		if m.Material == material {
			return m.Like, m.Factor
		}
	}
	return material, 1
}

func (f LifeFactors) validate(v *Validation, path string) {
	seen := make(map[string]int, len(f.Materials))
	for i, m := range f.Materials {
		p := index(path+".materials", i)
		if m.Material == "" || m.Like == "" {
			v.Add(p, ErrMissing, "no material or no like", "both names")
		}
		v.Within(p+".factor", m.Factor, 0.01, 1, "")
		if first, ok := seen[m.Material]; ok {
			v.Add(p+".material", ErrDuplicate, quote(m.Material), fmt.Sprintf("one factor; materials[%d] has it", first))
			continue
		}
		seen[m.Material] = i
	}
	thresholds(v, path+".copper", f.Copper)
	thresholds(v, path+".layers", f.Layers)
	if f.Repoint != 0 {
		v.Within(path+".repoint_factor", f.Repoint, 0.1, 1, "")
	}
}

// thresholds wants rising places and falling factors: heavier copper never
// means more life.
func thresholds(v *Validation, path string, list []Threshold) {
	for i, t := range list {
		p := index(path, i)
		v.Within(p+".from", t.From, 1, 100_000, "")
		v.Within(p+".factor", t.Factor, 0.01, 1, "")
		if i == 0 {
			continue
		}
		switch before := list[i-1]; {
		case t.From == before.From:
			v.Add(p+".from", ErrDuplicate, number(t.From), "a value not given before")
		case t.From < before.From, t.Factor > before.Factor:
			v.Add(p, ErrConflict, fmt.Sprintf("%s from %s", number(t.Factor), number(t.From)),
				fmt.Sprintf("a higher value and no more life than %s from %s", number(before.Factor), number(before.From)))
		}
	}
}
