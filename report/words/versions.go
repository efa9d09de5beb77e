package words

import (
	"fmt"
	"math"

	"tankodds/report/units"
	"tankodds/sim"
)

// Changes says what the answer to one version of a site is beside that to another,
// which may be of another record. Bands that overlap tell nothing of a difference: on
// one record both versions met the same synthetic rain.
func Changes(u units.System, was, is *sim.Result, oneRecord bool) string {
	a, b := was.Main, is.Main
	out := ""
	few := a.Grade == sim.TooShort || b.Grade == sim.TooShort
	switch {
	case few && math.IsNaN(a.Tank) && math.IsNaN(b.Tank):
		out = "No size is told of either version: the record is too short."
	case few:
		out = "A size is told of one version alone: the record of the other is too short."
	case math.IsNaN(a.Tank) && math.IsNaN(b.Tank):
		out = "Neither version reaches its target with any tank."
	case math.IsNaN(b.Tank):
		out = fmt.Sprintf("The version kept needs %s; of the version now no tank reaches the target.", needed(u, a))
	case math.IsNaN(a.Tank):
		out = fmt.Sprintf("Of the version kept no tank reaches the target; the version now needs %s.", needed(u, b))
	case u.Volume(a.Tank) == u.Volume(b.Tank):
		out = fmt.Sprintf("Both versions need %s for %s.", needed(u, b), Goal(is.Study))
	default:
		by := "smaller"
		if b.Tank > a.Tank {
			by = "larger"
		}
		out = fmt.Sprintf("The version now needs %s for %s, the version kept %s: %s %s.",
			needed(u, b), Goal(is.Study), needed(u, a), u.Volume(math.Abs(b.Tank-a.Tank)), by)
		if was.Study.Measure != is.Study.Measure || was.Study.Target != is.Study.Target {
			out = fmt.Sprintf("The version now needs %s for %s, the version kept %s for %s.", needed(u, b), Goal(is.Study), needed(u, a), Goal(was.Study))
		}
	}
	if math.IsNaN(a.Tank) || math.IsNaN(b.Tank) {
		return out
	}
	if !oneRecord {
		return out + " They stand on different records, so part of the difference is that of the rain."
	}
	return out + " Both stand on the same record, so the difference comes from what was changed. How far each size could be off, its band says."
}

// needed is the size that an answer comes to, "about" where the record is too short to
// show it.
func needed(u units.System, a sim.Answer) string {
	if a.Grade == sim.Indicated {
		return "about " + u.Volume(a.Tank)
	}
	return u.Volume(a.Tank)
}

// RealYears says which of the record's own years a tank would have failed in.
func RealYears(u units.System, r *sim.Result, tank float64) string {
	short, days, worst := 0, 0, sim.RealYear{}
	for _, y := range r.Real {
		if y.ShortDays > r.Study.Allow {
			short++
		}
		days += y.ShortDays
		if y.ShortDays > worst.ShortDays {
			worst = y
		}
	}
	switch n := len(r.Real); {
	case n == 0:
		return "The record has no whole year to run it through."
	case short == 0:
		return fmt.Sprintf("In none of the record’s %s would a tank of %s have fallen short.", Plural(n, "usable year"), u.Volume(tank))
	default:
		return fmt.Sprintf("In %d of the record’s %s a tank of %s would have fallen short, on %s in all; the worst began in %d with %s.",
			short, Plural(n, "usable year"), u.Volume(tank), Plural(days, "day"), worst.Label, Plural(worst.ShortDays, "short day"))
	}
}
