package words

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/report/units"
	"tankodds/sim"
)

// Made-up numbers, each another, so that one in the place of another is seen.
func turnedResult(change func(r *sim.Result)) *sim.Result {
	r := &sim.Result{
		Study: &sim.Study{Target: 0.9, RecordError: true, Sought: sim.ForUse}, Usable: 58, Main: sim.Answer{Shows: 70},
		Turned: &sim.Turned{Tank: 20_000, Shown: true, Use: 108, UseSafe: 101, UseHigh: 111, Roof: 77.5, RoofLow: 70, RoofSafe: 86.7},
	}
	change(r)
	return r
}

func TestTurned(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name          string
		u             units.System
		change        func(r *sim.Result)
		first, second string
	}{
		{
			"use", units.SI, func(*sim.Result) {},
			"A tank of 20,000 L under this roof is enough for 108 L/day of use at most, for 90 % of years without a short day. From 58 usable years of record the largest use lies between 101 L/day and 111 L/day; up to 101 L/day is safe.",
			"A tank of 20,000 L for this use takes 77.5 m² of roof at least. The smallest roof lies between 70 m² and 86.7 m²; from 86.7 m² on is safe.",
		},
		{
			"roof, us", units.US, func(r *sim.Result) { r.Study.Sought = sim.ForRoof },
			"A tank of 5,280 gal for this use takes 834 ft² of roof at least, for 90 % of years without a short day. From 58 usable years of record the smallest roof lies between 753 ft² and 933 ft²; from 933 ft² on is safe.",
			"A tank of 5,280 gal under this roof is enough for 28.5 gal/day of use at most. The largest use lies between 26.7 gal/day and 29.3 gal/day; up to 26.7 gal/day is safe.",
		},
		{
			"indicated", units.SI, func(r *sim.Result) { r.Turned.Shown, r.Turned.UseSafe, r.Turned.RoofSafe = false, nan, nan },
			"A tank of 20,000 L under this roof is enough for about 108 L/day of use at most, for 90 % of years without a short day. 58 usable years of record are too few to show that; it would take about 70. The largest use is 111 L/day at most.",
			"A tank of 20,000 L for this use takes about 77.5 m² of roof at least. The smallest roof is 70 m² at least.",
		},
		{
			"no roof, nothing safe", units.SI, func(r *sim.Result) { r.Turned.Roof, r.Turned.UseSafe = nan, nan },
			"A tank of 20,000 L under this roof is enough for 108 L/day of use at most, for 90 % of years without a short day. From 58 usable years of record the largest use is 111 L/day at most; none is sure to meet the target.",
			"With a tank of 20,000 L for this use even a far larger roof is not enough.",
		},
		{
			"neither, no record error", units.SI, func(r *sim.Result) { r.Turned.Roof, r.Turned.Use, r.Study.RecordError = nan, nan, false },
			"A tank of 20,000 L under this roof is too small for any use near this one, for 90 % of years without a short day.",
			"With a tank of 20,000 L for this use even a far larger roof is not enough.",
		},
		{
			"no limits", units.SI, func(r *sim.Result) { r.Turned.UseSafe, r.Turned.UseHigh = nan, nan },
			"A tank of 20,000 L under this roof is enough for 108 L/day of use at most, for 90 % of years without a short day. From 58 usable years of record the largest use has no limits that this record could give; none is sure to meet the target.",
			"A tank of 20,000 L for this use takes 77.5 m² of roof at least. The smallest roof lies between 70 m² and 86.7 m²; from 86.7 m² on is safe.",
		},
	} {
		first, second := Turned(c.u, turnedResult(c.change))
		assert.Equal(t, c.first, first, c.name)
		assert.Equal(t, c.second, second, c.name)
	}
}

func TestRemedy(t *testing.T) {
	nan := math.NaN()
	for want, change := range map[string]func(r *sim.Result){
		"With a tank of that size a roof of about 77.5 m² would be enough, or under this roof a use of about 108 L/day":             func(*sim.Result) {},
		"With a tank of that size even a far larger roof would not be enough; under this roof it does for a use of about 108 L/day": func(r *sim.Result) { r.Turned.Roof = nan },
		"With a tank of that size a roof of about 77.5 m² would be enough":                                                          func(r *sim.Result) { r.Turned.Use = nan },
		"With a tank of that size neither a far larger roof nor a far smaller use would do. Ask about larger tanks":                 func(r *sim.Result) { r.Turned.Use, r.Turned.Roof = nan, nan },
		"Ask about larger tanks or a larger roof, or use less water":                                                                func(r *sim.Result) { r.Turned = nil },
	} {
		assert.Equal(t, want, remedy(units.SI, turnedResult(change)))
	}
}
