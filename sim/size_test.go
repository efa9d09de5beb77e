package sim

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
)

// A record of one or two usable years, with a hole in it, tells no size, and a
// warning says how many years would show the target.
func TestSizeOfAShortRecord(t *testing.T) {
	t.Parallel()
	rain := showers(rand.New(rand.NewPCG(71, 72)), 730)
	rain[100] = math.NaN()
	for n := 1; n <= 2; n++ {
		series := filled(t, rainfall.Day(2021, time.January, 1), rain[:365*n], time.January)
		require.Equal(t, n, series.Years.Len())
		for m := Annual; m <= Volume; m++ {
			for _, g := range gen.All() {
				s := question()
				s.Measure, s.RecordError, s.Years = m, true, 100
				r := sized(t, series, g, s)
				require.Len(t, r.Findings, 1)
				f := r.Findings[0]
				require.Equal(t, "short-record", f.Code)
				require.Equal(t, []float64{float64(n), 5, 0.9, float64(r.Main.Shows)},
					[]float64{f.Of("usable_years"), f.Of("least_years"), f.Of("target"), f.Of("years_to_show")})
				require.GreaterOrEqual(t, r.Main.Shows, FewYears)
				require.Equal(t, TooShort, r.Main.Grade)
				for _, x := range []float64{r.Main.Tank, r.Main.Exact, r.Main.Low, r.Main.High, r.Main.Safe, r.Main.Listed} {
					require.True(t, math.IsNaN(x))
				}
				require.Len(t, r.Real, n)
				require.Len(t, r.Season.Driest, 365)
				assert.NotNil(t, r.Outlook)
				if n == 1 { // what cannot be seen to vary is not known to stay
					assert.True(t, math.IsNaN(r.Stop.Low) && math.IsNaN(r.Stop.High))
					for _, c := range append(append([]Cell{r.Main.Cell, r.Answers[0].Cell}, r.Cells...), r.Curve...) {
						for x := Annual; x <= Volume; x++ {
							require.True(t, c.Of(x).High-c.Of(x).Low > 0.7, "%v of %g L: %v", x, c.Tank, c.Of(x))
						}
					}
				}
			}
		}
	}
	long := question()
	long.Measure = Time
	r := sized(t, usualYears(t, 10), gen.WaterYears(), long)
	assert.Empty(t, r.Findings)
}

// A record without rain: every number is one, and the reason says why.
func TestSizeOfNoRain(t *testing.T) {
	series := filled(t, rainfall.Day(2019, time.January, 1), make([]float64, 365*3), time.January)
	for m := Annual; m <= Volume; m++ {
		s := question()
		s.Measure, s.RecordError = m, true
		s.Costs = &Costs{Sizes: []float64{200, 8000}, Prices: []float64{500, 4000}, Water: 3, Life: 25, Discount: 0.035}
		r := sized(t, series, gen.Guided(), s)
		assert.True(t, math.IsNaN(r.Main.Tank))
		assert.Equal(t, YieldTooSmall, r.Main.Why)
		assert.Zero(t, r.Main.Reached)
		for _, c := range r.Cells {
			assert.Equal(t, []float64{365, 0, 0}, []float64{c.ShortDays, c.SpillShare, c.Supplied})
			for k := Annual; k <= Volume; k++ {
				i := c.Of(k)
				assert.Zero(t, i.Estimate)
				rises(t, 0, i.Low, 0, i.High)
			}
		}
		assert.Equal(t, 200.0, r.Stop.Tank, "the cheapest loses least")
		assert.Equal(t, 30.0, r.Outlook.High)
	}
}

// rises requires numbers that do not fall.
func rises(t testing.TB, x ...float64) {
	t.Helper()
	require.True(t, slices.IsSorted(x), "%v", x)
}

// What a result must hold, whatever the study: cells are balanced, intervals
// hold their estimates, bands hold the size, the safe size is no smaller.
func TestSizeHoldsTogether(t *testing.T) {
	series := usualYears(t, 15)
	for m := Annual; m <= Volume; m++ {
		s := question()
		s.Measure, s.Rule, s.RecordError, s.Dead = m, Rule(m%2), true, 0.05
		s.Areas = []float64{45, 60, 100}
		s.Uses = []Use{{Daily: 50, Days: weekdays()}, {Monthly: [12]float64{4: 300, 5: 900, 6: 900}}}
		s.Target = [3]float64{0.5, 0.95, 0.9}[m]
		var last, of int
		s.Progress = func(done, total int) {
			require.GreaterOrEqual(t, done, last)
			require.LessOrEqual(t, done, total)
			last, of = done, total
		}
		r := sized(t, series, gen.Guided(), s)
		assert.Greater(t, of, 0)
		assert.Equal(t, 200, r.Simulated)
		require.Len(t, r.Rows(), 3)
		for _, row := range append(r.Rows(), r.Curve) {
			for k, c := range row {
				require.InDelta(t, MeanDemand(s.Uses)*365, c.Demand, c.Demand*2e-3)
				require.InDelta(t, c.Inflow, c.Supplied+c.Spilled, s.Usable(c.Tank)/40, "over 50 years the tank holds one filling at most")
				require.InDelta(t, c.Supplied/c.Demand, c.MonteCarlo.Volumetric.Estimate, 1e-12)
				require.InDelta(t, 1-c.ShortDays/365, c.MonteCarlo.Time.Estimate, 1e-12)
				for x := Annual; x <= Volume; x++ {
					i, mc := c.Of(x), c.MonteCarlo.Of(x)
					rises(t, 0, i.Low, i.Estimate, i.High, 1)
					rises(t, 0, mc.Low, mc.Estimate, mc.High, 1)
					require.LessOrEqual(t, i.High-i.Low, 1.0)
					if k > 0 {
						require.GreaterOrEqual(t, i.Estimate, row[k-1].Of(x).Estimate, "more storage, more reliability")
					}
				}
			}
		}
		for _, a := range append(r.Answers[:3:3], r.Main) {
			require.False(t, math.IsNaN(a.Tank))
			require.False(t, a.Low > a.Tank || a.High < a.Tank || a.Safe < a.Tank, "%+v", a)
			require.GreaterOrEqual(t, a.Listed, a.Tank)
		}
		rises(t, 1, r.Stop.Low, r.Stop.Tank, r.Stop.High)
		for d := range 365 {
			rises(t, 0, r.Season.Low[d], r.Season.Mid[d], r.Season.High[d], store.Litres(s.usable(r.Main.Tank)))
		}
		rises(t, 0, r.Outlook.Low, r.Outlook.Mid, r.Outlook.High, 30)

		// The real years are those of a replay at the size found.
		real := replayed(t, series, s.Roofs, s.Uses, Tank{Nominal: r.Main.Tank, Dead: s.Dead, Rule: s.Rule, RunIn: RunIn})
		require.Len(t, r.Real, 15)
		past := pastOf(real, time.January)
		require.Equal(t, Past{r.Real, r.Peak, r.Season.Driest, r.Season.DriestLabel}, *past)
		require.NotNil(t, r.Peak)
	}
}

// A study with no record error: the intervals are the Monte Carlo error alone.
func TestSizeWithoutRecordError(t *testing.T) {
	s := question()
	r := sized(t, usualYears(t, 15), gen.Guided(), s)
	for _, c := range append(r.Cells, r.Curve...) {
		assert.Equal(t, c.MonteCarlo, c.Measures)
	}
	assert.True(t, math.IsNaN(r.Main.Low) && math.IsNaN(r.Main.High) && math.IsNaN(r.Main.Safe))
	require.NotNil(t, r.Outlook)
	assert.Equal(t, 30, r.Outlook.Horizon)
}

// Cancelled at any step, Size returns the context's error.
func TestSizeCancelled(t *testing.T) {
	series := usualYears(t, 5)
	steps := 0
	run := func(cancelAt int) error {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		s := question()
		s.RecordError = true
		steps = 0
		s.Progress = func(int, int) {
			if steps++; steps == cancelAt {
				cancel()
			}
		}
		_, err := Size(ctx, series, gen.WaterYears(), s)
		return err
	}
	require.NoError(t, run(0))
	all := steps
	for at := 1; at < all-4; at += max(1, all/15) { // the last few may be done already
		assert.ErrorIs(t, run(at), context.Canceled, "cancelled at step %d of %d", at, all)
	}
}

// A record without a year, and a generator that fails, when it learns or
// as it rains, end the study with their own words.
func TestSizeRefuses(t *testing.T) {
	none := gen.Generator{Name: "none", Fit: func(*rainfall.Years) (gen.Sampler, error) { return nil, fmt.Errorf("not to be learnt") }}
	for _, c := range []struct {
		series *rainfall.Series
		from   gen.Generator
		want   string
	}{
		{filled(t, rainfall.Day(2021, time.June, 1), make([]float64, 300), time.January), gen.Guided(), "the record has no usable water year"},
		{usualYears(t, 5), none, "not to be learnt"},
		{usualYears(t, 5), coin(-1, 0.5), "the generator gave a day of -1 mm of rain"},
	} {
		s := question()
		s.RecordError, s.Workers = true, 1
		_, err := Size(t.Context(), c.series, c.from, s)
		assert.EqualError(t, err, c.want)
	}
}
