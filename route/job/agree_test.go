package job_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
)

// The unplated file of a job in another unit, from another origin or from the
// other side is refused with the evidence, with an outline and without.
func TestFilesOfAJobMustAgree(t *testing.T) {
	base := []orb.Point{{5.08, 5.08}, {30.48, 5.08}, {17.78, 55.88}, {35.56, 50.8}}
	for _, c := range []struct {
		name, says string
		move       func(orb.Point) orb.Point
	}{
		{"as it should be", "", func(p orb.Point) orb.Point { return p }},
		{"inches", "inches", func(p orb.Point) orb.Point { return orb.Point{p[0] / 25.4, p[1] / 25.4} }},
		{"millimetres as inches", "millimetres", func(p orb.Point) orb.Point { return orb.Point{p[0] * 25.4, p[1] * 25.4} }},
		{"from below", "mirrored left to right about the origin", func(p orb.Point) orb.Point { return orb.Point{-p[0], p[1]} }},
		{"Y down", "mirrored bottom to top about the origin", func(p orb.Point) orb.Point { return orb.Point{p[0], -p[1]} }},
		{"page origin", "moved by about X-", func(p orb.Point) orb.Point { return orb.Point{p[0] + 180, p[1] + 10} }},
	} {
		for _, outlined := range []bool{true, false} {
			t.Run(fmt.Sprintf("%s, outline %v", c.name, outlined), func(t *testing.T) {
				s := newSmall()
				if !outlined {
					s.job = withoutOutline(t, s.job)
				}
				s.unplated = nil
				for _, p := range base {
					q := c.move(p)
					s.unplated = append(s.unplated, "T1 "+xy(q[0], q[1]))
				}
				_, err := job.Load(s.files(), "job.json")
				if c.says == "" {
					require.NoError(t, err)
					return
				}
				require.Error(t, err)
				require.Contains(t, err.Error(), "unplated.drl")
				require.Contains(t, err.Error(), c.says)
				var byDrill *drill.RegistrationError
				var byRoute *route.BoardError
				if outlined {
					require.ErrorAs(t, err, &byRoute)
					require.ErrorIs(t, err, route.ErrRegistration)
				} else {
					require.ErrorAs(t, err, &byDrill)
					require.ErrorIs(t, err, drill.ErrRegistration)
				}
			})
		}
	}
}

// A doubt that is no proof is told in the job's report and stops nothing.
func TestDoubtsAboutFilesAreReported(t *testing.T) {
	s := newSmall()
	s.unplated = append(s.unplated, "T1 "+xy(8.89, 41.91)) // it cuts into plated pins
	j, err := job.Load(s.files(), "job.json")
	require.NoError(t, err)
	var told []string
	for _, f := range j.Report {
		if f.Rule == "registration" {
			told = append(told, f.Detail)
			require.Equal(t, "unplated.drl", f.Source.File)
			require.True(t, f.OK)
		}
	}
	require.Len(t, told, 1)
	require.Contains(t, told[0], "1 of 4 holes cut into holes of the other file")
}

// withoutOutline takes the outline out of a job file.
func withoutOutline(t *testing.T, src string) string {
	t.Helper()
	const key = `"outline": "outline.rte", `
	require.Contains(t, src, key)
	return strings.Replace(src, key, "", 1)
}
