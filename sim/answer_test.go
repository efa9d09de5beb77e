package sim

import (
	"math"
	"slices"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/steady"
	"tankodds/sim/internal/store"
)

// The band of an answer, for every area and not only the site's own, ends
// where the bounds of the reliability meet the target: below at the sizes
// whose upper bound does, above at those whose lower bound does.
func TestBandEndsWhereTheBoundsMeetTheTarget(t *testing.T) {
	s := question()
	s.Areas = []float64{60, 90, 140}
	s.Sizes = steady.Cuts(200, 8000, 40)
	s.Target, s.RecordError, s.Replicates = 0.8, true, 2
	r := sized(t, usualYears(t, 25), coin(4, 0.3), s)
	looked := 0
	rows := r.Rows()
	for i, a := range r.Answers {
		if math.IsNaN(a.Tank) || math.IsNaN(a.Low) || math.IsNaN(a.High) {
			continue
		}
		looked++
		assert.Less(t, a.Low, a.Tank, "%g m²", a.Area)
		assert.Greater(t, a.High, a.Tank, "%g m²", a.Area)
		assert.Equal(t, a.Safe, a.High, "%g m²", a.Area)
		for _, c := range rows[i] {
			if c.Tank < a.Tank {
				assert.Equal(t, c.Annual.High >= s.Target, c.Tank >= a.Low, "the upper bound of %g L at %g m²", c.Tank, a.Area)
			} else {
				assert.Equal(t, c.Annual.Low >= s.Target, c.Tank >= a.Safe, "the lower bound of %g L at %g m²", c.Tank, a.Area)
			}
		}
	}
	require.GreaterOrEqual(t, looked, 2)
}

// The tank's year is drawn between the lines that 5, 50 and 95 % of the days
// of the main run lie at or below.
func TestSeasonLinesHoldTheirShares(t *testing.T) {
	const size, year = 20000.0, rainfall.DaysPerYear
	s := question()
	q := asked(t, usualYears(t, 3), coin(6, 60.0/294), s)
	line, _, err := q.Season(t.Context(), size)
	require.NoError(t, err)
	held := make([][]float64, year) // by day of the year
	for i := range min(seasonTraces, q.traces) {
		rain := make([]float64, (RunIn+q.length)*year)
		q.sampler.Sample(rain, gen.Source(s.Seed, streamMain, uint64(i)))
		inflow := make([]float64, len(rain))
		Inflow(inflow, rain, s.Roofs)
		lanes := store.NewLanes([]float64{1}, []float64{size}, s.Start)
		for d := range inflow {
			lanes.Run(s.Rule, inflow[d:d+1], []float64{60}, []float64{60})
			if d >= RunIn*year {
				held[d%year] = append(held[d%year], lanes.Storage[0])
			}
		}
	}
	require.Greater(t, line.Low[0], 0.0, "neither empty nor full, or any line would do")
	require.Less(t, line.High[0], size-60)
	for d, days := range held {
		slices.Sort(days)
		n := float64(len(days))
		for p, x := range map[float64]float64{0.05: line.Low[d], 0.5: line.Mid[d], 0.95: line.High[d]} {
			below, most := sort.SearchFloat64s(days, x), sort.SearchFloat64s(days, math.Nextafter(x, math.Inf(1)))
			require.True(t, float64(below) <= p*n+1 && float64(most) >= p*n-1, "day %d: %g lies above %d and %d of %g days, not %g", d, x, below, most, n, p)
		}
	}
}
