package sim

import (
	"math"
	"slices"
	"sort"
	"testing"

	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
)

// The band of an answer, for every area and not only the site's own, ends
// where the bounds of the measure meet the target: below at the size of three
// digits whose upper one does, above at the first whose lower one
// does. It does not end because the list of sizes does.
func TestBandEndsWhereTheBoundsMeetTheTarget(t *testing.T) {
	for m := Annual; m <= Volume; m++ {
		s := question()
		s.Areas = []float64{60, 90, 140}
		s.Measure, s.Target, s.RecordError = m, [3]float64{0.8, 0.95, 0.9}[m], true
		q := asked(t, usualYears(t, 25), gen.WaterYears(), s)
		c, sizes, _, answers := answered(t, q)
		looked := 0
		for i, a := range answers {
			require.False(t, math.IsNaN(a.Tank))
			require.Equal(t, a.Safe, a.High)
			require.Equal(t, Shown, a.Grade)
			if !(a.Low < a.Tank && a.Tank < a.Safe) {
				continue
			}
			looked++
			// One of three digits below each end is looked at too.
			low, safe := slices.Index(c.Rungs, a.Low), slices.Index(c.Rungs, a.Safe)
			for r := low - 1; r <= safe; r++ {
				x := c.Rungs[r]
				is := s.claim(c, i, x).Interval
				if r < sizes[i].rung {
					require.Equal(t, x >= a.Low, is.High >= s.Target, "the upper bound of %g L at %g m², %v", x, a.Area, is)
				} else {
					require.Equal(t, x >= a.Safe, is.Low >= s.Target, "the lower bound of %g L at %g m², %v", x, a.Area, is)
				}
			}
		}
		require.GreaterOrEqual(t, looked, 2, "%v", m)
		s.Sizes = []float64{3.5, 7} // none near the answers
		_, _, _, again := answered(t, q)
		for i, a := range answers {
			b := again[i]
			near(t, []float64{a.Tank, a.Exact, a.Low, a.High, a.Safe}, []float64{b.Tank, b.Exact, b.Low, b.High, b.Safe}, 0)
			near(t, a.Cell, b.Cell, 0)
			require.True(t, math.IsNaN(b.Listed))
		}
	}
}

// What is said of a tank rises with its size, and hangs neither on the other
// sizes asked about nor on the target: 90 years in 100 or 99 days, the same tank
// is the same.
func TestOneClaimATank(t *testing.T) {
	s := question()
	s.Measure, s.Target, s.RecordError, s.Sizes = Time, 0.95, true, []float64{900, 1500, 2500}
	q := asked(t, usualYears(t, 25), gen.WaterYears(), s)
	c, _, claims, _ := answered(t, q)
	for m := Annual; m <= Volume; m++ {
		last := Interval{}
		for _, x := range c.Rungs {
			is := c.claim(m, c.tank(0, x)).Interval
			require.False(t, is.Low < last.Low || is.Estimate < last.Estimate || is.High < last.High, "%v at %g L: %v after %v", m, x, is, last)
			require.True(t, is.Low <= is.Estimate && is.Estimate <= is.High)
			last = is
		}
		require.Greater(t, last.Low, 0.5)
	}
	other := *s
	other.Sizes = []float64{40, 900, 1400, 1500, 1600, 2500, 90_000}
	_, _, again, _ := answered(t, asked(t, usualYears(t, 25), gen.WaterYears(), &other))
	near(t, claims.Rows[0], []Cell{again.Rows[0][1], again.Rows[0][3], again.Rows[0][5]}, 0)
	for _, target := range []float64{0.8, 0.99, 0.9999} {
		q, c := q.Aim(c, Annual, target)
		sizes, err := q.Solve(t.Context(), c)
		require.NoError(t, err)
		for k, cell := range q.Claim(c, sizes).Rows[0] {
			near(t, claims.Rows[0][k].Measures, cell.Measures, 0, "%g L at %g", cell.Tank, target)
		}
	}
}

// The tank's year is drawn between the lines that 5, 50 and 95 % of the days
// of the main run lie at or below.
func TestSeasonLinesHoldTheirShares(t *testing.T) {
	const size, year = 20000.0, rainfall.DaysPerYear
	s := question()
	q := asked(t, usualYears(t, 3), coin(6, 60.0/294), s)
	line, _, err := q.Season(t.Context(), size)
	require.NoError(t, err)
	require.Equal(t, min(seasonTraces, q.traces)*q.length, line.Years)
	held := make([][]float64, year) // by day of the year
	for i := range min(seasonTraces, q.traces) {
		rain := make([]float64, (RunIn+q.length)*year)
		q.sampler.Sample(rain, gen.Source(s.Seed, streamMain, uint64(i)))
		inflow := make([]int64, len(rain))
		Inflow(inflow, rain, s.Roofs)
		now := int64(0)
		for d := range inflow {
			_, _, now = s.Rule.Day(store.Units(size), now, inflow[d], store.Units(60))
			if d >= RunIn*year {
				held[d%year] = append(held[d%year], store.Litres(now))
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
