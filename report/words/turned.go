package words

import (
	"fmt"
	"math"
	"strings"

	"tankodds/report/units"
	"tankodds/sim"
)

// Turned says what a tank is enough for, where that was asked: the one asked for
// first.
func Turned(u units.System, r *sim.Result) (first, second string) {
	s, t := r.Study, r.Turned
	tank, about, why := u.Volume(t.Tank), "", ""
	years := Plural(r.Usable, "usable year") + " of record"
	from := "From " + years + " the "
	slow := s.Slow() // few years tell it
	if slow {
		about = "about "
	}
	if !t.Shown {
		about, from = "about ", "The "
		why = fmt.Sprintf(" %s are too few to show that; it would take about %s.", UpperFirst(years), Whole(r.Main.Shows))
	}
	use := fmt.Sprintf("A tank of %s under this roof is enough for %s%s of use at most", tank, about, u.Flow(t.Use))
	if math.IsNaN(t.Use) {
		use = fmt.Sprintf("A tank of %s under this roof is too small for any use near this one", tank)
	}
	roof := fmt.Sprintf("A tank of %s for this use takes %s%s of roof at least", tank, about, u.Area(t.Roof))
	if math.IsNaN(t.Roof) {
		roof = fmt.Sprintf("With a tank of %s for this use even a far larger roof is not enough", tank)
	}
	first, second = use, roof
	bands := [2]string{
		turnedBand(u.Flow, "largest use", t.Shown, t.UseSafe, t.UseHigh, t.UseSafe, "up to %s is safe"),
		turnedBand(u.Area, "smallest roof", t.Shown, t.RoofLow, t.RoofSafe, t.RoofSafe, "from %s on is safe"),
	}
	told := [2]bool{!math.IsNaN(t.Use), !math.IsNaN(t.Roof)}
	if s.Sought == sim.ForRoof {
		first, second = roof, use
		bands[0], bands[1], told[0], told[1] = bands[1], bands[0], told[1], told[0]
	}
	first, second = first+", for "+Goal(s)+".", second+"."
	if told[0] {
		first += why
	}
	if told[0] && s.RecordError {
		first += " " + from + bands[0]
	}
	if told[1] && s.RecordError {
		second += " The " + bands[1]
	}
	return strings.TrimSpace(first), strings.TrimSpace(second)
}

// turnedBand says the bounds of what was found, and what is safe.
func turnedBand(say func(float64) string, what string, shown bool, low, high, safe float64, safely string) string {
	out := what + " "
	switch {
	case math.IsNaN(low) && math.IsNaN(high):
		out += "has no limits that this record could give"
	case math.IsNaN(low):
		out += "is " + say(high) + " at most"
	case math.IsNaN(high):
		out += "is " + say(low) + " at least"
	default:
		out += fmt.Sprintf("lies between %s and %s", say(low), say(high))
	}
	switch {
	case !math.IsNaN(safe):
		out += "; " + fmt.Sprintf(safely, say(safe))
	case shown:
		out += "; none is sure to meet the target"
	}
	return out + "."
}

// remedy says what would bring a target within reach that no size meets: a clause.
func remedy(u units.System, r *sim.Result) string {
	t := r.Turned
	if t == nil {
		return "Ask about larger tanks or a larger roof, or use less water"
	}
	roof, use := u.Area(t.Roof), u.Flow(t.Use)
	switch {
	case !math.IsNaN(t.Roof) && !math.IsNaN(t.Use):
		return fmt.Sprintf("With a tank of that size a roof of about %s would be enough, or under this roof a use of about %s", roof, use)
	case !math.IsNaN(t.Use):
		return fmt.Sprintf("With a tank of that size even a far larger roof would not be enough; under this roof it does for a use of about %s", use)
	case !math.IsNaN(t.Roof):
		return fmt.Sprintf("With a tank of that size a roof of about %s would be enough", roof)
	}
	return "With a tank of that size neither a far larger roof nor a far smaller use would do. Ask about larger tanks"
}
