package tooling

// Stage says whether work is done before or after the panel is plated.
type Stage string

// Holes whose walls carry copper are made before plating; the others after
// it, or they would be plated too.
const (
	BeforePlating Stage = "before_plating"
	AfterPlating  Stage = "after_plating"
)

// Operation is what a pass does.
type Operation string

// The operations of a pass.
const (
	Drilling Operation = "drill"
	Routing  Operation = "rout"
)
