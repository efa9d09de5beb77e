package words

import (
	"fmt"
	"math"
	"strings"

	"tankodds/rainfall"
	"tankodds/rainfall/near"
	"tankodds/report/units"
	"tankodds/sim"
)

// Near says what neighbours' records lent, in sentences, and then who lent nothing
// and why; "" where none was named.
func Near(u units.System, r *sim.Result) string {
	n := r.Near
	if n == nil {
		return ""
	}
	var out []string
	if n.Borrowed() {
		var from []string
		for _, x := range n.From {
			if x.Why == "" {
				from = append(from, fmt.Sprintf("%s of %s", Plural(x.Usable, "year"), x.Name))
			}
		}
		out = append(out, fmt.Sprintf("Borrowed were %s, their rain scaled to this record's: each of its %s counts as %s. %s.",
			anded(from), Plural(r.Usable, "usable year"), units.Fixed(n.Gain, 1), NearBands(u, r)))
	} else {
		out = append(out, "Nothing was borrowed: the answer is from this record alone.")
	}
	for _, x := range n.From {
		if x.Why != "" {
			out = append(out, fmt.Sprintf("%s lent nothing: %s.", x.Name, NotLent(x)))
		}
	}
	return strings.Join(out, " ")
}

// NearBands lays the bands with and without what was borrowed side by side, a
// clause.
func NearBands(u units.System, r *sim.Result) string {
	n, a := r.Near, r.Near.Alone
	out := fmt.Sprintf("With them %s has a good year in %s to %s of years, without them in %s to %s. The answer itself has moved, for they tell more of the dry years; at one and the same share the band is narrower by %s", u.Volume(r.Main.Cell.Tank),
		units.Percent(n.Within.Low), units.Percent(n.Within.High), units.Percent(a.Within.Low), units.Percent(a.Within.High), units.Percent(math.Round(100*n.Narrower())/100))
	if math.IsNaN(a.Tank) {
		return out + "; without them no size is told"
	}
	return out + fmt.Sprintf(". The record alone asks for %s%s", u.Volume(a.Tank), sizesBetween(u, a.Low, a.High))
}

// anded lists things: a, b and c.
func anded(list []string) string {
	if n := len(list) - 1; n > 0 {
		return strings.Join(list[:n], ", ") + " and " + list[n]
	}
	return strings.Join(list, "")
}

func sizesBetween(u units.System, low, high float64) string {
	switch {
	case math.IsNaN(low):
		return ""
	case math.IsNaN(high):
		return fmt.Sprintf(" (%s or more)", u.Volume(low))
	}
	return fmt.Sprintf(" (between %s)", VolumeRange(u, low, "and", high))
}

// NotLent says why a neighbour lent nothing, a clause.
func NotLent(n rainfall.Neighbour) string {
	switch n.Why {
	case rainfall.FewCommonYears:
		return fmt.Sprintf("it has %s in common with the record, and %d are the least", Plural(n.Common, "usable year"), near.LeastCommon)
	case rainfall.OtherMonths:
		return fmt.Sprintf("its months go together with the record's by %s, and %s is the least", units.Fixed(n.Months, 2), units.Fixed(rainfall.LeastAlike, 1))
	case rainfall.OtherSeason:
		return fmt.Sprintf("%s of a year's rain falls in other months", units.Percent(n.Shifted))
	case rainfall.OtherWetDays:
		return fmt.Sprintf("it has %s times as many wet days", units.Fixed(n.Wet, 2))
	case rainfall.OtherSpread:
		if n.Spread > 0 {
			return "its years differ less from each other"
		}
		return "its years differ more from each other"
	case rainfall.Discordant:
		return fmt.Sprintf("its years are unlike those of all the others (discordancy %s)", units.Fixed(n.D, 1))
	case rainfall.Heterogeneous:
		return "with it the records are not of one climate"
	case rainfall.TooLittleToLend:
		return "it fits, but would narrow the band by less than a tenth"
	}
	return ""
}
