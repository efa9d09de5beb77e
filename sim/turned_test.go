package sim

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
)

// turnedFrom asks what a tank is enough for.
func turnedFrom(t testing.TB, q *Question) *Turned {
	t.Helper()
	c, _, _, answers := answered(t, q)
	out, err := q.Turned(t.Context(), c, answers[len(answers)-1])
	require.NoError(t, err)
	return out
}

// using is the question of uses so many times as large.
func (q *Question) using(scale float64) *Question {
	study, other := *q.study, *q
	study.Uses = slices.Clone(study.Uses)
	for i := range study.Uses {
		u := &study.Uses[i]
		u.Daily, u.Each = float64(u.Daily*scale), float64(u.Each*scale)
		for m := range u.Monthly {
			u.Monthly[m] *= scale
		}
	}
	other.study, other.ensemble = &study, NewEnsemble(&study, q.series.Years.Start)
	return &other
}

// claimOf is what is claimed of the largest size under so many times the roofs, by
// a run of its own.
func (q *Question) claimOf(t testing.TB, scale float64) Claim {
	t.Helper()
	s := q.study
	ladder := s.thin(s.rungs())
	sizes := s.NewSizes(ladder, s.largest())
	sum, err := q.Simulate(context.Background(), Row{Scale: scale, Sizes: sizes, Ladder: sizes.Places(ladder)})
	require.NoError(t, err)
	w := sum.Weights(0, s.Level).Heed(s.Measure, s.Target, sum.Evidence)
	return sum.Claim(w, s.Measure, 0, sizes.At(s.largest()))
}

// By hand: 400 mm fall on the first day of each year on 10 m² and nothing else
// does. A tank of 3,000 L spills before it gives what the first day wants (YAS),
// and lasts until the first day a year later has drawn: 3,000/366 = 8.197 L a day
// is the most, 8.19 in three digits. A tank of 10,000 L is filled by 4,000 L alone:
// 4,000/365 = 10.958. For 8 L a day 2,920 L must come: a roof of 7.3 m².
func TestTurnedByHand(t *testing.T) {
	pulse := seriesOf(t, 20, func(_, d int) float64 {
		if d == 0 {
			return 400
		}
		return 0
	})
	for m := Annual; m <= Volume; m++ {
		for _, c := range []struct{ tank, use, roof float64 }{{3000, 8.19, 7.3}, {10_000, 10.9, 7.3}} {
			s := unitQuestion(8)
			s.Roofs, s.Areas, s.Sizes = plain(10, 1, 1), []float64{10}, []float64{c.tank}
			s.Sought, s.Measure, s.Target, s.Workers = ForUse, m, 0.9999, 2
			got := turnedFrom(t, asked(t, pulse, gen.WaterYears(), s))
			if m == Annual {
				assert.InDelta(t, c.use, got.Use, 1e-9, "%v, %v", m, c.tank)
				assert.InDelta(t, c.roof, got.Roof, 1e-9, "%v, %v", m, c.tank)
			} else { // 0.9999 of days or of water leave a little
				assert.InEpsilon(t, c.use, got.Use, 0.02, "%v, %v", m, c.tank)
				assert.InEpsilon(t, c.roof, got.Roof, 0.02, "%v, %v", m, c.tank)
			}
			assert.True(t, math.IsNaN(got.UseSafe) && math.IsNaN(got.RoofLow), "no band without the record's error")
		}
	}
}

// What is said of a tank is what a run of its own says: the use and the roof meet
// the target, and the next number of three digits does not. The bounds are of few
// traces: they do so with a few hundredths more of roof, or of less use. A tank
// that was sized for a use is enough for it and not for much more.
func TestTurnedAgreesWithSize(t *testing.T) {
	t.Parallel()
	series := usualYears(t, 40)
	for m := Annual; m <= Volume; m++ {
		for _, weighed := range []bool{false, true} {
			if weighed == (m == Time) || testing.Short() && m != Annual {
				continue // each way with one or two of the measures
			}
			s := aiming(m, [3]float64{0.9, 0.97, 0.95}[m])
			s.Uses, s.RecordError, s.Years = []Use{{Daily: 40}, {Monthly: [12]float64{5: 900, 6: 900}}}, weighed, 10_000
			_, sizes, _, _ := answered(t, asked(t, series, gen.WaterYears(), s))
			turned := *s
			turned.Sizes, turned.Sought = []float64{sizes[0].Tank}, ForRoof
			q := asked(t, series, gen.WaterYears(), &turned)
			got, day := turnedFrom(t, q), MeanDemand(s.Uses)
			what := fmt.Sprint(m, weighed)
			assert.GreaterOrEqual(t, got.Use, day*0.998, what) // three digits
			assert.InEpsilon(t, day, got.Use, 0.05, what)
			assert.LessOrEqual(t, got.Roof, 60.0, what)
			assert.InEpsilon(t, 60, got.Roof, 0.05, what)
			held := func(use, roof float64) Claim {
				return q.using(use/day).claimOf(t, roof/60)
			}
			assert.GreaterOrEqual(t, s.valueOf(held(got.Use, 60)), s.Target, what)
			assert.Less(t, s.valueOf(held(got.Use+0.1, 60)), s.Target, what)
			assert.GreaterOrEqual(t, s.valueOf(held(day, got.Roof)), s.Target, what)
			assert.Less(t, s.valueOf(held(day, got.Roof-0.1)), s.Target, what)
			assert.Equal(t, 10_000, got.Years)
			if !weighed {
				continue
			}
			require.True(t, got.Shown, what)
			const about = 1.03
			assert.True(t, got.UseSafe < got.Use && got.Use < got.UseHigh, "%v %v", what, got)
			assert.True(t, got.RoofLow < got.Roof && got.Roof < got.RoofSafe, "%v %v", what, got)
			assert.GreaterOrEqual(t, held(got.UseSafe/about, 60).Low, s.Target, what)
			assert.Less(t, held(got.UseSafe*about, 60).Low, s.Target, what)
			assert.GreaterOrEqual(t, held(got.UseHigh/about, 60).High, s.Target, what)
			assert.Less(t, held(got.UseHigh*about, 60).High, s.Target, what)
			assert.GreaterOrEqual(t, held(day, got.RoofSafe*about).Low, s.Target, what)
			assert.Less(t, held(day, got.RoofSafe/about).Low, s.Target, what)
			assert.GreaterOrEqual(t, held(day, got.RoofLow*about).High, s.Target, what)
			assert.Less(t, held(day, got.RoofLow/about).High, s.Target, what)
		}
	}
}

// A use k times as large asks what a roof and a tank 1/k times as large do, but for
// rounding to units of 10 mL.
func TestUseIsRoof(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	series := usualYears(t, 20)
	for trial := range 12 {
		s := question()
		s.Rule, s.Measure, s.Years, s.Dead, s.Under = Rule(trial%2), Measure(trial%3), 1000, 0.05, Under{Dead: 20}
		s.Sizes = []float64{math.Round(300 * math.Exp(3*rng.Float64()))}
		s.Uses = append(s.Uses, Use{Monthly: [12]float64{3: 1000}})
		k := 0.3 + 2*rng.Float64()
		q := asked(t, series, gen.Guided(), s)
		few := q.turner(q.traces)
		require.NoError(t, few.look(t.Context(), []float64{1 / k}, nil))
		assert.InDelta(t, q.using(k).claimOf(t, 1).seen, few.points[0].of[ofUse].seen, 1e-3, "trial %d", trial)
		assert.Equal(t, q.claimOf(t, 1/k).seen, few.points[0].of[ofRoof].seen, "trial %d", trial)
	}
}

// Reliability rises with the roof and falls with the use, by both rules and for
// all measures, as the search takes for granted.
func TestReliabilityRisesWithRoofFallsWithUse(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 9))
	series := usualYears(t, 20)
	for trial := range 24 {
		s := question()
		s.Rule, s.Measure, s.Years, s.RecordError = Rule(trial%2), Measure(trial%3), 100, false
		s.Sizes = []float64{math.Round(200 * math.Exp(4*rng.Float64()))}
		s.Roofs[0].FirstFlush, s.Roofs[0].Wetting = 2*rng.Float64(), rng.Float64()
		s.Uses[0].Daily = 20 + 100*rng.Float64()
		q := asked(t, series, gen.WaterYears(), s)
		roof, use := 0.0, 1.0
		for _, scale := range []float64{0.25, 0.5, 0.8, 1, 1.01, 1.3, 2, 5} {
			c := q.claimOf(t, scale)
			assert.GreaterOrEqual(t, c.seen, roof, "trial %d, roof times %g", trial, scale)
			roof = c.seen
			c = q.using(scale).claimOf(t, 1)
			assert.LessOrEqual(t, c.seen, use, "trial %d, use times %g", trial, scale)
			use = c.seen
		}
	}
}

// The numbers of three digits come one after the other, the target being met sooner
// with each, and the one near to what roofs do lies at most a step from it.
func TestLeverSteps(t *testing.T) {
	for _, way := range []int{1, -1} {
		l := lever{unit: 3.785411784, own: 150, way: way}
		o := l.near(0.01)
		for last := l.x(o); last < 100; {
			o++
			x := l.x(o)
			require.True(t, x/last > 1.0009 && x/last < 1.0102, "%v at %d", x/last, o)
			require.InDelta(t, o, l.near(x*(1+1e-9)), 1)
			digits := l.value(o) / l.unit
			for digits >= 1000 {
				digits /= 10
			}
			for digits < 99.9999 {
				digits *= 10
			}
			require.InDelta(t, math.Round(digits), digits, 1e-6)
			last = x
		}
		assert.Equal(t, 1, l.stride(1, 0.0001))
		share := l.x(l.near(1)+l.stride(1, 0.05))/l.x(l.near(1)) - 1
		assert.True(t, share > 0.03 && share < 0.06, share)
	}
}

// It is told where it is asked or no size meets the target, and never from a
// record too short to tell a size. Where no roof is large enough that is said.
func TestWhenTurned(t *testing.T) {
	assert.Nil(t, solved(t, aiming(Annual, 0.9)).Turned)
	s := question()
	s.Uses = []Use{{Daily: 200}}
	assert.Nil(t, sized(t, usualYears(t, 3), gen.WaterYears(), s).Turned)
	s.Uses = []Use{{Daily: 20_000}}
	r := sized(t, usualYears(t, 12), gen.WaterYears(), s)
	assert.True(t, math.IsNaN(r.Turned.Roof))
	assert.InEpsilon(t, 100, r.Turned.Use, 1, "the same roof does for a use near its yield")
}

// Where no size meets a target, few traces tell of a roof and of a use that do, a
// day at a time, with the largest tank asked about; with 4 % less roof or more
// use it does not. The roof yields a third of what is wanted.
func TestTurnedAboutWhereOutOfReach(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("hundreds of tanks day by day; run without -short")
	}
	series := usualYears(t, 20)
	for m := Annual; m <= Volume; m++ {
		s := question()
		s.Uses, s.Sizes, s.Measure, s.Target, s.Years = []Use{{Daily: 200}}, []float64{5000, 40_000}, m, [3]float64{0.8, 0.97, 0.95}[m], 10_000
		q := asked(t, series, gen.WaterYears(), s)
		r := sized(t, series, gen.WaterYears(), s)
		require.Equal(t, OutOfReach, r.Main.Grade)
		got := r.Turned
		assert.Equal(t, 40_000.0, got.Tank)
		assert.Equal(t, aboutTraces*TraceYears, got.Years)
		assert.Empty(t, got.Map)
		assert.True(t, math.IsNaN(got.UseSafe) && math.IsNaN(got.RoofSafe))
		assert.GreaterOrEqual(t, measured(t, q, got.Roof, 40_000)[0], s.Target, "%v", m)
		assert.Less(t, measured(t, q, got.Roof*0.96, 40_000)[0], s.Target, "%v", m)
		assert.GreaterOrEqual(t, measured(t, q.using(got.Use/200), 60, 40_000)[0], s.Target, "%v", m)
		assert.Less(t, measured(t, q.using(got.Use/200*1.04), 60, 40_000)[0], s.Target, "%v", m)
	}
}

// The map rises with the tank and with the roof, holds the site's own roof and the
// one found, and says of a tank near to what a run of its own says.
func TestTurnedMap(t *testing.T) {
	t.Parallel()
	s := aiming(Annual, 0.9)
	s.Sizes, s.Sought, s.Years = []float64{4000}, ForUse, 10_000
	q := asked(t, usualYears(t, 40), gen.WaterYears(), s)
	got := turnedFrom(t, q)
	require.NotEmpty(t, got.Map)
	n := slices.IndexFunc(got.Map, func(x Spot) bool { return x.Roof != got.Map[0].Roof })
	for k, x := range got.Map {
		if k%n > 0 {
			assert.Greater(t, x.Tank, got.Map[k-1].Tank)
			assert.GreaterOrEqual(t, x.Share, got.Map[k-1].Share-1e-9)
		}
		if k >= n {
			assert.Equal(t, x.Tank, got.Map[k-n].Tank)
			assert.GreaterOrEqual(t, x.Share, got.Map[k-n].Share-1e-9)
		}
		if x.Tank == 4000 {
			assert.InDelta(t, s.valueOf(q.claimOf(t, x.Roof/60)), x.Share, 0.03, "%g m²", x.Roof)
		}
	}
	first, last := got.Map[0].Roof, got.Map[len(got.Map)-1].Roof
	assert.True(t, first < min(60, got.Roof) && last > max(60, got.Roof))
}
