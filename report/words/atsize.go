package words

import (
	"fmt"
	"math"
	"strings"

	"tankodds/report/units"
	"tankodds/sim"
)

// AtSize says what a tank of one size does: its share of the target's measure with
// its bounds, its short days, what it supplies and, where it is for sale, what it
// costs and is worth.
func AtSize(u units.System, s *sim.Study, c sim.Cell) []string {
	x := c.Of(s.Measure)
	out := []string{
		fmt.Sprintf("A tank of %s gives %s. The record leaves %s to %s open.", u.Volume(c.Tank), Gives(s, x.Estimate), units.Percent(x.Low), units.Percent(x.High)),
		fmt.Sprintf("In a mean year %s, and %s supplied of %s wanted.", shortDays(c.ShortDays), u.Volume(c.Supplied), u.Volume(c.Demand)),
	}
	if s.Costs == nil {
		return out
	}
	price := s.Costs.Price(c.Tank)
	if math.IsNaN(price) {
		return append(out, "No price is given for this size.")
	}
	return append(out, fmt.Sprintf("It costs %s. Over %g years it is worth %s, what it saves less what it costs.",
		units.Amount(price, s.Costs.Currency), s.Costs.Life, units.Amount(s.Costs.Value(c.Tank, c.Supplied), s.Costs.Currency)))
}

// shortDays counts the short days of a mean year.
func shortDays(days float64) string {
	if days == 0 {
		return "no day is short"
	}
	if mean(days) == "1" {
		return "1 day is short"
	}
	return mean(days) + " days are short"
}

// Step says what changes from one size of tank to another.
func Step(u units.System, s *sim.Study, from, to sim.Cell) string {
	which := "One size up"
	if to.Tank < from.Tank {
		which = "One size down"
	}
	out := fmt.Sprintf("%s, %s: %s of %s", which, u.Volume(to.Tank), units.Percent(to.Of(s.Measure).Estimate), ShareOf(s.Measure))
	days := to.ShortDays - from.ShortDays
	if math.Abs(days) < 0.05 {
		days = 0
	}
	out += ", " + changed(days, "short day", "short days", mean)
	water := changed(to.Supplied-from.Supplied, "", "", u.Volume)
	if by := to.Supplied - from.Supplied; by != 0 && math.Abs(by) < 0.001*to.Demand { // which nobody would notice
		water = map[bool]string{true: "hardly any more", false: "hardly any less"}[by > 0]
	}
	out += fmt.Sprintf(", %s water a year", water)
	if s.Costs != nil {
		a, b := s.Costs.Price(from.Tank), s.Costs.Price(to.Tank)
		if !math.IsNaN(a) && !math.IsNaN(b) && a != b {
			out += ", " + changed(b-a, "", "", func(x float64) string { return units.Amount(x, s.Costs.Currency) }) + " to pay"
		}
	}
	return out + "."
}

// mean is units.Mean, whole where it is whole.
func mean(x float64) string { return strings.TrimSuffix(units.Mean(x), ".0") }

// changed says by how much something is more or less.
func changed(by float64, one, many string, say func(float64) string) string {
	text := say(math.Abs(by))
	noun := many
	if text == "1" {
		noun = one
	}
	if noun != "" {
		noun = " " + noun
	}
	switch {
	case text == say(0):
		if many != "" {
			return "as many" + noun
		}
		return "as much"
	case by > 0:
		return text + " more" + noun
	}
	return text + map[bool]string{true: " fewer", false: " less"}[many != ""] + noun
}
