package tooling

import "fmt"

// Depth says how deep a tool goes through a stack, in mm.
type Depth struct {
	IntoBackup float64 `json:"into_backup_mm"` // tip below the backup's upper face
	AboveTable float64 `json:"above_table_mm"` // backup left under the tip
	Stack      float64 `json:"stack_mm"`       // the panels alone: height x thickness
	Down       float64 `json:"down_mm"`        // from the entry's upper face to the lowest point of the tip
	Clearance  float64 `json:"clearance_mm"`   // tip over the entry while travelling
	Pecks      int     `json:"pecks"`          // infeeds a hit: 1, or 2 where the depth ratio asks for it
}

// The rules by which a stack is too deep for a tool, as an [*InputError] names
// them.
const (
	RuleFlute  = "flute"        // too short, with room for the chips
	RuleRatio  = "depth-ratio"  // drilled depth over diameter
	RuleBackup = "backup-floor" // too little backup left under the tip
)

// Travel returns the length in mm of the Z move from the clearance to the
// lowest point of the tip.
func (d Depth) Travel() float64 { return Snap(d.Clearance + d.Down) }

// Drill returns how deep a bit must go through a stack of height panels of
// the given thickness in mm, or why it cannot.
//
// Penetration is the point length plus the margin and at least MinDepth; the
// floor under the tip keeps BackupFloor of the backup; entry + n t +
// penetration must leave chip room in the flute; n t / D up to Ratio is one
// stroke, up to PeckRatio two, above that refused (common practice).
//
// Errors are [*InputError] wrapping [ErrDepth], with the Rule that refuses, or
// [ErrValue] for a stack that is none.
func (s StackRules) Drill(t Tool, height int, thickness float64) (Depth, error) {
	d, err := stackDepth(t, height, thickness)
	if err != nil {
		return Depth{}, err
	}
	d.IntoBackup = upToMicrometre(max(s.MinDepth, t.PointLength()+s.Margin))
	if err := s.finish(&d, t); err != nil {
		return Depth{}, err
	}
	if room := max(s.ChipRoom, t.Diameter); Nanometres(d.Down) > Nanometres(t.Flute-room) {
		return Depth{}, tooDeep(RuleFlute, t, height, fmt.Sprintf("%.2f mm down", d.Down),
			fmt.Sprintf("at most the flute of %.2f mm less %.2f mm for chips", t.Flute, room))
	}
	switch ratio := d.Stack / t.Diameter; {
	case ratio <= s.Ratio+ratioSlack:
	case ratio <= s.PeckRatio+ratioSlack:
		d.Pecks = 2
	default:
		return Depth{}, tooDeep(RuleRatio, t, height, fmt.Sprintf("depth %.1f diameters", ratio),
			fmt.Sprintf("at most %g in one stroke, %g pecked", s.Ratio, max(s.Ratio, s.PeckRatio)))
	}
	return d, nil
}

// Rout returns how deep a cutter must go through a stack, or why it cannot:
// its flute must cover entry + n t + rout depth + 0.5 mm.
//
// Errors are [*InputError] wrapping [ErrDepth], with the Rule that refuses, or
// [ErrValue] for a stack that is none.
func (s StackRules) Rout(t Tool, r RoutRules, height int, thickness float64) (Depth, error) {
	d, err := stackDepth(t, height, thickness)
	if err != nil {
		return Depth{}, err
	}
	d.IntoBackup = Snap(r.Depth)
	if err := s.finish(&d, t); err != nil {
		return Depth{}, err
	}
	if Nanometres(d.Down+cutterSpare) > Nanometres(t.Flute) {
		return Depth{}, tooDeep(RuleFlute, t, height, fmt.Sprintf("%.2f mm down", d.Down),
			fmt.Sprintf("at most the flute of %.2f mm less %.1f mm", t.Flute, cutterSpare))
	}
	return d, nil
}

// ratioSlack forgives the rounding of a quotient: 4.8/0.4 is 12, not more.
const ratioSlack = 1e-9

// stackDepth begins a depth with the panels alone.
func stackDepth(t Tool, height int, thickness float64) (Depth, error) {
	if stack := float64(height) * thickness; height >= 1 && thickness > 0 && stack <= MaxLength {
		return Depth{Stack: Snap(stack), Pecks: 1}, nil
	}
	return Depth{}, &InputError{
		Source: Source{Tool: t.ID}, Err: ErrValue, Found: fmt.Sprintf("%d panels of %g mm", height, thickness),
		Expected: "at least one panel, and a stack of at most 10 m",
	}
}

// upToMicrometre rounds a depth up to the 1 um grid on which programs are
// written: written depths are the planned ones, and never too shallow.
func upToMicrometre(mm float64) float64 {
	return float64((Nanometres(mm)+999)/1000) / 1000
}

// cutterSpare is the flute in mm that a cutter keeps above the entry.
const cutterSpare = 0.5

func (s StackRules) finish(d *Depth, t Tool) error {
	d.AboveTable = Snap(s.Backup - d.IntoBackup)
	d.Clearance = s.Clearance
	d.Down = Snap(s.Entry + d.Stack + d.IntoBackup)
	if Nanometres(d.AboveTable) < Nanometres(s.BackupFloor) {
		return tooDeep(RuleBackup, t, 0, fmt.Sprintf("%.2f mm into a backup of %.2f mm", d.IntoBackup, s.Backup),
			fmt.Sprintf("%.2f mm left under the tip", s.BackupFloor))
	}
	return nil
}

func tooDeep(rule string, t Tool, height int, found, expected string) error {
	if height > 0 {
		found = fmt.Sprintf("%s at %d high", found, height)
	}
	return &InputError{Source: Source{Tool: t.ID}, Found: found, Expected: expected, Err: ErrDepth, Rule: rule}
}
