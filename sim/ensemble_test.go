package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// The run-in of a trace is not counted: every tally is that of the years after
// it, held against one tank a day at a time.
func TestTraceDropsItsRunIn(t *testing.T) {
	const years, year = 4, rainfall.DaysPerYear
	s := question()
	s.Uses = []Use{{Daily: 80, Days: weekdays()}, {Monthly: [12]float64{5: 900}}}
	s.Start, s.Allow = 150, 20
	y := usualYears(t, 6).Years
	sampler, err := coin(9, 0.25).Fit(y)
	require.NoError(t, err)
	sizes := []float64{90, 700, 3000}
	for s.Rule = range YBS + 1 {
		e := NewEnsemble(s, y.Start).With([]Row{{Scale: 1, Usable: sizes}, {Scale: 2.5, Usable: sizes[1:]}})
		got, err := e.Trace(e.Scratch(), sampler, gen.Source(3, streamMain, 5), years)
		require.NoError(t, err)
		require.Equal(t, years, got.years)

		rain := make([]float64, (RunIn+years)*year)
		sampler.Sample(rain, gen.Source(3, streamMain, 5))
		demand := TraceDemand(RunIn+years, y.Start, s.Uses)
		require.InDelta(t, total(demand[RunIn*year:]), got.demand, 1e-6)
		for i, scale := range []float64{1, 2.5} {
			q := make([]float64, len(rain))
			roofs := append([]Roof(nil), s.Roofs...)
			roofs[0].Area *= scale
			Inflow(q, rain, roofs)
			require.InDelta(t, total(q[RunIn*year:]), got.inflow[i], 1e-6)
			for k, size := range sizes[i:] {
				var want tally
				held := min(s.Start, size)
				for n := range RunIn + years {
					if n == RunIn {
						want = tally{}
					}
					inYear := 0.0
					for d := n * year; d < (n+1)*year; d++ {
						var yield, spill float64
						yield, spill, held = s.Rule.Day(size, held, q[d], demand[d])
						want.supplied += yield
						want.spilled += spill
						if yield < demand[d]-1e-7 {
							inYear++
						}
					}
					want.short += inYear
					if inYear <= 20 {
						want.good++
					}
				}
				near(t, want, got.tanks[i][k], 1e-6)
			}
		}
	}
}

// A generator whose rain is no rain stops the run.
func TestTraceRefusesBadRain(t *testing.T) {
	y := usualYears(t, 2).Years
	for _, depth := range []float64{-1, math.NaN(), math.Inf(1), 1e39} {
		e := NewEnsemble(question(), y.Start)
		_, err := e.Trace(e.Scratch(), tossed{depth, 0.5}, gen.Source(1, 1, 1), 1)
		assert.ErrorContains(t, err, "the generator gave a day of")
	}
}

func TestBalance(t *testing.T) {
	assert.NoError(t, balance(100, 1e6, 9e5, 1e5, 100))
	assert.ErrorContains(t, balance(100, 1e6, 9e5, 1e5, 101), "the water balance is out by -1 L")
	assert.Error(t, balance(0, 0, 0.1, 0, 0))
}

// A measure's mean and its variance between traces, computed directly.
func TestTotals(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	const traces, years = 9, 20
	sum := &Totals{}
	var supplied, short, good []float64
	for range traces {
		x := tally{supplied: 900 + 100*rng.Float64(), short: float64(rng.IntN(900)), good: float64(rng.IntN(years))}
		supplied, short, good = append(supplied, x.supplied/1100), append(short, x.short/(years*365)), append(good, x.good/years)
		sum.Add(&TraceTally{years: years, demand: 1100, inflow: []float64{7}, tanks: [][]tally{{{}, x}}})
	}
	assert.Equal(t, traces*years, sum.years)
	assert.Equal(t, 63.0, sum.inflow[0])
	for m, x := range map[Measure][]float64{Volume: supplied, Time: short, Annual: good} {
		mean := total(x) / traces
		squares := 0.0
		for _, v := range x {
			squares += (v - mean) * (v - mean)
		}
		if m == Time {
			mean = 1 - mean
		}
		got := sum.of(m, 0, 1)
		assert.InDelta(t, mean, got.value, 1e-12, "%v", m)
		assert.InDelta(t, squares/(traces-1)/traces, got.variance, 1e-12, "%v", m)
	}
}
