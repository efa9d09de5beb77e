package sim

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func priced() *Costs {
	return &Costs{Sizes: []float64{1000, 5000, 10000}, Prices: []float64{800, 2000, 4000}, Water: 4, Life: 25, Discount: 0.05}
}

func TestStudyCheck(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		set  func(*Study)
		want string
	}{
		{func(s *Study) {}, ""},
		{func(s *Study) { s.Roofs = nil }, "no roof"},
		{func(s *Study) { s.Roofs = make([]Roof, 101) }, "101 roofs; 100 are the most"},
		{func(s *Study) { s.Uses = make([]Use, 101) }, "101 uses of water; 100 are the most"},
		{func(s *Study) { s.Sizes, s.Areas = make([]float64, 201), make([]float64, 100) }, "201 tank sizes under 100 roof areas are 20100 tanks; 20000 are the most"},
		{func(s *Study) { s.Uses = nil }, "the uses want no water"},
		{func(s *Study) { s.Uses[0].Daily = 0 }, "the uses want no water"},
		{func(s *Study) { s.Sizes = nil }, "no tank size or no roof area to simulate"},
		{func(s *Study) { s.Areas = nil }, "no tank size or no roof area to simulate"},
		{func(s *Study) { s.Sizes = []float64{0, 1} }, "tank sizes must be above 0 and rising; number 1 is 0 L"},
		{func(s *Study) { s.Sizes = []float64{5, 5} }, "tank sizes must be above 0 and rising; number 2 is 5 L"},
		{func(s *Study) { s.Sizes = []float64{5, inf} }, "tank sizes must be above 0 and rising; number 2 is +Inf L"},
		{func(s *Study) { s.Sizes = []float64{5, 2e10} }, "a tank of 2e+10 L; 11 million m³ is the most"},
		{func(s *Study) { s.Uses[0].Daily = 0.5 }, "the uses want 0.5 L a day; 1 L is the least, as volumes are whole units of 10 mL"},
		{func(s *Study) { s.Uses[0].Daily = 2e8 }, "the uses want 2e+08 L a day; 110,000 m³ is the most"},
		{func(s *Study) { s.Unit = 0 }, "a unit of volume of 0 L is not above 0"},
		{func(s *Study) { s.Unit = nan }, "a unit of volume of NaN L is not above 0"},
		{func(s *Study) { s.Areas = []float64{inf} }, "roof area +Inf m² is not above 0"},
		{func(s *Study) { s.Dead = 1 }, "dead storage 1 is not a share from 0 to below 1"},
		{func(s *Study) { s.Dead = -0.1 }, "dead storage -0.1 is not a share from 0 to below 1"},
		{func(s *Study) { s.Target = 1 }, "target 1 is not between 0 and 1"},
		{func(s *Study) { s.Target = 0 }, "target 0 is not between 0 and 1"},
		{func(s *Study) { s.Start = new(-1.0) }, "starting storage -1 L is below 0"},
		{func(s *Study) { s.Years = 49 }, "49 years; 50 are the fewest"},
		{func(s *Study) { s.Allow = -1 }, "-1 allowed short days; 0 are the fewest"},
		{func(s *Study) { s.Horizon = 0 }, "a horizon of 0 years; 1 is the shortest"},
		{func(s *Study) { s.Horizon = 51 }, "a horizon of 51 years is longer than a trace (50)"},
		{func(s *Study) { s.Level = 0 }, "level 0 of the intervals is not between 0 and 1"},
		{func(s *Study) { s.Level = 1 }, "level 1 of the intervals is not between 0 and 1"},
		{func(s *Study) { s.Measure = 3 }, "measure number 3 is not known"},

		{func(s *Study) { s.Roofs[0].Area = 0 }, `roof "shed": area is 0; it must be above 0`},
		{func(s *Study) { s.Roofs[0].Area = inf }, `roof "shed": area is +Inf; it must be above 0`},
		{func(s *Study) { s.Roofs[0].Runoff = 0 }, `roof "shed": runoff coefficient is 0; it must be above 0 and at most 1`},
		{func(s *Study) { s.Roofs[0].Runoff = 1.01 }, `roof "shed": runoff coefficient is 1.01; it must be above 0 and at most 1`},
		{func(s *Study) { s.Roofs[0].Wetting = -1 }, `roof "shed": wetting loss is -1; it must be 0 mm or more`},
		{func(s *Study) { s.Roofs[0].FirstFlush = nan }, `roof "shed": first flush is NaN; it must be 0 mm or more`},
		{func(s *Study) { s.Roofs[0].Filter = 1.5 }, `roof "shed": filter share is 1.5; it must be above 0 and at most 1`},
		{func(s *Study) { s.Roofs[0].Drains = 0 }, `roof "shed": drains is 0; it must be 1 day or more`},

		{func(s *Study) { s.Uses[0].Daily = -1 }, `use "taps": -1 L a day; it must be 0 or more`},
		{func(s *Study) { s.Uses[0].Daily = nan }, `use "taps": NaN L a day; it must be 0 or more`},
		{func(s *Study) { s.Uses[0].Monthly[5] = inf }, `use "taps": +Inf L in June; it must be 0 or more`},

		{func(s *Study) { s.Costs.Sizes, s.Costs.Prices = nil, nil }, "a price of each size for sale is needed"},
		{func(s *Study) { s.Costs.Prices = s.Costs.Prices[:2] }, "a price of each size for sale is needed"},
		{func(s *Study) { s.Costs.Sizes[1] = 1000 }, "sizes with a price must be above 0 and rising; number 2 is 1000 L"},
		{func(s *Study) { s.Costs.Prices[1] = -1 }, "the price of 5000 L is -1; it must be 0 or more"},
		{func(s *Study) { s.Costs.Water = nan }, "a water price of NaN is not 0 or more"},
		{func(s *Study) { s.Costs.Life = 0 }, "a life of 0 years is not above 0"},
		{func(s *Study) { s.Costs.Discount = -0.1 }, "a discount rate of -0.1 is not 0 or more"},
	} {
		s := question()
		s.Costs = priced()
		c.set(s)
		if c.want == "" {
			require.NoError(t, s.Check())
			continue
		}
		assert.EqualError(t, s.Check(), c.want)
		_, err := Ask(nil, coin(1, 0.5), s)
		assert.EqualError(t, err, c.want, "before anything else is looked at")
	}
}

func TestReplayRefuses(t *testing.T) {
	s := filled(t, usualYears(t, 1).First, []float64{0}, time.January)
	roofs, uses, nan := []Roof{NewRoof(10)}, []Use{{Daily: 1}}, math.NaN()
	for _, tank := range []Tank{{Nominal: 0}, {Nominal: nan}, {Nominal: math.Inf(1)}, {Nominal: 10, Dead: 1}, {Nominal: 10, Dead: -0.1}, {Nominal: 10, Start: -1}, {Nominal: 10, Start: nan}, {Nominal: 10, RunIn: -1}} {
		_, err := Replay(s, roofs, uses, tank)
		assert.Error(t, err, "%+v", tank)
	}
	_, err := Replay(s, roofs, uses, Tank{Nominal: 2e10})
	assert.EqualError(t, err, "a tank of 2e+10 L; 11 million m³ is the most")
	_, err = Replay(filled(t, s.First, []float64{500}, time.January), []Roof{NewRoof(1e12)}, uses, Tank{Nominal: 1})
	assert.Equal(t, errTooMuchWater, err)
	_, err = Replay(s, roofs, []Use{{Daily: 0.001}}, Tank{Nominal: 1})
	assert.ErrorContains(t, err, "1 L is the least")
	_, err = Replay(s, roofs, []Use{{Daily: -1}}, Tank{Nominal: 1})
	assert.ErrorContains(t, err, "it must be 0 or more")
	roofs[0].Drains = 0
	_, err = Replay(s, roofs, uses, Tank{Nominal: 1})
	assert.ErrorContains(t, err, "drains is 0")
}

// Limits of what stands beside a study: what lies just outside is refused.
func TestLimitsBeside(t *testing.T) {
	for x, ok := range map[float64]bool{0: true, 0.5: true, 1: true, 2: true, 0.49: false, 2.01: false, -1: false} {
		assert.Equal(t, ok, (&Air{Scale: x}).Check() == nil, "ET₀ times %g", x)
	}
	assert.Equal(t, 1.0, FailureBound(0, 0.95))
	assert.InDelta(t, 0.95, FailureBound(1, 0.95), 1e-12)
	assert.InDelta(t, 1-math.Pow(0.05, 1.0/5), FailureBound(5, 0.95), 1e-9)
}
