package words

import (
	"fmt"
	"math"
	"slices"

	"tankodds/report/units"
	"tankodds/sim"
)

// MeterShows says what a meter measures.
func MeterShows(of sim.MeterOf) string {
	switch of {
	case sim.MainsMeter:
		return "the water that the tank lacked"
	case sim.LevelSensor:
		return "what the tank holds"
	}
	return "the water drawn from the tank"
}

// MeterInforms says of the intervals that tell of the inflow what happened there.
func MeterInforms(of sim.MeterOf) string {
	switch of {
	case sim.MainsMeter:
		return "the tank lacked water"
	case sim.LevelSensor:
		return "the level moved"
	}
	return "the tank fell short"
}

// mostAstray is how far a use may be off before the factor is not to be
// trusted: a choice, no source.
const mostAstray = 0.1

// fewDemands is how many intervals show the water wanted at least: a choice, no
// source.
const fewDemands = 3

// usesAstray says whether the uses want another amount than is stated.
func usesAstray(m *sim.Metered) bool {
	d := m.Demand
	return m.Shift == 0 && d.Intervals >= fewDemands && math.Abs(d.Metered/d.Stated-1) > mostAstray
}

// MeterDemand compares the water wanted with the metered, "" where no interval
// shows it.
func MeterDemand(u units.System, m *sim.Metered) string {
	d := m.Demand
	if d.Intervals < fewDemands {
		return "This meter does not show by itself what the uses want: it is taken as stated."
	}
	where := "the modelled tank gave all that was wanted"
	switch m.Of {
	case sim.MainsMeter:
		where = "the modelled tank gave nothing"
	case sim.LevelSensor:
		where = "nothing flowed in and the tank did not run dry"
	}
	c := u.FlowColumn(d.Stated/float64(d.Days), d.Metered/float64(d.Days))
	off := d.Metered/d.Stated - 1
	out := fmt.Sprintf("In %s %s: %s %s are stated there, the meter shows %s", Plural(d.Intervals, "interval"), where, c.Words(d.Stated/float64(d.Days)), c.Unit, c.Words(d.Metered/float64(d.Days)))
	switch less := "less"; {
	case math.Abs(off) < 0.005:
		return out + ", the same."
	default:
		if off > 0 {
			less = "more"
		}
		out += fmt.Sprintf(", %s %s.", units.Percent(math.Round(100*math.Abs(off))/100), less)
	}
	if usesAstray(m) {
		out += " Set the uses right first"
		if math.IsNaN(m.Factor.Estimate) {
			return out + "."
		}
		out += ": the factor on the inflow makes up for them too."
	}
	return out
}

// MeterFactor says what the readings tell of the inflow.
func MeterFactor(u units.System, m *sim.Metered) string {
	switch {
	case !m.Tells:
		return "This meter cannot tell. " + whyNotTold(m.Of)
	case m.Beyond > 0:
		return fmt.Sprintf("The meter shows more water from the roof than %s times the model's inflow gives. %s", units.Significant(sim.MostFactor(), 2), lookAgain)
	case m.Beyond < 0:
		return fmt.Sprintf("The meter shows less water from the roof than %s times the model's inflow gives. %s", units.Significant(sim.LeastFactor(), 2), lookAgain)
	}
	where := MeterInforms(m.Of)
	rms := func(misfit float64) float64 { return math.Sqrt(misfit / float64(m.Days)) }
	c := u.FlowColumn(rms(m.Misfit), rms(m.MisfitAt))
	out := fmt.Sprintf("%s times the model's fits best%s, by the %s in which %s: the model is then off by %s %s instead of %s.", units.Fixed(m.Factor.Estimate, 2),
		factorBounds(m.Factor, m.Level), Plural(m.Fitted, "interval"), where, c.Words(rms(m.MisfitAt)), c.Unit, c.Words(rms(m.Misfit)))
	switch f := m.Factor; {
	case math.IsNaN(f.Low) && math.IsNaN(f.High):
		out += " That does not tell it from 1."
	case agrees(f):
		out += " 1 lies within: the meter does not speak against what is stated."
	case f.Estimate > 1:
		out += " More than 1 is possible: a gauge catches 5 to 15 % too little in wind, and a roof may be larger or smoother than stated."
	default:
		out += " Less than 1: look for blocked gutters and filters, leaks, or a roof smaller or rougher than stated."
	}
	return out
}

// agrees says whether a factor of 1 is within what is open.
func agrees(f sim.Interval) bool { return !(f.Low > 1) && !(f.High < 1) }

// lookAgain is what to do where no factor makes the model fit.
const lookAgain = "Is the unit right, and are the tank, the roof and the meter?"

// MeterDates says that the readings fit far better dated a day earlier or later, ""
// where they do not.
func MeterDates(u units.System, m *sim.Metered) string {
	if m.Shift == 0 {
		return ""
	}
	way, why := "earlier", "Were they made in the morning? Date them the day before"
	if m.Shift > 0 {
		way, why = "later", "Is the gauge read in the morning, for the day before? Date them the day after"
	}
	to, at := math.Sqrt(m.MisfitTo/float64(m.DaysTo)), math.Sqrt(m.MisfitAt/float64(m.Days))
	c := u.FlowColumn(to, at)
	out := fmt.Sprintf("Dated a day %s the readings fit far better: the model is then off by %s %s", way, c.Words(to), c.Unit)
	if !math.IsNaN(at) {
		out += fmt.Sprintf(" instead of %s", c.Words(at))
	}
	return fmt.Sprintf("%s. %s; until then do not trust what follows.", out, why)
}

// factorBounds says how sure a factor is.
func factorBounds(f sim.Interval, level float64) string {
	switch sure := units.Percent(level); {
	case math.IsNaN(f.Low) && math.IsNaN(f.High):
		return ", how sure is open"
	case math.IsNaN(f.High):
		return fmt.Sprintf(" (%s sure: %s or more)", sure, units.Fixed(f.Low, 2))
	case math.IsNaN(f.Low):
		return fmt.Sprintf(" (%s sure: %s or less)", sure, units.Fixed(f.High, 2))
	default:
		return fmt.Sprintf(" (%s sure: %s to %s)", sure, units.Fixed(f.Low, 2), units.Fixed(f.High, 2))
	}
}

// whyNotTold says why a meter tells nothing of the inflow, and what would.
func whyNotTold(of sim.MeterOf) string {
	switch of {
	case sim.MainsMeter:
		return "By the model the mains gave hardly anything between these readings, be the roof's yield a little more or less. A sensor of the level would tell, or readings from a drier time."
	case sim.LevelSensor:
		return "By the model the level hardly moved with the inflow between these readings: the tank stood full, or empty."
	}
	return "By the model the tank lacked hardly anything between these readings, so its draw is what the uses want, be the roof's yield a little more or less. A sensor of the level would tell, or readings from a drier time."
}

// MeterRunoff says what the factor makes of the runoff coefficient of the one
// roof and, where the readings speak against the stated one, what to type; ""
// where that is not known.
func MeterRunoff(m *sim.Metered, roofs []sim.Roof) string {
	f := m.Factor
	if math.IsNaN(f.Estimate) {
		return ""
	}
	factor := units.Fixed(f.Estimate, 2)
	out, type1 := "The factor multiplies the runoff coefficient of every roof", fmt.Sprintf("give each roof %s times its runoff", factor)
	if len(roofs) == 1 && !math.IsNaN(m.Runoff.Estimate) {
		r := m.Runoff
		is := ": %s where %s is stated"
		if roofs[0].FirstFlush > 0 || roofs[0].Wetting > 0 { // which are taken off after it
			is = "; with the first flush as stated it is %s where %s is stated"
		}
		out = "The factor multiplies the runoff coefficient" + fmt.Sprintf(is, units.Fixed(r.Estimate, 2), units.Fixed(roofs[0].Runoff, 2))
		if !math.IsNaN(r.Low) && !math.IsNaN(r.High) {
			out += fmt.Sprintf(" (%s to %s)", units.Fixed(r.Low, 2), units.Fixed(r.High, 2))
		}
		type1 = "--runoff " + units.Fixed(r.Estimate, 2)
	}
	over := m.Runoff.Estimate > 1 || len(roofs) > 1 && slices.ContainsFunc(roofs, func(r sim.Roof) bool { return r.Runoff*f.Estimate > 1 })
	if over {
		out += ". Above 1 it is more than the gauge's rain on the roof"
		type1 = fmt.Sprintf("rain: {scale: %s} in the site file", factor)
	}
	if !agrees(f) && !usesAstray(m) && m.Shift == 0 && (!over || f.Estimate <= 2) {
		out += ". To size with it: " + type1
	}
	return out + "."
}
