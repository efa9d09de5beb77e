package sim

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
	"tankodds/sim/internal/steady"
	"tankodds/sim/internal/store"
)

// put puts a study to the same twelve years.
func put(t testing.TB, s *Study) *Question {
	t.Helper()
	return asked(t, usualYears(t, 12), gen.WaterYears(), s)
}

// solved is the answer of a study about them.
func solved(t testing.TB, s *Study) *Result {
	t.Helper()
	return sized(t, usualYears(t, 12), gen.WaterYears(), s)
}

// measured returns what is held against a study's target at nominal sizes under
// a roof area, a day and a tank at a time on the same traces that Size takes.
func measured(t testing.TB, q *Question, area float64, nominal ...float64) []float64 {
	sum, out := byHandAll(q, area, nominal...), make([]float64, len(nominal))
	w := &Weights{}
	if q.study.RecordError { // what the row's tanks have in common is tested by itself
		c, err := q.Curves(t.Context())
		require.NoError(t, err)
		w = c.weights[slices.Index(c.Areas, area)]
	}
	for k := range out {
		out[k] = q.study.valueOf(sum.Claim(w, q.study.Measure, 0, k))
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

// threeDigitSizes lists the numbers of three digits of a unit from one size to
// another, L, as they are read.
func threeDigitSizes(t testing.TB, unit, from, to float64) (out []float64) {
	t.Helper()
	for e := -9; e < 9; e++ {
		if least := unit * math.Pow10(e+2); least > 2*to || 20*least < from { // none is near
			continue
		}
		for n := 100; n < 1000; n++ {
			x, err := strconv.ParseFloat(fmt.Sprintf("%de%d", n, e), 64)
			if err != nil {
				require.NoError(t, err)
			}
			if x *= unit; x >= from && x <= to {
				out = append(out, x)
			}
		}
	}
	return out
}

// The sizes that may be an answer are all numbers of three digits of the
// reader's unit, from a hundredth of a day's use up to all that is ever wanted.
func TestRungs(t *testing.T) {
	for _, unit := range []float64{1, 1000, 3.785411784} {
		for _, daily := range []float64{0.3, 60, 9e6} {
			s := unitQuestion(daily)
			s.Unit = unit
			got := s.rungs()
			require.Equal(t, threeDigitSizes(t, unit, daily/100, min(55*365*daily, store.Litres(store.Most)-1)), got, "%g L a day by %g L", daily, unit)
		}
	}
}

// For each measure, rule, unit and area the size found is the smallest of all of
// three digits that meets the target; the exact size is the smallest of all: a
// good year to the unit, by a straight line between two neighbours otherwise.
func TestAnswerIsTheSmallestOfThreeDigits(t *testing.T) {
	t.Parallel()
	met := 0
	for n := range 12 {
		m := Measure(n % 3)
		s := aiming(m, [3]float64{0.7, 0.93, 0.9}[m])
		s.Rule, s.Dead, s.Areas, s.RecordError = Rule(n/3%2), 0.1, []float64{40, 60, 90}, n < 6
		s.Unit, s.Allow, s.Start = []float64{1, 3.785411784}[n/6], n/6, new(500*float64(n/6))
		q := put(t, s)
		_, _, _, answers := answered(t, q)
		require.Len(t, answers, 4)
		for _, a := range answers {
			name := fmt.Sprintf("%v %v %g m²", m, s.Rule, a.Area)
			if math.IsNaN(a.Tank) {
				require.Less(t, measured(t, q, a.Area, s.largest())[0], s.Target, name)
				require.True(t, math.IsNaN(a.Exact) && math.IsNaN(a.Listed), name)
				continue
			}
			met++
			smaller := append(steady.Ratios(10, a.Tank*0.85, 8), threeDigitSizes(t, s.Unit, a.Tank*0.92, a.Tank)...)
			at := len(smaller) - 1
			require.Equal(t, a.Tank, smaller[at], "%s: none of three digits", name)
			y := measured(t, q, a.Area, smaller...)
			for k, x := range smaller {
				require.Equal(t, x >= a.Tank, y[k] >= s.Target, "%s: %g L of %g", name, x, a.Tank)
			}
			require.Equal(t, byHandAll(q, a.Area, a.Tank).of(m, 0, 0).value, a.Cell.MonteCarlo.Of(m).Estimate, name)

			rises(t, smaller[at-1], a.Exact, a.Tank)
			if m == Annual {
				unit := store.Litres(1) / (1 - s.Dead)
				y := measured(t, q, a.Area, a.Exact-unit, a.Exact)
				require.True(t, y[0] < s.Target && y[1] >= s.Target, "%s: %v about %g L", name, y, a.Exact)
			} else {
				line := y[at-1] + (y[at]-y[at-1])*(a.Exact-smaller[at-1])/(a.Tank-smaller[at-1])
				require.InDelta(t, s.Target, line, 1e-12, name)
			}
			k := slices.IndexFunc(measured(t, q, a.Area, s.Sizes...), func(y float64) bool { return y >= s.Target })
			require.Equal(t, s.Sizes[k], a.Listed, "%s: the smallest size asked about that meets it", name)
		}
		near(t, answers[1], answers[3], 0, "the site's own roof has one answer")
		// More roof never needs a larger tank.
		require.False(t, answers[0].Tank < answers[1].Tank || answers[1].Tank < answers[2].Tank)
	}
	assert.Greater(t, met, 30)
}

// A size asked about that just meets the target is not passed over for the sake
// of three digits, however the site's own curve is cut, and the answer is not
// called out of reach where one of them does.
func TestSolverAndTheListAgree(t *testing.T) {
	t.Parallel()
	for m := Annual; m <= Volume; m++ {
		q := put(t, aiming(m, 0.9))
		need := solved(t, q.study).Main
		for _, k := range []float64{0.97, 0.98, 0.985, 0.99, 0.993, 0.996, 0.999, 1, 1.0001, 1.003} {
			size := need.Exact * k
			meets := measured(t, q, 60, size)[0] >= 0.9
			for _, larger := range [][]float64{{8000}, nil} {
				r := solved(t, aiming(m, 0.9, append([]float64{200, size}, larger...)...))
				near(t, r.Answers[0].Listed, r.Main.Listed, 0)
				switch {
				case meets:
					require.Equal(t, []float64{need.Tank, size}, []float64{r.Main.Tank, r.Main.Listed}, "%v %g", m, k)
				case larger != nil:
					require.Equal(t, []float64{need.Tank, 8000}, []float64{r.Main.Tank, r.Main.Listed}, "%v %g", m, k)
				default:
					near(t, []float64{need.Tank, math.NaN()}, []float64{r.Main.Tank, r.Main.Listed}, 0, "%v %g", m, k)
				}
			}
		}
	}
}

// The answer and its band are the same whatever sizes are asked about: three, a
// thousand, only smaller ones or only larger ones.
func TestAnswerDoesNotHangOnTheList(t *testing.T) {
	t.Parallel()
	series := usualYears(t, 5) // so few that their error is not lost in the noise
	lists := [][]float64{{200, 2000, 8000}, steady.Ratios(100, 30000, 1000), {20000, 40000}, {1e6}, {3, 5}, {50}}
	for m := Annual; m <= Volume; m++ {
		var want []float64
		for _, sizes := range lists {
			s := aiming(m, [3]float64{0.6, 0.93, 0.9}[m], sizes...)
			s.RecordError = true
			a := sized(t, series, gen.WaterYears(), s).Main
			got := []float64{a.Tank, a.Exact, a.Low, a.High, a.Safe}
			if want == nil {
				want = got
				require.Less(t, a.Low, a.Tank)
				require.Less(t, a.Tank, a.Safe)
			}
			require.Equal(t, want, got, "%v, %d sizes from %g L", m, len(sizes), sizes[0])
		}
	}
}

// Wherever the sizes asked about lie, the same size is found: among them, below
// the smallest, above the largest, and from one size alone. Where the roof
// yields too little there is none.
func TestSolverOutsideTheRange(t *testing.T) {
	t.Parallel()
	nan := math.NaN()
	for m := Annual; m <= Volume; m++ {
		need := solved(t, aiming(m, 0.9)).Main.Tank
		for _, c := range []struct {
			sizes  []float64 // of the need
			listed float64
		}{
			{[]float64{0.5, 1, 2}, 1}, {[]float64{2, 4}, 2}, {[]float64{900, 1800}, 900}, {[]float64{1e5, 2e6}, 1e5}, {[]float64{3}, 3},
			{[]float64{0.3, 3}, 3}, {[]float64{1.0 / 3}, nan}, {[]float64{1.0 / 400, 1.0 / 200}, nan}, {[]float64{1e-6}, nan},
		} {
			for k := range c.sizes {
				c.sizes[k] *= need
			}
			r := solved(t, aiming(m, 0.9, c.sizes...))
			near(t, 1, r.Main.Tank/need, 0, "%v of %v", m, c)
			near(t, c.listed, r.Main.Listed/need, 1e-12)
			near(t, []float64{r.Main.Tank, r.Main.Exact, r.Main.Listed}, []float64{r.Answers[0].Tank, r.Answers[0].Exact, r.Answers[0].Listed}, 0)
			assert.Equal(t, Meets, r.Main.Why)
			last := r.Rows()[0][len(c.sizes)-1]
			assert.Equal(t, last.Of(m).Estimate, r.Main.Reached)
			assert.LessOrEqual(t, r.Curve[0].Tank, r.Main.Tank)
			assert.GreaterOrEqual(t, r.Curve[len(r.Curve)-1].Tank, r.Main.Tank, "the curve reaches the answer")
		}
	}

	// Yield before spillage meets a low target with hardly a tank at all: the
	// smallest there is.
	s := aiming(Volume, 0.01, 1e6, 2e6)
	s.Rule = YBS
	assert.Equal(t, s.rungs()[0], solved(t, s).Main.Tank)

	s = question()
	s.Uses = []Use{{Daily: 200}} // three times what the roof yields
	a := solved(t, s).Main
	assert.True(t, math.IsNaN(a.Tank) && math.IsNaN(a.Exact))
	assert.InDelta(t, 200*365, a.Cell.Demand, 1e-6)
	assert.Less(t, a.Cell.Inflow, a.Cell.Demand)
	assert.Equal(t, []any{OutOfReach, YieldTooSmall}, []any{a.Grade, a.Why})
}

// The bounds of the answer are where a study that asks about those very sizes
// finds the bounds of the claim at the target: the safe size is safe, the next
// smaller of three digits is not.
func TestBoundsOfTheAnswerHold(t *testing.T) {
	series := usualYears(t, 40)
	s := question()
	s.RecordError, s.Years, s.Target, s.Areas = true, 1000, 0.8, []float64{30, 60}
	r := sized(t, series, gen.WaterYears(), s)
	a := r.Main
	require.True(t, a.Low < a.Tank && a.Tank < a.Safe, "%v", a)
	own := r.Answers[1]
	require.Equal(t, []float64{a.Low, a.High, a.Safe}, []float64{own.Low, own.High, own.Safe}, "one question, one answer")
	below := func(size float64) float64 {
		three := threeDigitSizes(t, 1, size*0.9, size)
		return three[len(three)-2]
	}
	s.Areas, s.Sizes = []float64{60}, []float64{below(a.Low), a.Low, below(a.Safe), a.Safe}
	c := sized(t, series, gen.WaterYears(), s).Cells
	require.Less(t, c[0].Annual.High, s.Target)
	require.GreaterOrEqual(t, c[1].Annual.High, s.Target)
	require.Less(t, c[2].Annual.Low, s.Target)
	require.GreaterOrEqual(t, c[3].Annual.Low, s.Target)
}
