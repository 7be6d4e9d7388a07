package job_test

import (
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const module = "example.org/pinstack/"

// house lists the library's packages, ground floor first: a package imports
// only packages that stand above it here.
var house = []string{
	"tooling", "tooling/nc", "tooling/picture", "tooling/machine", "tooling/machine/calibrate", "tooling/stack",
	"drill/tour", "drill", "route/contour", "route/artwork", "route", "route/array", "route/job",
}

// leaves import nothing of the module.
var leaves = []string{"tooling", "tooling/nc", "tooling/picture", "route/contour"}

func list(t *testing.T, arguments ...string) []string {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list"}, arguments...)...)
	cmd.Dir = "../.."
	out, err := cmd.Output()
	require.NoError(t, err)
	return strings.Split(strings.TrimSpace(string(out)), "\n")
}

// place is where a package of the module stands in the house; -1: not in it.
// Internal packages belong to the wing they are in.
func place(path string) int {
	name, _, _ := strings.Cut(strings.TrimPrefix(path, module), "/internal")
	return slices.Index(house, name)
}

func TestImportsRunOneWay(t *testing.T) {
	packages := list(t, "-f", `{{.ImportPath}} {{join .Imports " "}}`, "./...")
	require.NotEmpty(t, packages)
	for _, line := range packages {
		fields := strings.Fields(line)
		own := fields[0]
		if strings.HasPrefix(own, module+"examples") {
			continue
		}
		if place(own) < 0 {
			t.Errorf("%s stands nowhere in the house", own)
			continue
		}
		for _, dep := range fields[1:] {
			if !strings.HasPrefix(dep, module) {
				continue
			}
			if p := place(dep); p < 0 || p > place(own) {
				t.Errorf("%s imports %s, which does not stand above it", own, dep)
			}
			if slices.Contains(leaves, strings.TrimPrefix(own, module)) && !strings.HasPrefix(dep, own+"/internal") {
				t.Errorf("%s is a leaf and imports %s", own, dep)
			}
		}
	}
}

// The main job must stay light: no optimiser, no plotter, no calibration.
func TestPanelStaysLight(t *testing.T) {
	for _, dep := range list(t, "-deps", "./examples/panel") {
		for _, heavy := range []string{"gonum.org/v1/gonum/optimize", "gonum.org/v1/plot", module + "tooling/machine/calibrate"} {
			if dep == heavy || strings.HasPrefix(dep, heavy+"/") {
				t.Errorf("examples/panel pulls in %s", dep)
			}
		}
	}
}
