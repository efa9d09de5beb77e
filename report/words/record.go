package words

import (
	"fmt"
	"math"
	"strings"

	"tankodds/rainfall"
	"tankodds/report/units"
)

// Kind says what measured a record.
func Kind(modelled bool) string {
	if modelled {
		return "a modelled grid cell, not a gauge"
	}
	return "a gauge"
}

// Span says from when to when a record goes.
func Span(m *rainfall.Summary) string {
	return fmt.Sprintf("%v to %v, %s", m.First, m.Last, Plural(m.Days, "day"))
}

// Missing says how much of a record is missing.
func Missing(m *rainfall.Summary) string {
	if m.Missing == 0 {
		return "none"
	}
	s := fmt.Sprintf("%s (%s)", Plural(m.Missing, "day"), units.Percent(float64(m.Missing)/float64(m.Days)))
	if m.Gap.Days > 0 {
		s += fmt.Sprintf("; longest gap %s from %v", Plural(m.Gap.Days, "day"), m.Gap.From)
	}
	return s
}

// Totals says what became of totals over several days, "" where there is none.
func Totals(u units.System, m *rainfall.Summary) string {
	if m.Totals == 0 {
		return ""
	}
	own := "have no value of their own"
	if m.SpreadDays == 1 {
		own = "has no value of its own"
	}
	return fmt.Sprintf("%s of several days, %s together, spread evenly over %s that %s",
		Plural(m.Totals, "total"), Depth(u, m.TotalsMM, 0, 1), Plural(m.SpreadDays, "day"), own)
}

// Begin says when a water year begins and why.
func Begin(m *rainfall.Summary) string {
	return m.Start.String() + map[rainfall.StartBy]string{
		rainfall.ByAsking: ", as asked", rainfall.ByStores: ", when stores are fullest", rainfall.ByRain: ", judged by the rain; a sizing judges by its tanks",
	}[m.StartBy]
}

// MeanAnnual is the mean of the whole calendar years and that of the usable
// water years, which differ where the years do.
func MeanAnnual(u units.System, m *rainfall.Summary) string {
	of := ", the sum of the monthly means"
	if m.AnnualYears > 0 {
		of = fmt.Sprintf(" over %s of %d valid days or more", Plural(m.AnnualYears, "calendar year"), rainfall.WholeYearDays)
	}
	s := Depth(u, m.MeanAnnual, 0, 1) + of
	if !math.IsNaN(m.YearMean) {
		s += fmt.Sprintf("; %s over the usable water years", Depth(u, m.YearMean, 0, 1))
	}
	return s
}

// Years lists water years with their rain.
func Years(u units.System, m *rainfall.Summary, years []rainfall.WaterYear) string {
	var out []string
	for _, y := range years {
		out = append(out, fmt.Sprintf("%s %s", WaterYear(y.Label, m.Start), Depth(u, y.MM, 0, 1)))
	}
	return strings.Join(out, ", ")
}

// Rejected lists water years that are not usable and why, so many at most and
// then how many more.
func Rejected(m *rainfall.Summary, most int) []string {
	var out []string
	for i, x := range m.Rejected {
		if i == most-1 && len(m.Rejected) > most {
			return append(out, fmt.Sprintf("and %d more", len(m.Rejected)-i))
		}
		out = append(out, WaterYear(x.Label, m.Start)+": "+WhyNot(x))
	}
	return out
}

// DrySpell says how long it was dry.
func DrySpell(u units.System, m *rainfall.Summary) string {
	if m.DrySpell.Days == 0 {
		return "none"
	}
	from := m.DrySpell.From
	return fmt.Sprintf("%s below %s, %v to %v", Plural(m.DrySpell.Days, "day"), Depth(u, rainfall.WetDay, 0, 2), from, from+rainfall.Date(m.DrySpell.Days)-1)
}

// WettestDay names the day of the greatest depth.
func WettestDay(u units.System, m *rainfall.Summary) string {
	return fmt.Sprintf("%s on %v", Depth(u, m.MaxDay.MM, 1, 2), m.MaxDay.Date)
}

// Position says where a gauge stands: "36.04° N, 95.99° W, 189 m above the sea".
func Position(u units.System, p *rainfall.Position) string {
	var parts []string
	for _, x := range []struct {
		is          float64
		plus, minus string
	}{{p.Latitude, "N", "S"}, {p.Longitude, "E", "W"}} {
		if math.IsNaN(x.is) {
			continue
		}
		side := x.plus
		if x.is < 0 {
			side = x.minus
		}
		parts = append(parts, units.Fixed(math.Abs(x.is), 2)+"° "+side)
	}
	if !math.IsNaN(p.Elevation) {
		parts = append(parts, u.Length(p.Elevation)+" above the sea")
	}
	return strings.Join(parts, ", ")
}
