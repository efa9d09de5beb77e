package words

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/report/units"
	"tankodds/sim"
)

// What a meter tells, in each of its ways.
func TestMeterWords(t *testing.T) {
	nan := math.NaN()
	shown := sim.Metered{Of: sim.DrawMeter, Tells: true, Fitted: 10, Days: 300, Misfit: 300 * 16, MisfitAt: 300 * 9, Level: 0.9,
		Demand: sim.MeterDemand{Intervals: 4, Days: 100, Stated: 15000, Metered: 15000}}
	with := func(change func(*sim.Metered)) *sim.Metered {
		m := shown
		change(&m)
		return &m
	}
	factor := func(k, low, high float64) *sim.Metered {
		return with(func(m *sim.Metered) {
			m.Factor = sim.Interval{Estimate: k, Low: low, High: high}
			m.Runoff = sim.Interval{Estimate: 0.8 * k, Low: 0.8 * low, High: 0.8 * high}
		})
	}
	for want, m := range map[string]*sim.Metered{
		"0.85 times the model's fits best (90 % sure: 0.80 to 0.90), by the 10 intervals in which the tank fell short: the model is then off by 3 L/day instead of 4. Less than 1: look for blocked gutters and filters, leaks, or a roof smaller or rougher than stated.":                      factor(0.85, 0.8, 0.9),
		"1.10 times the model's fits best (90 % sure: 1.05 or more), by the 10 intervals in which the tank fell short: the model is then off by 3 L/day instead of 4. More than 1 is possible: a gauge catches 5 to 15 % too little in wind, and a roof may be larger or smoother than stated.": factor(1.1, 1.05, nan),
		"1.02 times the model's fits best (90 % sure: 0.90 to 1.10), by the 10 intervals in which the tank fell short: the model is then off by 3 L/day instead of 4. 1 lies within: the meter does not speak against what is stated.":                                                          factor(1.02, 0.9, 1.1),
		"0.80 times the model's fits best (90 % sure: 1.20 or less), by the 10 intervals in which the tank fell short: the model is then off by 3 L/day instead of 4. 1 lies within: the meter does not speak against what is stated.":                                                          factor(0.8, nan, 1.2),
		"0.80 times the model's fits best, how sure is open, by the 10 intervals in which the tank fell short: the model is then off by 3 L/day instead of 4. That does not tell it from 1.":                                                                                                    factor(0.8, nan, nan),
		"The meter shows more water from the roof than 3 times the model's inflow gives. Is the unit right, and are the tank, the roof and the meter?":                                                                                                                                          with(func(m *sim.Metered) { m.Beyond = 1 }),
		"The meter shows less water from the roof than 0.21 times the model's inflow gives. Is the unit right, and are the tank, the roof and the meter?":                                                                                                                                       with(func(m *sim.Metered) { m.Beyond = -1 }),
	} {
		assert.Equal(t, want, MeterFactor(units.SI, m))
	}
	for of, want := range map[sim.MeterOf]string{sim.DrawMeter: "its draw is what the uses want", sim.MainsMeter: "the mains gave hardly anything", sim.LevelSensor: "the tank stood full, or empty"} {
		told := MeterFactor(units.SI, with(func(m *sim.Metered) { m.Of, m.Tells = of, false }))
		assert.Contains(t, told, "This meter cannot tell. ")
		assert.Contains(t, told, want)
	}

	one, flush, two := []sim.Roof{{Runoff: 0.8}}, []sim.Roof{{Runoff: 0.8, FirstFlush: 1}}, []sim.Roof{{Runoff: 0.8}, {Runoff: 0.9}}
	for _, c := range []struct {
		m     *sim.Metered
		roofs []sim.Roof
		want  string
	}{
		{factor(0.85, 0.8, 0.9), one, "The factor multiplies the runoff coefficient: 0.68 where 0.80 is stated (0.64 to 0.72). To size with it: --runoff 0.68."},
		{factor(0.85, 0.8, 0.9), flush, "The factor multiplies the runoff coefficient; with the first flush as stated it is 0.68 where 0.80 is stated (0.64 to 0.72). To size with it: --runoff 0.68."},
		{factor(0.85, 0.8, 1.2), one, "The factor multiplies the runoff coefficient: 0.68 where 0.80 is stated (0.64 to 0.96)."},
		{factor(0.85, nan, 0.9), one, "The factor multiplies the runoff coefficient: 0.68 where 0.80 is stated. To size with it: --runoff 0.68."},
		{factor(1.5, 1.4, 1.6), one, "The factor multiplies the runoff coefficient: 1.20 where 0.80 is stated (1.12 to 1.28). Above 1 it is more than the gauge's rain on the roof. To size with it: rain: {scale: 1.50} in the site file."},
		{factor(2.5, 2.4, 2.6), one, "The factor multiplies the runoff coefficient: 2.00 where 0.80 is stated (1.92 to 2.08). Above 1 it is more than the gauge's rain on the roof."},
		{factor(0.85, 0.8, 0.9), two, "The factor multiplies the runoff coefficient of every roof. To size with it: give each roof 0.85 times its runoff."},
		{factor(nan, nan, nan), one, ""},
	} {
		assert.Equal(t, c.want, MeterRunoff(c.m, c.roofs))
	}

	demand := func(u units.System, of sim.MeterOf, metered float64, k float64) string {
		return MeterDemand(u, with(func(m *sim.Metered) { m.Of, m.Demand.Metered, m.Factor.Estimate = of, metered, k }))
	}
	assert.Equal(t, "In 4 intervals the modelled tank gave all that was wanted: 150 L/day are stated there, the meter shows 150, the same.", demand(units.SI, sim.DrawMeter, 15000, 1))
	assert.Equal(t, "In 4 intervals the modelled tank gave nothing: 150 L/day are stated there, the meter shows 138, 8 % less.", demand(units.SI, sim.MainsMeter, 13800, 1))
	assert.Equal(t, "In 4 intervals nothing flowed in and the tank did not run dry: 39.6 gal/day are stated there, the meter shows 47.6, 20 % more. Set the uses right first: the factor on the inflow makes up for them too.", demand(units.US, sim.LevelSensor, 18000, 1))
	assert.Equal(t, "In 4 intervals the modelled tank gave all that was wanted: 150 L/day are stated there, the meter shows 100, 33 % less. Set the uses right first.", demand(units.SI, sim.DrawMeter, 10000, nan))
	assert.Equal(t, "This meter does not show by itself what the uses want: it is taken as stated.", MeterDemand(units.SI, with(func(m *sim.Metered) { m.Demand = sim.MeterDemand{Intervals: 2} })))

	dated := func(shift int, at float64) string {
		return MeterDates(units.SI, with(func(m *sim.Metered) { m.Shift, m.MisfitTo, m.DaysTo, m.MisfitAt = shift, 200*4, 200, at }))
	}
	assert.Empty(t, dated(0, 2700))
	assert.Equal(t, "Dated a day earlier the readings fit far better: the model is then off by 2 L/day instead of 10. Were they made in the morning? Date them the day before; until then do not trust what follows.", dated(-1, 300*100))
	assert.Equal(t, "Dated a day later the readings fit far better: the model is then off by 2 L/day. Is the gauge read in the morning, for the day before? Date them the day after; until then do not trust what follows.", dated(1, nan))
	off := factor(0.85, 0.8, 0.9)
	off.Shift = -1
	assert.NotContains(t, MeterRunoff(off, one), "To size")

	// Who is told to set the uses right is not told to size with the factor.
	astray := factor(0.85, 0.8, 0.9)
	astray.Demand.Metered = 10000
	assert.NotContains(t, MeterRunoff(astray, one), "To size")
}
