package words

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/units"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

func TestReason(t *testing.T) {
	none := sim.Answer{Grade: sim.OutOfReach, Measure: sim.Volume, Target: 0.9, Cell: sim.Cell{Inflow: 30, Demand: 40}}
	for why, want := range map[sim.Why]string{
		sim.TooFewYears:     "the record is too short, and 5 usable years are the least",
		sim.YieldTooSmall:   "the roof yields only 75 % of the water wanted, and a larger tank cannot change that",
		sim.NoneWithinReach: "no tank is enough, however large",
	} {
		none.Why = why
		says := "no tank gives 90 % of the water wanted: "
		if why == sim.TooFewYears {
			says = "no size can be told for 90 % of the water wanted: "
		}
		assert.Equal(t, says+want, Reason(none))
	}
	for _, c := range []struct {
		a    sim.Answer
		want string
	}{
		{sim.Answer{Target: 0.9}, "the smallest size that meets 90 % of years without a short day"},
		{sim.Answer{Target: 0.9, Allow: 3}, "the smallest size that meets 90 % of years with at most 3 short days"},
		{sim.Answer{Target: 0.9, Allow: 1}, "the smallest size that meets 90 % of years with at most 1 short day"},
		{sim.Answer{Target: 0.9, Measure: sim.Time, Grade: sim.Indicated}, "the smallest size with which this record points to the demand on 90 % of days; it is too short to show that"},
	} {
		assert.Equal(t, c.want, Reason(c.a))
		assert.Empty(t, WhyNone(c.a))
	}
}

func TestWaterYear(t *testing.T) {
	assert.Equal(t, []string{"1976", "1976/77", "1999/00"},
		[]string{WaterYear(1976, time.January), WaterYear(1976, time.October), WaterYear(1999, time.July)})
}

func TestMethod(t *testing.T) {
	s := &sim.Study{Costs: &sim.Costs{Life: 25, Discount: 0.035}}
	assert.Equal(t, "of the sizes with a price, the largest worth of the water saved over 25 years at 3.5 % a year, less the price", Method(sim.ByValue, s))
	assert.Equal(t, "the largest size all of which is used at least every other year", Method(sim.ByTurnover, s))
}

// The findings of a study in words.
func TestFindingsOfAStudy(t *testing.T) {
	short := func(usable, toShow float64) rainfall.Finding {
		return rainfall.Finding{Code: "short-record", Values: []rainfall.Value{{Name: "usable_years", X: usable}, {Name: "least_years", X: 5},
			{Name: "target", X: 0.9}, {Name: "years_to_show", X: toShow}}}
	}
	stress := gen.Stress{DrySpell: 1.2, Rain: [12]float64{1, 1, 1, 1, 1, 0.8, 0.7, 1, 1, 1, 1, 1}}
	under := rainfall.Finding{Code: "stress", Values: []rainfall.Value{{Name: "dry_spell", X: 1.2}}}
	for m, x := range stress.Rain {
		under.Values = append(under.Values, rainfall.Value{Name: time.Month(m + 1).String(), X: x})
	}
	for _, c := range []struct {
		f    rainfall.Finding
		want string
	}{
		{short(1, 17), "1 usable year is too few to size a tank from; 5 are the least"},
		{short(4, 17), "4 usable years are too few to size a tank from; 5 are the least"},
		{short(8, 17), "8 usable years are too few to show 90 % here: even with no failure in them it would take about 17"},
		{under, "the synthetic rain is under stress: rain of Jun × 0.8, Jul × 0.7; dry spells × 1.2 as long; what if, not a forecast; the real years are as they were"},
	} {
		assert.Equal(t, c.want, Finding(c.f, units.SI))
	}
	r := &backtest.Result{Study: backtest.NewStudy(), Records: []backtest.Tested{{Name: "Short Hill", Usable: 24}, {Name: "Long Hill", Usable: 60, Windows: 3}}}
	assert.Equal(t, []Warning{Warn("short-record", "Short Hill has 24 usable years; 15 to learn from and 10 to judge by are the least")}, TooShort(r))
}

// Of a target for water the year is named that lacked the most of what it wanted, and
// in all the water of all years stands against what they wanted; mains let in do not count.
func TestDriestByWater(t *testing.T) {
	year := func(label int, wanted, supplied, letIn float64) sim.RealYear {
		return sim.RealYear{Label: label, Water: sim.Water{Demand: wanted, Supplied: supplied, LetIn: letIn}}
	}
	r := &sim.Result{Study: &sim.Study{Measure: sim.Volume}, Season: &sim.Season{Tank: 4000}, WaterYear: time.July,
		Real: []sim.RealYear{year(1998, 1000, 900, 0), year(1999, 4000, 2400, 400), year(2000, 1000, 500, 50), year(2001, 4000, 4000, 0)}}
	// (900 + 2,000 + 450 + 4,000)/10,000 of it, and 450/1,000 in the worst.
	const want = "over the 4 usable years of record 4,000 L would have supplied 73.5 % of the water wanted, and in the year that lacked the most, 2000/01, 45 %."
	assert.Equal(t, want, Driest(units.SI, r))
}
