package sim

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
)

// solved is the answer of a study about the same twelve years.
func solved(t testing.TB, s *Study) *Result {
	t.Helper()
	return sized(t, usualYears(t, 12), gen.WaterYears(), s)
}

// measured returns a study's measure at usable sizes under a roof area, from
// the same traces that Size takes.
func measured(t testing.TB, s *Study, area float64, usable ...float64) []float64 {
	t.Helper()
	sum, err := asked(t, usualYears(t, 12), gen.WaterYears(), s).Simulate(t.Context(), []Row{{Scale: area / TotalArea(s.Roofs), Usable: usable}})
	require.NoError(t, err)
	out := make([]float64, len(usable))
	for k := range out {
		out[k] = sum.of(s.Measure, 0, k).value
	}
	return out
}

// aiming is a study with a target.
func aiming(m Measure, target float64, sizes ...float64) *Study {
	s := question()
	s.Measure, s.Target = m, target
	if sizes != nil {
		s.Sizes = sizes
	}
	return s
}

// For each measure, rule and area the size found meets the target, and one
// that is 0.2 % smaller does not: held against a grid in steps of 0.05 %.
func TestSolverAgainstAFineGrid(t *testing.T) {
	met := 0
	for m := Annual; m <= Volume; m++ {
		for rule := YAS; rule <= YBS; rule++ {
			s := aiming(m, [3]float64{0.7, 0.93, 0.9}[m])
			s.Rule, s.Dead, s.Areas = rule, 0.1, []float64{40, 60, 90}
			r := solved(t, s)
			require.Len(t, r.Answers, 3)
			for _, a := range append(r.Answers[:3:3], r.Main) {
				name, need := fmt.Sprintf("%v %v %g m²", m, rule, a.Area), s.Usable(a.Tank)
				if math.IsNaN(a.Tank) {
					assert.Less(t, measured(t, s, a.Area, s.Usable(8000))[0], s.Target, name)
					continue
				}
				met++
				var fine []float64
				for x := need * 0.992; x < need*1.004; x *= 1.0005 {
					fine = append(fine, x)
				}
				y := measured(t, s, a.Area, fine...)
				require.True(t, slices.IsSorted(y), "%s: more storage, less reliability", name)
				for k, x := range fine {
					if x >= need*(1+1e-9) {
						require.GreaterOrEqual(t, y[k], s.Target, name)
					}
					if x <= need/tolerance*(1-1e-9) {
						require.Less(t, y[k], s.Target, name)
					}
				}
				require.GreaterOrEqual(t, a.Cell.Of(m).Estimate, s.Target, name)
				require.Equal(t, measured(t, s, a.Area, need)[0], a.Cell.Of(m).Estimate, name)
				// The smallest size asked about that meets it.
				k := slices.IndexFunc(measured(t, s, a.Area, s.usables(s.Sizes)...), func(y float64) bool { return y >= s.Target })
				require.Equal(t, s.Sizes[k], a.Listed, name)
			}
			near(t, r.Answers[1].Tank, r.Main.Tank, 0, "the site's own roof has one answer")
			// More roof never needs a larger tank.
			require.False(t, r.Answers[0].Tank < r.Answers[1].Tank*0.99 || r.Answers[1].Tank < r.Answers[2].Tank*0.99)
		}
	}
	assert.Greater(t, met, 12)
}

// A size asked about that just meets the target is not passed over for the
// sake of the solver's 1 %, however the site's own curve is cut.
func TestSolverAndTheListAgree(t *testing.T) {
	s := aiming(Volume, 0.9)
	need := s.Usable(solved(t, s).Main.Tank)
	for _, k := range []float64{0.97, 0.98, 0.985, 0.99, 0.993, 0.996, 0.999, 1, 1.003} {
		s.Sizes = []float64{200, need * k, 8000}
		r := solved(t, s)
		want := s.Sizes[2]
		if measured(t, s, 60, s.usables(s.Sizes)...)[1] >= s.Target {
			want = s.Sizes[1]
		}
		require.Equal(t, want, r.Main.Listed, "%g", k)
		require.Equal(t, r.Answers[0].Listed, r.Main.Listed)
		require.LessOrEqual(t, r.Main.Tank, r.Main.Listed)
	}
}

// Wherever the sizes asked about lie, the same size is found: among them,
// below the smallest, above the largest up to so many times its size, and from
// one size alone. Beyond that, and where the roof yields too little, there is
// none.
func TestSolverOutsideTheRange(t *testing.T) {
	nan := math.NaN()
	for _, m := range []Measure{Time, Volume} {
		need := solved(t, aiming(m, 0.9)).Main.Tank
		for _, c := range []struct {
			sizes                []float64 // of the need
			tank, beyond, listed float64
			why                  Why
		}{
			{[]float64{2, 4}, 1, nan, 2, MeetsBelow},
			{[]float64{900, 1800}, 1, nan, 900, MeetsBelow},
			{[]float64{1e6, 2e6}, 1, nan, 1e6, MeetsBelow},
			{[]float64{3}, 1, nan, 3, Meets},
			{[]float64{0.3, 3}, 1, nan, 3, Meets},
			{[]float64{1.0 / 3}, nan, 1, nan, SpellsTooLong},
			{[]float64{1.0 / 40, 1.0 / 20}, nan, 1, nan, SpellsTooLong},
			{[]float64{1.0 / 400, 1.0 / 200}, nan, nan, nan, NoneWithinReach}, // more than 64 times too small
		} {
			for k := range c.sizes {
				c.sizes[k] *= need
			}
			r := solved(t, aiming(m, 0.9, c.sizes...))
			near(t, []float64{c.tank, c.beyond}, []float64{r.Main.Tank / need, r.Main.Beyond / need}, 0.0041, "%v of %v", m, c)
			near(t, c.listed, r.Main.Listed/need, 1e-12)
			near(t, r.Main.Tank, r.Answers[0].Tank, 0)
			assert.Equal(t, c.why, r.Main.Why)
			last := r.Curve[len(r.Curve)-1]
			assert.Equal(t, last.Of(m).Estimate, r.Main.Reached)
		}
	}

	// Yield before spillage meets a low target with hardly a tank at all.
	s := aiming(Volume, 0.01, 1e9, 2e9)
	s.Rule = YBS
	tank := solved(t, s).Main.Tank
	assert.True(t, 0 < tank && tank < 0.1, "%g", tank)

	s = question()
	s.Uses = []Use{{Daily: 200}} // three times what the roof yields
	a := solved(t, s).Main
	assert.True(t, math.IsNaN(a.Tank) && math.IsNaN(a.Beyond))
	assert.InDelta(t, 200*365, a.Cell.Demand, 1e-6)
	assert.Less(t, a.Cell.Inflow, a.Cell.Demand)
	assert.Equal(t, YieldTooSmall, a.Why)
}

// The bounds of the answer are where a study that asks about those very sizes
// finds the bounds of the claim at the target: the safe size is safe, one a
// hundredth smaller is not.
func TestBoundsOfTheAnswerHold(t *testing.T) {
	series := usualYears(t, 40)
	s := question()
	s.RecordError, s.Years, s.Target, s.Areas = true, 1000, 0.8, []float64{30, 60}
	r := sized(t, series, gen.WaterYears(), s)
	a := r.Main
	require.True(t, a.Low < a.Tank && a.Tank < a.Safe, "%v", a)
	own := r.Answers[1]
	require.Equal(t, []float64{a.Low, a.High, a.Safe}, []float64{own.Low, own.High, own.Safe}, "one question, one answer")
	s.Areas, s.Sizes = []float64{60}, []float64{a.Low * 0.98, a.Low, a.Safe * 0.98, a.Safe}
	c := sized(t, series, gen.WaterYears(), s).Cells
	require.Less(t, c[0].Annual.High, s.Target)
	require.GreaterOrEqual(t, c[1].Annual.High, s.Target)
	require.Less(t, c[2].Annual.Low, s.Target)
	require.GreaterOrEqual(t, c[3].Annual.Low, s.Target)
}
