package words

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/report/units"
	"tankodds/sim"
)

// Text hangs under its beginning and no line is wider than it may be, nor shorter
// than it need be.
func TestHang(t *testing.T) {
	for width := 12; width < 60; width++ {
		lines := strings.Split(strings.Repeat(" ", 6)+Hang(6, width, "the quick brown fox jumps over the lazy dog and back again"), "\n")
		for i, line := range lines {
			assert.LessOrEqual(t, len(line), width)
			assert.True(t, strings.HasPrefix(line, "      ") && line[6] != ' ')
			if i+1 < len(lines) {
				next := strings.Fields(lines[i+1])[0]
				assert.Greater(t, len(line)+1+len(next), width, "a word more had fitted")
			}
		}
	}
}

// Two versions of a site in words: which is larger, by how much, and what cannot be
// told.
func TestChanges(t *testing.T) {
	nan := math.NaN()
	answer := func(tank, low, high float64) *sim.Result {
		s := sim.Defaults()
		return &sim.Result{Study: s, Main: sim.Answer{Tank: tank, Low: low, High: high, Target: s.Target}}
	}
	few := answer(nan, nan, nan)
	few.Main.Grade = sim.TooShort
	other := answer(5000, 4000, 6000)
	other.Study.Target = 0.8
	for _, c := range []struct {
		was, is *sim.Result
		want    string
	}{
		{answer(5000, 4000, 6000), answer(8000, 7000, 9000), "The version now needs 8,000 L for 90 % of years without a short day, the version kept 5,000 L: 3,000 L larger. Both stand on the same record, so the difference comes from what was changed. How far each size could be off, its band says."},
		{answer(8000, 4000, 9000), answer(5000, 4000, 6000), "the version kept 8,000 L: 3,000 L smaller. Both stand on the same record, so the difference comes from what was changed. How far each size could be off, its band says."},
		{answer(5000, nan, 6000), answer(5000, 4000, 6000), "Both versions need 5,000 L for 90 % of years without a short day."},
		{answer(nan, nan, nan), answer(5000, 4000, 6000), "Of the version kept no tank reaches the target; the version now needs 5,000 L."},
		{answer(5000, 4000, 6000), answer(nan, nan, nan), "The version kept needs 5,000 L; of the version now no tank reaches the target."},
		{answer(nan, nan, nan), answer(nan, nan, nan), "Neither version reaches its target with any tank."},
		{other, answer(7000, 6500, 8000), "The version now needs 7,000 L for 90 % of years without a short day, the version kept 5,000 L for 80 % of years without a short day. Both stand on the same record, so the difference comes from what was changed. How far each size could be off, its band says."},
		{few, few, "No size is told of either version: the record is too short."},
		{answer(5000, 4000, 6000), few, "A size is told of one version alone: the record of the other is too short."},
	} {
		assert.Contains(t, Changes(units.SI, c.was, c.is, true), c.want)
	}
}

// Of a record too short to show it a size is about right, and of another record part
// of the difference is the rain's.
func TestChangesOfOtherRecords(t *testing.T) {
	s := sim.Defaults()
	was := &sim.Result{Study: s, Main: sim.Answer{Tank: 5000, Target: s.Target, Grade: sim.Indicated}}
	is := &sim.Result{Study: s, Main: sim.Answer{Tank: 6000, Target: s.Target}}
	assert.Equal(t, "The version now needs 6,000 L for 90 % of years without a short day, the version kept about 5,000 L: 1,000 L larger. They stand on different records, so part of the difference is that of the rain.", Changes(units.SI, was, is, false))
}

// What a size does, and what another changes, in words.
func TestAtSizeAndStep(t *testing.T) {
	s := sim.Defaults()
	cell := func(tank, share, days, water float64) sim.Cell {
		return sim.Cell{Tank: tank, ShortDays: days, Supplied: water, Demand: 40_000, Measures: sim.Measures{Annual: sim.Interval{Estimate: share, Low: share - 0.1, High: share + 0.05}}}
	}
	a, b := cell(5000, 0.6, 12, 30_000), cell(8000, 0.8, 1, 36_000)
	assert.Equal(t, []string{
		"A tank of 5,000 L gives 60 % of years without a short day. The record leaves 50 % to 65 % open.",
		"In a mean year 12 days are short, and 30,000 L supplied of 40,000 L wanted.",
	}, AtSize(units.SI, s, a))
	assert.Contains(t, AtSize(units.SI, s, b)[1], "In a mean year 1 day is short")
	assert.Contains(t, AtSize(units.SI, s, cell(9000, 0.9, 0, 40_000))[1], "no day is short")
	assert.Equal(t, "One size up, 8,000 L: 80 % of years, 11 fewer short days, 6,000 L more water a year.", Step(units.SI, s, a, b))
	assert.Equal(t, "One size down, 5,000 L: 60 % of years, 11 more short days, 6,000 L less water a year.", Step(units.SI, s, b, a))
	assert.Contains(t, Step(units.SI, s, a, cell(6000, 0.6, 12, 30_000)), "as many short days, as much water a year")
	assert.Contains(t, Step(units.SI, s, a, cell(6000, 0.6, 12, 30_010)), "hardly any more water a year")
	s.Costs = &sim.Costs{Sizes: []float64{5000, 8000}, Prices: []float64{900, 1300}, Water: 3, Life: 20, Discount: 0.03, Currency: "€"}
	assert.Contains(t, AtSize(units.SI, s, a)[2], "It costs €900. Over 20 years it is worth €")
	assert.Contains(t, AtSize(units.SI, s, cell(6000, 0.6, 12, 30_000))[2], "No price is given for this size.")
	assert.Contains(t, Step(units.SI, s, a, b), ", €400 more to pay.")
}

// Which of the record's own years a tank would have failed in.
func TestRealYears(t *testing.T) {
	r := &sim.Result{Study: sim.Defaults()}
	assert.Contains(t, RealYears(units.SI, r, 5000), "no whole year")
	r.Real = []sim.RealYear{{Label: 1999}, {Label: 2000, ShortDays: 3}, {Label: 2001, ShortDays: 1}}
	assert.Equal(t, "In 2 of the record’s 3 usable years a tank of 5,000 L would have fallen short, on 4 days in all; the worst began in 2000 with 3 short days.", RealYears(units.SI, r, 5000))
	r.Study.Allow = 3
	assert.Equal(t, "In none of the record’s 3 usable years would a tank of 5,000 L have fallen short.", RealYears(units.SI, r, 5000))
}
