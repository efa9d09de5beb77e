package sim

import (
	"fmt"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
)

// All that a study finds, in full precision, is the same for any number of workers and
// processors, and another with another seed.
func TestSameBytesForAnyWorkers(t *testing.T) {
	series := usualYears(t, 12)
	run := func(workers int, seed uint64, g gen.Generator) string {
		s := question()
		s.Roofs, s.Areas, s.Uses = []Roof{NewRoof(70), NewRoof(30)}, []float64{60, 100, 140}, []Use{{Daily: 110}}
		s.Target, s.Years, s.Seed, s.RecordError, s.Workers, s.Costs = 0.8, 150, seed, true, workers, priced()
		r := sized(t, series, g, s)
		require.NotNil(t, r.Peak)
		return fmt.Sprint(r.Main, r.Answers, r.Cells, r.Curve, r.Stop, r.Turnover, *r.Outlook, *r.Season, r.Months, r.Real, *r.Peak, *r.Overflow, r.Thumbs, r.Params)
	}
	for i, g := range gen.All() {
		want := run(1, 3, g)
		require.Equal(t, want, run(2, 3, g), g.Name)
		if i > 0 {
			continue
		}
		for _, workers := range []int{5, 0} {
			require.Equal(t, want, run(workers, 3, g), "%s, %d workers", g.Name, workers)
		}
		before := runtime.GOMAXPROCS(1)
		same := run(0, 3, g)
		runtime.GOMAXPROCS(before)
		require.Equal(t, want, same, "%s, one processor", g.Name)
		require.NotEqual(t, want, run(2, 4, g), g.Name)
	}
}
