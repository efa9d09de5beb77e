package backtest

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
	"tankodds/sim"
	"tankodds/sim/internal/store"
)

// inventedYears makes water years that are independent of each other: wet days
// by a chance that swings with the season and is drawn anew each year, depths
// exponential.
func inventedYears(n int, rng *rand.Rand) *rainfall.Years {
	y := &rainfall.Years{Start: 10}
	for i := range n {
		factor := 0.5 + rng.Float64()
		rain := make([]float64, rainfall.DaysPerYear)
		for d := range rain {
			season := 1 + 0.9*math.Sin(2*math.Pi*float64(d)/rainfall.DaysPerYear)
			if rng.Float64() < 0.25*season*factor {
				rain[d] = 8 * rng.ExpFloat64()
			}
		}
		y.Label = append(y.Label, 1900+i)
		y.Rain = append(y.Rain, rain)
		y.Filled = append(y.Filled, 0)
	}
	return y
}

// smallBacktest is quick: one length, few years.
func smallBacktest() *Study {
	b := NewStudy()
	b.Learn, b.Step, b.Judge, b.Least, b.Years = []int{20}, 20, 20, 10, 500
	return b
}

// scaled returns roofs of the same make-up, their areas multiplied by k.
func scaled(roofs []sim.Roof, k float64) []sim.Roof {
	out := append([]sim.Roof(nil), roofs...)
	for i := range out {
		out[i].Area *= k
	}
	return out
}

func runBacktest(t *testing.T, b *Study, gens []gen.Generator, records ...Record) *Result {
	t.Helper()
	r, err := Run(t.Context(), b, records, gens)
	require.NoError(t, err)
	return r
}

// In a climate of independent years the claims must hold.
func TestBacktestInAKnownClimate(t *testing.T) {
	var records []Record
	for i := range 10 {
		records = append(records, Record{Name: fmt.Sprint("invented ", i), Years: inventedYears(100, gen.Source(3, 9, uint64(i)))})
	}
	b := smallBacktest()
	r := runBacktest(t, b, []gen.Generator{gen.WaterYears(), gen.Guided()}, records...)
	seen := 0
	for _, s := range r.Scores {
		if s.Tanks == Given || !math.IsNaN(s.Target) {
			continue
		}
		seen++
		name := fmt.Sprintf("%s %v %+v", s.Generator, s.Measure, s)
		// 40 windows by questions that share their years: the errors are those
		// of the some forty stretches of years that do not overlap.
		assert.GreaterOrEqual(t, s.Cases+s.Unmet, 240)
		assert.InDelta(t, 40, s.Independent, 5)
		assert.False(t, s.Few)
		assert.InDelta(t, 0.5, s.Inside50, 0.15, name)
		assert.InDelta(t, 0.8, s.Inside80, 0.09, name)
		assert.InDelta(t, 0.9, s.Inside90, 0.07, name)
		assert.InDelta(t, 0, s.Bias, 0.03, name)
		assert.InDelta(t, s.SafeChance, s.SafeMet, 3*s.SafeMetErr, name)
		assert.Less(t, s.MonteCarlo, 0.3, "the Monte Carlo error alone is no claim")
		assert.Less(t, s.Naive, s.Inside90)
	}
	assert.Equal(t, 6, seen)
}

// A claim must not know what came after: other years to judge it leave it as
// it was.
func TestBacktestDoesNotPeek(t *testing.T) {
	rng := gen.Source(5, 9, 0)
	years := inventedYears(40, rng)
	b := smallBacktest()
	gens := []gen.Generator{gen.Guided()}
	wet := runBacktest(t, b, gens, Record{Name: "wet", Years: years})
	drought := &rainfall.Years{Start: years.Start, Label: years.Label, Filled: years.Filled, Rain: append([][]float64(nil), years.Rain...)}
	for i := 20; i < 40; i++ {
		drought.Rain[i] = make([]float64, rainfall.DaysPerYear)
	}
	dry := runBacktest(t, b, gens, Record{Name: "wet", Years: drought})
	require.Equal(t, len(wet.Cases), len(dry.Cases))
	require.NotEmpty(t, wet.Cases)
	for i, c := range wet.Cases {
		d := dry.Cases[i]
		assert.Equal(t, fmt.Sprint(c.Tank, c.Claim, c.ahead, c.Least, c.Safe, c.Chance), fmt.Sprint(d.Tank, d.Claim, d.ahead, d.Least, d.Safe, d.Chance))
		assert.Equal(t, 20, d.Short, "no rain: every year runs short")
		if d.Measure == sim.Annual {
			assert.Equal(t, 1.0, d.Failed)
		}
		assert.False(t, d.SafeMet || d.Sized && d.Safe > 0)
	}
}

func TestBacktestIsTheSameOnAnyWorkers(t *testing.T) {
	rec := Record{Name: "invented", Years: inventedYears(60, gen.Source(6, 9, 0))}
	b := smallBacktest()
	b.Workers = 1
	one := runBacktest(t, b, gen.All()[:2], rec)
	b.Workers = 5
	many := runBacktest(t, b, gen.All()[:2], rec)
	require.Equal(t, len(one.Cases), len(many.Cases))
	assert.Equal(t, fmt.Sprint(one.Cases), fmt.Sprint(many.Cases))
}

func TestBacktestWindows(t *testing.T) {
	b := &Study{Learn: []int{15, 30}, Step: 10, Judge: 30, Least: 10}
	assert.Equal(t, []window{{1, 0, 15}, {1, 10, 15}, {1, 0, 30}}, b.windows(1, 40))
	assert.Empty(t, b.windows(0, 24))
	years := inventedYears(40, gen.Source(7, 9, 0))
	b = NewStudy()
	v := b.view(years, window{0, 10, 15})
	assert.Equal(t, 36_500.0, v.annual, "100 L a day, in years of 365 days as those of a trace")
	assert.Equal(t, 1910, v.learn.Label[0])
	assert.Equal(t, 15, v.learn.Len())
	assert.Equal(t, 1925, v.judged.Label[0])
	assert.Equal(t, 15, v.judged.Len(), "as many as there are")
	// The demand is the share asked for of the mean inflow of the years learnt
	// from, under the scaled roofs.
	for i, d := range b.Demands {
		sum := int64(0)
		for _, q := range inflowOf(v.learn, scaled(b.Roofs, v.scale[i])) {
			sum += q
		}
		assert.InEpsilon(t, d, v.annual/(store.Litres(sum)/15), 1e-4) // inflows are whole units
	}
}

// The tank of a case is what sim.Size answers from the same years, and the claim
// what it says.
func TestBacktestSizesAsSizeDoes(t *testing.T) {
	years := inventedYears(40, gen.Source(8, 9, 0))
	b := smallBacktest()
	b.Years, b.Demands, b.Targets, b.Tanks = 20000, []float64{0.5}, []float64{0.9}, nil
	b.Days, b.Water = nil, nil
	c := runBacktest(t, b, []gen.Generator{gen.WaterYears()}, Record{Name: "invented", Years: years}).Cases[0]
	s := b.study()
	s.Roofs = scaled(b.Roofs, c.Roof/sim.TotalArea(b.Roofs))
	s.Target, s.Seed, s.Horizon = 0.9, 5, c.Judge
	s.Areas, s.Sizes = []float64{c.Roof}, []float64{c.Tank / 4, c.Tank / 2, c.Tank, 2 * c.Tank}
	learn := b.view(years, window{0, 0, 20}).learn
	depth := slices.Concat(learn.Rain...)
	series := &rainfall.Series{First: rainfall.Day(1900, 10, 1), Depth: depth, Mark: make([]rainfall.Mark, len(depth)), Years: learn}
	r, err := sim.Size(t.Context(), series, gen.WaterYears(), s)
	require.NoError(t, err)
	assert.InEpsilon(t, c.Tank, r.Main.Tank, 0.08, "tanks that are tried lie so far apart")
	assert.InDelta(t, c.Claim.Estimate, r.Main.Cell.Annual.Estimate, 0.03)
	assert.InDelta(t, c.Claim.Low, r.Main.Cell.Annual.Low, 0.04)
	assert.InDelta(t, c.High90*float64(c.Judge), r.Outlook.High, 1)
	assert.InDelta(t, c.Low90*float64(c.Judge), r.Outlook.Low, 1)
	assert.InEpsilon(t, c.Least, r.Main.Low, 0.08)
	if math.IsNaN(c.Safe) {
		assert.True(t, math.IsNaN(r.Main.Safe))
	} else {
		assert.InEpsilon(t, c.Safe, r.Main.Safe, 0.08)
	}
}

func TestBacktestShortRecord(t *testing.T) {
	r := runBacktest(t, NewStudy(), gen.All()[:1], Record{Name: "Short Hill", Years: inventedYears(24, gen.Source(9, 9, 0))})
	assert.Empty(t, r.Cases)
	assert.Equal(t, []Tested{{"Short Hill", 24, time.October, 0}}, r.Records)
}

func TestBacktestStops(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	b := smallBacktest()
	b.Progress = func(int, int) { cancel() }
	_, err := Run(ctx, b, []Record{{Name: "x", Years: inventedYears(200, gen.Source(9, 9, 1))}}, gen.All()[:1])
	assert.ErrorIs(t, err, context.Canceled)
}

func TestBacktestCheck(t *testing.T) {
	require.NoError(t, NewStudy().Check())
	for name, spoil := range map[string]func(*Study){
		"learn":  func(b *Study) { b.Learn = []int{1} },
		"none":   func(b *Study) { b.Learn = nil },
		"target": func(b *Study) { b.Targets = []float64{1} },
		"step":   func(b *Study) { b.Step = 0 },
		"judge":  func(b *Study) { b.Judge = 5 },
		"demand": func(b *Study) { b.Demands = []float64{0} },
		"tank":   func(b *Study) { b.Tanks = []float64{-1} },
		"years":  func(b *Study) { b.Years = 1 },
		"use":    func(b *Study) { b.Uses = nil },
	} {
		b := NewStudy()
		spoil(b)
		assert.Error(t, b.Check(), name)
	}
}

// A claim of nothing with a probability and a beta distribution otherwise has the
// mean and the variance that it was made of, and its PIT is even.
func TestAheadMixed(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for _, c := range [][3]float64{{0.3, 0.02, 0.0009}, {0, 0.2, 0.004}, {0.9, 0.001, 0.00002}} {
		x := mixed(c[0], c[1], c[2])
		const n = 100_000
		sum, square, tenths := 0.0, 0.0, [10]float64{}
		for range n {
			f := 0.0
			if rng.Float64() >= x.none {
				f = x.some.Quantile(rng.Float64())
			}
			sum, square = sum+f/n, square+f*f/n
			tenths[min(9, int(10*x.pit(f, rng.Float64())))] += 10.0 / n
		}
		assert.InEpsilon(t, c[1], sum, 0.03)
		assert.InEpsilon(t, c[2], square-sum*sum, 0.06)
		for _, share := range tenths {
			assert.InDelta(t, 1, share, 0.05)
		}
		low, high := x.interval(0.9)
		assert.InDelta(t, 0.95, x.atMost(high), 1e-6)
		assert.GreaterOrEqual(t, x.atMost(low), 0.05-1e-6)
	}
	// Up to where nothing fails is likely enough, nothing fails: not a little.
	for level, none := range map[float64]float64{0.9: 0.5, 0.5: 0.25, 0.8: 0.1000001} {
		low, high := mixed(none, 0.1, 0.002).interval(level)
		assert.True(t, low == 0, "%g of nothing and %g at level %g", low, none, level)
		assert.Greater(t, high, 0.1)
	}
	low, high := mixed(0.96, 0.001, 0.00002).interval(0.9)
	assert.Equal(t, []float64{0, 0}, []float64{low, high})
	x := counted([]float64{0.25, 0.5, 0.25})
	assert.Equal(t, []float64{0.25, 0.75, 1}, []float64{x.atMost(0), x.atMost(0.5), x.atMost(1)})
	assert.Equal(t, 0.5, x.pit(0.5, 0.5))
}

// Stretches that do not overlap: a hundred and ten years judged by claims about
// thirty are some four, however many windows looked at them.
func TestIndependent(t *testing.T) {
	var cases []*Case
	for from := 1900; from <= 1980; from += 5 {
		cases = append(cases, &Case{Record: "a", Judge: 30, JudgeFrom: from, JudgeTo: from + 29})
	}
	assert.InDelta(t, 110.0/30, independent(cases), 1e-12)
	assert.InDelta(t, 110.0/30+1, independent(append(cases, &Case{Record: "b", Judge: 10, JudgeFrom: 1950, JudgeTo: 1959})), 1e-12)
}

// Three cases summed by hand.
func TestScoreSum(t *testing.T) {
	half := []float64{0.5, 0.5}
	mk := func(p0 []float64, seen int, pit float64, in bool, claim float64) *Case {
		c := &Case{Record: "x", Judge: len(p0) - 1, None: p0[0], Short: seen, Failed: float64(seen) / float64(len(p0)-1), PIT: pit,
			Claim: sim.Interval{Estimate: claim}, Share: sim.Interval{Estimate: claim + 0.05, Low: claim, High: claim + 0.1}, Safe: math.NaN()}
		c.Low90, c.High90, c.NaiveHigh = 0, 1, 0.5
		c.Inside80, c.Inside90 = in, true
		return c
	}
	var s Score
	s.sum([]*Case{mk(half, 0, 0.2, true, 0.5), mk(half, 1, 0.8, true, 0.5), mk([]float64{0.9, 0.1}, 0, 0.99, false, 0.95)})
	assert.Equal(t, 3, s.Cases)
	assert.InDeltaSlice(t, []float64{0, 2.0 / 3, 1, 1, 1}, []float64{s.Inside50, s.Inside80, s.Inside90, s.Width, s.Winkler}, 1e-12)
	assert.InDeltaSlice(t, []float64{1.95 / 3, 2.0 / 3, -0.05 / 3, 0.1 / 3}, []float64{s.Stated, s.Realised, s.Bias, s.Raw}, 1e-12)
	assert.InDeltaSlice(t, []float64{(0.25 + 0.25 + 0.01) / 3, 1.0 / 3}, []float64{s.Brier, s.MonteCarlo}, 1e-12)
	assert.InDeltaSlice(t, []float64{0, 0, 1.0 / 3, 0, 0, 0, 0, 0, 1.0 / 3, 1.0 / 3}, s.PITs[:], 1e-12)
	assert.InDeltaSlice(t, []float64{2.0 / 3, (0.5 + 0.5 + 20*0.5 + 0.5) / 3, 1, 1}, []float64{s.Naive, s.NaiveScore, s.Independent, s.WorstInside}, 1e-12)
	assert.True(t, s.Few)
	assert.Equal(t, []Bin{{0.5, 0.6, 2, 0.5, 0.5}, {0.9, 1, 1, 0.9, 1}}, s.None)
}
