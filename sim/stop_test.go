package sim

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
)

// pulses asks about 1 m² that gives so many litres on one day of each of twenty
// years, and a use of 1 L a day.
func pulses(t testing.TB, once float64, set func(*Study)) *Question {
	t.Helper()
	s := unitQuestion(1)
	s.Sizes, s.RecordError = []float64{100, 500}, true
	if set != nil {
		set(s)
	}
	return asked(t, seriesOf(t, 20, func(_, d int) float64 { return map[int]float64{100: once}[d] }), gen.WaterYears(), s)
}

func curvesOf(t testing.TB, q *Question) *Curves {
	t.Helper()
	c, err := q.Curves(t.Context())
	require.NoError(t, err)
	return c
}

// stopped is the stop of a question, with its band.
func stopped(t testing.TB, q *Question) Stop {
	t.Helper()
	return q.study.Stop(curvesOf(t, q))
}

// One filling a year (DERIV): every litre of tank is used once, up to what falls
// or to what is used until the next fall, and no litre beyond. A share of dead
// storage is a share of each litre that is not used.
func TestTurnoverOfOneFillingAYear(t *testing.T) {
	for _, c := range []struct{ once, dead, last float64 }{
		{200, 0, 200},
		{1000, 0, 365},
		{180, 0.1, 200}, // of which 180 L are usable
	} {
		for rule := YAS; rule <= YBS; rule++ {
			last := c.last
			if rule == YBS && c.once < 365 {
				last-- // the first litre is drawn before it is stored
			}
			q := pulses(t, c.once, func(s *Study) { s.Dead, s.Rule = c.dead, rule })
			at := map[float64]float64{}
			for _, x := range q.study.turns(curvesOf(t, q)) {
				at[x.Tank] = x.Times
			}
			full := 1 - c.dead
			near(t, []float64{full, full, full, full, 0, 0, 0}, []float64{at[10], at[50], at[100], at[last-1], at[last+2], at[last+10], at[700]}, 1e-9, "%v %v", c, rule)
			got := stopped(t, q)
			assert.InDelta(t, last, got.Tank, 1, "%v %v", c, rule)
			near(t, Stop{got.Tank, got.Tank, got.Tank, ByTurnover, 0.5, min(c.once, 365)}, got, 1, "every record is the same: no band")
		}
	}
}

// Turnover is what a tank gives beyond one that is a little smaller: the same
// traces a day and a tank at a time, by the rule as it is written.
func TestTurnoverByHand(t *testing.T) {
	for m := Annual; m <= Volume; m++ {
		s := question()
		s.Measure, s.Rule, s.Dead, s.Years, s.Uses = m, Rule(m%2), 0.04*float64(m), 100, []Use{{Daily: 45, Days: weekdays()}}
		s.Sizes = []float64{100, 6000}
		q := put(t, s)
		c := curvesOf(t, q)
		turns := s.turns(c)
		require.Less(t, turns[0].Tank, 0.5)
		require.Equal(t, c.Rungs[len(c.Rungs)-1], turns[len(turns)-1].Tank)
		for k, of := range turns {
			if !slices.Contains([]float64{89, 200, 310, 450, 520}, of.Tank) {
				continue
			}
			sum := byHandAll(q, 60, turns[k-1].Tank, of.Tank).total[0]
			want := (sum[1].supplied - sum[0].supplied) / (of.Tank - turns[k-1].Tank) / 100
			require.Greater(t, want, 0.0)
			whole := store.Litres(s.usable(of.Tank)-s.usable(turns[k-1].Tank)) / (of.Tank - turns[k-1].Tank) / (1 - s.Dead)
			assert.InDelta(t, want, of.Times*whole, want*1e-9, "%v at %g L", m, of.Tank)
		}
		// What is drawn is the same at sizes farther apart, and ends where
		// hardly any litre is used.
		shown := s.Turnover(c)
		for _, x := range shown {
			require.True(t, slices.Contains(turns, x))
		}
		assert.GreaterOrEqual(t, shown[0].Tank, MeanDemand(s.Uses))
		assert.Less(t, shown[0].Tank, MeanDemand(s.Uses)*1.01)
		for k, x := range shown[1:] {
			assert.GreaterOrEqual(t, x.Tank, min(shown[k].Tank*1.029, shown[k].Tank+2*MeanDemand(s.Uses)))
			assert.LessOrEqual(t, x.Tank, shown[k].Tank*1.041)
			assert.GreaterOrEqual(t, shown[k].Times, 0.01)
		}
		assert.Less(t, shown[len(shown)-1].Times, 0.01)
	}
}

// Every litre up to the stop is used every other year, the next is not, and the
// sizes asked about, the target and the measure have no say in it.
func TestStopAsWater(t *testing.T) {
	ask := func(set func(*Study)) (Stop, *Study, *Curves) {
		s := question()
		s.RecordError, s.Dead = true, 0.03
		set(s)
		q := put(t, s)
		return stopped(t, q), s, curvesOf(t, q)
	}
	want, s, c := ask(func(*Study) {})
	assert.Equal(t, []any{ByTurnover, 0.5}, []any{want.Method, want.Least})
	rises(t, 1, want.Low, want.Tank, want.High)
	assert.Less(t, want.Low, want.High)
	for _, x := range s.turns(c) {
		switch {
		case x.Tank <= want.Tank:
			require.GreaterOrEqual(t, x.Times, 0.5, "%g L", x.Tank)
		case x.Tank < want.Tank*1.02:
			require.Less(t, x.Times, 0.5, "%g L", x.Tank)
		}
	}
	assert.Contains(t, threeDigitSizes(t, 1, want.Low/2, want.High*2), want.Tank)
	for _, sizes := range [][]float64{{5}, {20000, 90000}, s.Sizes} {
		for m := Annual; m <= Volume; m++ {
			got, _, _ := ask(func(s *Study) { s.Sizes, s.Measure, s.Target = sizes, m, 0.5 })
			require.Equal(t, want, got, "%v %v", sizes, m)
		}
	}
	us, _, _ := ask(func(s *Study) { s.Unit = 3.785411784 })
	assert.InEpsilon(t, want.Tank, us.Tank, 0.02)
	assert.Contains(t, threeDigitSizes(t, 3.785411784, 1, 1e5), us.Tank)
}

// Where rain falls too rarely for any litre to be used every other year, and
// where none falls, there is no such size.
func TestNoStop(t *testing.T) {
	for _, every := range []int{4, 100} {
		s := unitQuestion(1)
		s.RecordError = true
		q := asked(t, seriesOf(t, 20, func(y, d int) float64 {
			if d == 100 && y%every == every-1 {
				return 300
			}
			return 0
		}), gen.WaterYears(), s)
		got := stopped(t, q)
		near(t, Stop{math.NaN(), math.NaN(), math.NaN(), ByTurnover, 0.5, math.NaN()}, got, 0, "%d", every)
	}
}

// The litres between two tanks, 100 L and 300 L, of two traces of ten years: 500
// and 700 L more, 0.25 and 0.35 times a year.
func TestTurningBetweenSizes(t *testing.T) {
	sum := NewTotals([]Row{{Sizes: question().NewSizes([]float64{100, 300}), Ladder: []int{0, 1}}}, Evidence{})
	sum.Add(tallied(10, 9000, 9000, tally{supplied: 1000}, tally{supplied: 1500}))
	sum.Add(tallied(10, 9000, 9000, tally{supplied: 1200}, tally{supplied: 1900}))
	near(t, share{1.1, 0.01}, sum.of(turning, 0, 0), 1e-12) // of 1.0 and 1.2
	near(t, share{0.3, 0.0025}, sum.of(turning, 0, 1), 1e-12)
}

// A band reaches to the stops of a record so much wetter and so much drier, and
// holds the stop itself; it is open where one lies beyond reach.
func TestStopBand(t *testing.T) {
	s := question()
	s.Level, s.RecordError = 0.5, true // 0.67449 standard errors either way
	x := search{[]float64{1, 2, 3, 4, 5}, []float64{0.9, 0.7, 0.55, 0.2, 0.1}, turning, oftenUsed}
	nan := math.NaN()
	for move, want := range map[float64][3]float64{0: {3, 3, 3}, 0.04: {3, 3, 3}, 0.1: {2, 3, 3}, 0.25: {1, 3, 3}, 0.35: {1, 3, 4}, 0.45: {nan, 3, nan}} {
		// Two traces of one year whose litres are used so much more and less
		// than the mean: its standard error, and as many years of record.
		sum := NewTotals([]Row{{Sizes: s.NewSizes(x.sizes), Ladder: []int{0, 1, 2, 3, 4}}}, Evidence{Usable: 2, Worth: 1})
		for _, by := range []float64{-move / 0.67449, move / 0.67449} {
			supplied, tallies := 10.0, []tally(nil)
			for _, times := range x.did {
				supplied += times + by
				tallies = append(tallies, tally{supplied: supplied})
			}
			sum.Add(tallied(1, 100, 100, tallies...))
		}
		w := &Weights{synthetic: 2, cluster: 2}
		w.years[Volume] = 1
		got := x.stop(Stop{}, s, &Curves{Totals: sum, rows: []int{0}, weights: []*Weights{w}})
		near(t, want[:], []float64{got.Low, got.Tank, got.High}, 0, "%g", move)
	}
}

// Present values, all COMP from (1 − (1+i)^−n)/i and, where prices rise by g,
// from (1 − ((1+g)/(1+i))^n)/(i − g).
func TestPresentValue(t *testing.T) {
	ones := func(n int) []float64 { return slices.Repeat([]float64{1}, n) }
	assert.InDelta(t, 7.7217349, present(ones(10), 0.05), 5e-8)
	assert.InDelta(t, 14.0939446, present(ones(25), 0.05), 5e-8)
	assert.InDelta(t, 0.0709524573, 1/present(ones(25), 0.05), 5e-11)
	assert.Equal(t, 25.0, present(ones(25), 0))
	c := Costs{Water: 1, Life: 25, Discount: 0.05, Rise: 0.03}
	assert.InDelta(t, 19.085079, present(c.years(1000), 0.05), 5e-7)
	// $3,000 and 20 kL a year: $10.64287 a kL.
	c = Costs{Sizes: []float64{5000}, Prices: []float64{3000}, Water: 2, Life: 25, Discount: 0.05}
	assert.InDelta(t, 10.64287, c.Levelised(5000, 20_000), 5e-6)
}

// Discounted payback: worked examples of course texts (the values READ, in texts
// on capital budgeting), by a straight line within the year.
func TestPayback(t *testing.T) {
	for _, x := range []struct {
		price    float64
		in       []float64
		discount float64
		want     float64
	}{
		{2_324_000, slices.Repeat([]float64{600_000}, 10), 0.11, 5.3319},
		{800_000, slices.Repeat([]float64{150_000}, 20), 0.15, 11.53},
		{25_000, slices.Repeat([]float64{15_000}, 5), 0.18, 2.166},
		{10_400, []float64{2800, 3700, 5100, 4300}, 0.14, 3.65},
		{0, []float64{1}, 0.05, 0},
	} {
		assert.InDelta(t, x.want, Payback(x.price, x.in, x.discount), 0.006, "%v", x)
	}
	assert.True(t, math.IsNaN(Payback(1000, slices.Repeat([]float64{90}, 25), 0.1)), "never")
	assert.True(t, math.IsNaN(Payback(100, []float64{200, -300, 10}, 0)), "what is paid for and lost again")
}

// A retrofit of 1,100 US gallons for $2,700 that saves 16,522 gal a year at
// $0.012 a gallon, 5 %, 25 years (COMP, apart from this program).
func TestWholeLifeOfARetrofit(t *testing.T) {
	const gal = 3.785411784
	c := Costs{Sizes: []float64{1100 * gal}, Prices: []float64{2700}, Water: 0.012 / gal * 1000, Life: 25, Discount: 0.05}
	saves := 16522 * gal
	assert.InDelta(t, 94, c.Value(1100*gal, saves), 1)
	c.Upkeep, c.Energy, c.Power, c.Pump, c.PumpLife = 50, 1.5, 0.15, 400, 10
	assert.InDelta(t, -1205, c.Value(1100*gal, saves), 1)
	assert.InDelta(t, 4.54, c.Levelised(1100*gal, saves), 0.01)
	assert.True(t, math.IsNaN(c.Payback(1100*gal, saves)))
	c.Rise = 0.03
	assert.InDelta(t, -215, c.Value(1100*gal, saves), 1)
}

func TestPriceAndValue(t *testing.T) {
	c := priced()
	for size, want := range map[float64]float64{999: math.NaN(), 1000: 800, 3000: math.NaN(), 5000: 2000, 10000: 4000, 10001: math.NaN()} {
		near(t, want, c.Price(size), 1e-9)
	}
	// 30 m³ a year at 4 is 120; 120 · 14.0939446 = 1,691.27335, less 2,000.
	assert.InDelta(t, -308.72665, c.Value(5000, 30000), 1e-5)
}

// With prices the stop is the one of them that is worth most.
func TestStopByValue(t *testing.T) {
	for _, c := range []struct {
		sizes, prices []float64
		water, want   float64
	}{
		{[]float64{50, 200, 900}, []float64{10, 11.5, 18.5}, 20, 200}, // 0.01 a litre, once a year worth 0.02·14.09
		{[]float64{50, 900}, []float64{10, 18.5}, 20, 900},            // what lies between has no price
		{[]float64{50, 900}, []float64{10, 350}, 20, 50},              // 0.4 a litre: none is worth its price
		{[]float64{50.5, 150.5, 900}, []float64{0, 10, 700}, 20, 150.5},
		{[]float64{50, 900}, []float64{10, 10}, 0, 50}, // of equal worth the smallest
		{[]float64{300, 90000}, []float64{1, 1}, 20, 300},
	} {
		got := stopped(t, pulses(t, 200, func(s *Study) {
			s.Costs = &Costs{Sizes: c.sizes, Prices: c.prices, Water: c.water, Life: 25, Discount: 0.05}
		}))
		near(t, []float64{c.want, c.want, c.want}, []float64{got.Tank, got.Low, got.High}, 0, fmt.Sprint(c))
		assert.Equal(t, ByValue, got.Method)
		assert.InDelta(t, min(c.want, 200), got.Supplied, 1e-9)
	}

	s := question()
	s.Costs = &Costs{Sizes: []float64{500, 1000, 1500, 2000, 4000, 8000}, Prices: []float64{300, 390, 500, 590, 1000, 1800}, Water: 3, Life: 25, Discount: 0.035}
	q := put(t, s)
	got, c := stopped(t, q), curvesOf(t, q)
	most, at := math.Inf(-1), 0.0
	for k, x := range s.Costs.Sizes {
		// 1/0.035·(1 − 1.035⁻²⁵) = 16.48151459 (COMP)
		if v := c.supplied(x)/1000*3*16.48151459 - s.Costs.Prices[k]; v > most {
			most, at = v, x
		}
	}
	assert.Greater(t, at, 500.0)
	assert.Less(t, at, 8000.0)
	assert.Equal(t, at, got.Tank)
	assert.InDelta(t, most, s.Costs.Value(got.Tank, got.Supplied), 1e-4)
}
