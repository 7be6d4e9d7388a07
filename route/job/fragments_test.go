package job_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling/stack"
)

// A piece in a hole or channel is in the way of what comes after, of that alone, and
// only where it is reached.
func TestFragmentsInTheWayOfLaterPasses(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	require.Empty(t, p.DrillFragments(p.Drill[0]), "no rest")
	require.Empty(t, p.RoutFragments(p.Rout[0]), "no rest")

	rest, err := drill.Resume(context.Background(), p.Job.Drill, p.Drill[0], drill.Stop{Run: 1, Last: 1, Fragments: []int{1}}, drill.Options{})
	require.NoError(t, err)
	require.Empty(t, p.DrillFragments(rest), "nothing comes near that hole")
	again := rest // as if its other holes were to be made in the place of the piece
	again.SetUp.Number = 0
	far := p
	far.Drill = []drill.Pass{p.Drill[0]}
	found := far.DrillFragments(again)
	require.Len(t, found, 1, "the whole pass, run later, hits the hole")
	require.Equal(t, "meets-fragment", found[0].Rule)
	require.Contains(t, found[0].Detail, "hit 1 of run 1 of pass plated comes")

	out := p.Rout[0]
	out.Name, out.SetUp.Number = "plated-rout", 1
	line := p.Rout[0].Runs[0].Paths[0]
	out.Rest = &route.Rest{LeftOut: []route.LeftOut{{Diameter: 1, Path: line, Why: route.Fragment}}}
	found = p.RoutFragments(out)
	require.Len(t, found, 1)
	require.Contains(t, found[0].Detail, "of run 1 of pass rout come")
	require.Contains(t, found[0].Detail, "channel at X")
	out.Rest.LeftOut[0].Why = route.Beside
	require.Empty(t, p.RoutFragments(out), "no piece is in that channel")
	out.Rest.LeftOut[0].Why, out.Name = route.Fragment, p.Rout[0].Name
	out.SetUp = stack.SetUp{Number: 9}
	require.Empty(t, p.RoutFragments(out), "nothing is later")
}
