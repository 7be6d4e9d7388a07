package stack_test

import (
	"context"
	"encoding/json"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

func TestSameInputSameBytes(t *testing.T) {
	solvable(t, 16, 30, anyOptions, func(_ uint64, p stack.Problem, o stack.Options, r stack.Result) {
		before, err := json.Marshal(p.SetUps)
		require.NoError(t, err)
		again, err := stack.Solve(context.Background(), p, o)
		require.NoError(t, err)
		a, err := json.Marshal(r)
		require.NoError(t, err)
		b, err := json.Marshal(again)
		require.NoError(t, err)
		assert.Equal(t, string(a), string(b))
		after, err := json.Marshal(p.SetUps)
		require.NoError(t, err)
		assert.Equal(t, string(before), string(after), "the problem is not touched")

		var back stack.Result
		require.NoError(t, json.Unmarshal(a, &back))
		assert.Empty(t, cmp.Diff(r, back), "JSON holds the whole result")
	})
}

func TestOrderOfTheWorkDoesNotMatter(t *testing.T) {
	solvable(t, 17, 40, anyOptions, func(seed uint64, p stack.Problem, o stack.Options, r stack.Result) {
		rng := rand.New(rand.NewPCG(seed, 18))
		q := p
		q.SetUps = nil
		for _, works := range p.SetUps {
			w := slices.Clone(works)
			rng.Shuffle(len(w), func(i, j int) { w[i], w[j] = w[j], w[i] })
			q.SetUps = append(q.SetUps, w)
		}
		other, err := stack.Solve(context.Background(), q, o)
		require.NoError(t, err)
		assert.Empty(t, cmp.Diff(r.Cost, other.Cost))
	})
}
