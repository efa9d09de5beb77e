package sim

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
)

// The run-in of a trace is not counted: all that is told of a tank, and what
// each year needs, is that of the years after it, held against one tank a day at
// a time, to the unit.
func TestTraceDropsItsRunIn(t *testing.T) {
	const years = 4
	y := usualYears(t, 6).Years
	sampler, err := coin(9, 0.25).Fit(y)
	require.NoError(t, err)
	source := func() *rand.Rand { return gen.Source(3, streamMain, 5) }
	for n := range 12 {
		s := question()
		s.Uses = []Use{{Daily: 80, Days: weekdays()}, {Monthly: [12]float64{5: 900}}}
		s.Rule, s.Allow, s.Dead, s.Start = Rule(n%2), []int{0, 3, 20}[n%3], []float64{0, 0.15}[n/2%2], []*float64{nil, new(150.0), new(1e6)}[n/4]
		s.Roofs = append(s.Roofs, Roof{Area: 25, Runoff: 0.7, Wetting: 1, FirstFlush: 3, Filter: 0.9, Drains: 4})
		few, many := s.NewSizes([]float64{90, 700, 3000}), s.NewSizes([]float64{0.004, 400}, s.rungs()...)
		e := NewEnsemble(s, y.Start).With(Row{Scale: 1, Sizes: few}, Row{Scale: 2.5, Sizes: many}, Row{Scale: 1})
		got, err := e.Trace(e.Scratch(), sampler, source(), years)
		require.NoError(t, err)
		for i, row := range e.rows[:2] {
			at, of := row.Sizes.Nominal, got.rows[i]
			var looked []int
			for k := range at {
				if i == 0 || k%200 < 2 {
					looked = append(looked, k)
				}
			}
			nominal := make([]float64, len(looked))
			for j, k := range looked {
				nominal[j] = at[k]
			}
			want, short := byHand(s, sampler, source(), y.Start, years, row.Scale, nominal...)
			require.Equal(t, []int64{int64(years), want.demand, want.rows[0].inflow}, []int64{int64(got.years), got.demand, of.inflow})
			for j, k := range looked {
				w := want.rows[0]
				require.Equal(t, []int64{w.sums.Supplied[j], w.sums.Short[j], w.sums.Good[j], w.spilled[j]},
					[]int64{of.sums.Supplied[k], of.sums.Short[k], of.sums.Good[k], of.spilled[k]}, "case %d: supplied, short days, good years, spilled of %g L", n, at[k])
				for y, days := range short[j] {
					require.Equal(t, days <= s.Allow, of.needs[y] <= s.usable(at[k]), "year %d needs %d", y, of.needs[y])
				}
			}
		}
		require.Equal(t, rowTally{inflow: got.rows[0].inflow, needs: got.rows[0].needs}, got.rows[2], "without sizes the needs alone")
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

// Roofs that give more in a day than any tank is reckoned for stop it too, and
// so do those that give no number.
func TestTraceRefusesTooMuchWater(t *testing.T) {
	y := usualYears(t, 2).Years
	for _, scale := range []float64{1e12, 1e308, math.Inf(1)} {
		e := NewEnsemble(question(), y.Start).With(Row{Scale: scale})
		_, err := e.Trace(e.Scratch(), tossed{10, 0.5}, gen.Source(1, 1, 1), 1)
		assert.EqualError(t, err, "the roofs give more water on a day than can be reckoned with; is their area right?")
	}
}

// Tanks of a few sizes are the same side by side and all at once, and roofs that
// give more in a day than fits into the processor's lanes are no exception.
func TestTraceOfHugeRoofs(t *testing.T) {
	y := usualYears(t, 2).Years
	s := unitQuestion(60)
	z := s.NewSizes([]float64{90, 700, 3000})
	for _, litres := range []float64{1e7, 21474836.47, 21474836.48, 42949672.97, 1.09e10} { // on a wet day; 32 bits hold nearly 42949673
		row := Row{Scale: litres / 10, Sizes: z}
		one, three := NewEnsemble(s, y.Start).With(row), NewEnsemble(s, y.Start).With(row, row, row)
		want, err := one.Trace(one.Scratch(), tossed{10, 0.5}, gen.Source(1, 1, 1), 3)
		require.NoError(t, err)
		require.Greater(t, store.Litres(want.rows[0].inflow), litres)
		got, err := three.Trace(three.Scratch(), tossed{10, 0.5}, gen.Source(1, 1, 1), 3)
		require.NoError(t, err)
		require.Equal(t, want.rows[0], got.rows[2], "%g L on a wet day", litres)
	}
}

// A measure's mean and its variance between traces, computed directly.
func TestTotals(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	const traces, years = 9, 20
	var all []*TraceTally
	var supplied, short, good []float64
	for range traces {
		x := tally{supplied: float64(900 + rng.IntN(100)), short: float64(rng.IntN(900)), good: float64(rng.IntN(years))}
		supplied, short, good = append(supplied, x.supplied/1100), append(short, x.short/(years*365)), append(good, x.good/years)
		all = append(all, tallied(years, 1100, 7, tally{}, x))
	}
	sum := totalsOf(all...)
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

// What the years need gives the same good years, and the same claim, as the
// tally of a tank does.
func TestNeedsAreGoodYears(t *testing.T) {
	s := question()
	s.Dead = 0.1
	z := s.NewSizes([]float64{500, 900, 2000, 2500, 4000})
	sum, err := asked(t, usualYears(t, 12), gen.WaterYears(), s).Simulate(t.Context(), Row{Scale: 1, Sizes: z})
	require.NoError(t, err)
	w := sum.Weights(0, DefaultLevel)
	for k, x := range z.Nominal {
		require.Equal(t, sum.of(Annual, 0, k), sum.goodAt(0, s.usable(x)))
		require.Equal(t, sum.Claim(w, Annual, 0, k), sum.ClaimAt(w, 0, s.usable(x)))
		require.Equal(t, sum.MonteCarlo(Annual, 0, k, 0.9), sum.GoodYears(0, s.usable(x), 0.9))
	}
	needs := sum.sorted(0)
	require.Len(t, needs, 200)
	require.True(t, slices.IsSorted(needs))
	for k, need := range needs {
		require.GreaterOrEqual(t, sum.goodAt(0, need).value, float64(k+1)/200)
		require.LessOrEqual(t, sum.goodAt(0, need-1).value, float64(k)/200)
	}
	require.Equal(t, []int64{needs[0], needs[99], needs[199]}, []int64{ranked(needs, 0), ranked(needs, 0.5), ranked(needs, 1)})
}

// Needs are told whether they fit into half the room or not, and what no size
// meets is met by none.
func TestNeedsOfAnySize(t *testing.T) {
	for _, years := range [][]int64{{0, 5, tooMuch - 1, 5}, {tooMuch, 7}, {tooMuch + 1, store.Most, 2}, {store.Most + 1, 3, tooMuch - 2}, {1 << 60, store.Most, 4}} {
		for _, size := range []int64{0, 4, 5, tooMuch - 2, tooMuch - 1, tooMuch, tooMuch + 1, store.Most - 1, store.Most} {
			var want, got []int64
			for _, need := range years {
				if need <= size {
					want = append(want, need)
				}
			}
			newNeeds(years).upTo(size, func(need int64) { got = append(got, need) })
			require.Equal(t, want, got, "%v up to %d", years, size)
		}
	}
}

// Plain rows tell the same of their sizes, taken one after the other, side by side
// or all at once.
func TestPlainRowsTellTheSame(t *testing.T) {
	s := question()
	s.Uses = []Use{{Daily: 80, Days: weekdays()}, {Monthly: [12]float64{5: 900}}}
	s.Allow, s.Start = 2, new(150.0)
	q := asked(t, usualYears(t, 12), gen.WaterYears(), s)
	few, many := s.NewSizes([]float64{90, 700}), s.NewSizes([]float64{90, 700, 3000})
	plain := []Row{{Scale: 1, Sizes: few, Plain: true}, {Scale: 1.5, Sizes: many, Plain: true}}
	for _, rows := range [][]Row{plain, append(slices.Repeat(plain, fewRows), Row{Scale: 1, Sizes: few})} {
		got, err := q.Simulate(t.Context(), rows...)
		require.NoError(t, err)
		for i, row := range plain {
			whole, err := q.Simulate(t.Context(), Row{Scale: row.Scale, Sizes: row.Sizes})
			require.NoError(t, err)
			assert.Equal(t, whole.total[0], got.total[i])
			assert.Equal(t, whole.square[0], got.square[i])
		}
	}
}
