package job_test

import (
	"go/ast"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// searching are the entry points that may run long: they look for the best of
// very many, or do the work of a whole job. Each takes a context. Beside it
// stands how a caller hears of the progress.
var searching = map[string]string{
	"drill.Plan":                    "Options.Progress after each run",
	"drill.Resume":                  "Options.Progress after each run",
	"drill/tour.Solve":              "Options.Progress after each share of the kicks",
	"route.Plan":                    "Options.Progress after each run",
	"route.Resume":                  "none: the order stays, rapids alone are led anew",
	"route.Layout.Entries":          "none: one look at each loop",
	"route/array.Best":              "none: a panel's arrays are some hundreds, most of them never priced",
	"route/array.Prepare":           "none: plans one board",
	"route/array.Solve":             "calls accept with each array that is tried",
	"route/array.Prepared.Try":      "none: lays one panel",
	"route/job.Make":                "Options.Drill.Progress and Options.Route.Progress",
	"route/job.Plan.For":            "none: heights alone are chosen anew",
	"route/job.Plan.Programs":       "WriteOptions.Progress after each pass",
	"route/job.Plan.Write":          "WriteOptions.Progress after each pass",
	"tooling.Spent.Tell":            "hands the context to the log",
	"tooling/machine/calibrate.Fit": "none: a few dozen steps over the log's rows",
	"tooling/stack.Solve":           "none: milliseconds for a lot in whole set-ups, seconds with tiers and a front",
}

// Each entry point that gives an error, findings or a sequence is looked at
// here once: either it is in the list above, or it goes through what it is given
// in one sweep, near linear in it, and may be called between two looks at a
// context. These were timed with the largest sample, 21,101 hits a load: none
// takes more than a quarter of a second.
var sweeping = map[string][]string{
	"drill": {
		"Agree", "Check", "CheckAs", "CheckTiers", "CheckTiersAs", "Distinct", "Inspect", "Read",
		"Pass.Adjust", "Pass.Estimate", "Pass.InMagazine", "Pass.Load", "Pass.Lot", "Pass.Mount", "Pass.Program", "Pass.Programs", "Pass.Repeats", "Pass.Steps",
	},
	"route": {
		"Agree", "Check", "CheckAs", "FitCutter", "Lay", "Read", "ReadOpen",
		"Pass.Adjust", "Pass.Estimate", "Pass.InMagazine", "Pass.Mount", "Pass.Program", "Pass.Programs", "Pass.Steps",
	},
	"route/array":               {"ScoredSides"},
	"route/artwork":             {"Layer.Profile", "Read"},
	"route/contour":             {"FitArcs", "Meetings", "Offset", "OffsetPath"},
	"route/job":                 {"File.Encode", "Load", "Plan.Adjust", "Plan.DrillFragments", "Plan.Framed", "Plan.RoutFragments"},
	"tooling":                   {"Crib.Choose", "FeedTable.At", "FitAffine", "FitSimilarity", "FitTaylor", "LifeTable.At", "LifeTable.Lives", "Rules.Feed", "StackRules.Drill", "StackRules.Rout", "Statistics.WriteTo"},
	"tooling/machine":           {"Loading.Take", "Machine.Timed"},
	"tooling/machine/calibrate": {"FromSteps"},
	"tooling/nc":                {"Build", "Compare", "Parse", "Program.Ops", "Program.Summary", "Program.WriteTo", "Scan", "Scanner.Ops", "Split"},
	"tooling/picture":           {"Scene.WriteFigure", "Scene.WriteSVG"},
}

// TestWhatMayRunLongTakesAContext holds both lists to the source: a new entry
// point must be put in one of them.
func TestWhatMayRunLongTakesAContext(t *testing.T) {
	with := map[string]bool{}
	without := map[string][]string{}
	for _, s := range surfaces(t) {
		for _, f := range s.funcs() {
			name := f.Name
			if f.Recv != "" {
				name = strings.TrimPrefix(f.Recv, "*") + "." + name
			}
			switch {
			case s.takesContext(f.Decl):
				with[s.name+"."+name] = true
			case !plain.MatchString(f.Name) && s.givesVerdict(f.Decl):
				without[s.name] = append(without[s.name], name)
			}
		}
		slices.Sort(without[s.name])
		if len(without[s.name]) == 0 {
			delete(without, s.name)
		}
	}
	if diff := cmp.Diff(slices.Sorted(maps.Keys(searching)), slices.Sorted(maps.Keys(with))); diff != "" {
		t.Errorf("entry points that take a context (-listed +in the source):\n%s", diff)
	}
	listed := map[string][]string{}
	for name, list := range sweeping {
		listed[name] = slices.Sorted(slices.Values(list))
	}
	if diff := cmp.Diff(listed, without); diff != "" {
		t.Errorf("entry points that take none (-listed +in the source): put a new one in a list, with a context if it may run long:\n%s", diff)
	}
}

// plain matches the names of functions that judge, read or write plain data.
var plain = regexp.MustCompile(`^(Validate.*|Decode.*|Load[A-Z].*|Err|Error|Unwrap|MarshalJSON|UnmarshalJSON)$`)

// givesVerdict tells whether a function gives an error, findings or a sequence.
func (s surface) givesVerdict(f *ast.FuncDecl) bool {
	if f.Type.Results == nil {
		return false
	}
	return slices.ContainsFunc(f.Type.Results.List, func(r *ast.Field) bool {
		text := s.text(r.Type)
		return text == "error" || strings.HasSuffix(text, "Report") || strings.HasPrefix(text, "iter.")
	})
}

// takesContext tells whether the first parameter is a context.
func (s surface) takesContext(f *ast.FuncDecl) bool {
	list := f.Type.Params.List
	return len(list) > 0 && s.text(list[0].Type) == "context.Context"
}
