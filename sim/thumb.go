package sim

import (
	"math"
	"time"

	"tankodds/rainfall"
)

// The rules of thumb that a Thumb may follow.
const (
	ThumbFive      = "5 %"           // FivePercent
	ThumbSix       = "6 %"           // SixPercent
	ThumbDays      = "autonomy"      // the use of AutonomyDays
	ThumbDrySpell  = "longest spell" // the use of the longest dry spell of the record
	ThumbDrySeason = "dry season"    // DrySeason over the dry months
)

// AutonomyDays is how long the store must bridge by the days-of-autonomy
// rule: 21 days (City of Stuttgart, "Richtige Speichergröße", item 52388, and
// a German practice form for DIN 1989).
const AutonomyDays = 21

// dryMonth is the share of the average month's rain below which a month is
// taken as one of the dry season (common practice, no source).
const dryMonth = 0.5

// Thumb is the size that a rule of thumb gives for the site's own roofs and
// uses, and what that size does when it is simulated.
type Thumb struct {
	Rule  string     `key:"rule" doc:"5 %, 6 %, autonomy, longest spell or dry season"`
	Of    float64    `key:"of_l" doc:"what the rule starts from: of a year (5 %, 6 %), of a day, or of the dry months"`
	Days  int        `key:"bridged_days" doc:"days bridged, of autonomy and the longest spell"`
	First time.Month `key:"first_month" doc:"first of the dry months"`
	Count int        `key:"dry_months" doc:"how many they are"`
	Tank  float64    `key:"tank_l" doc:"the size that the rule gives, taken as nominal"`
	Cell  Cell       `key:"cell" doc:"what that size does when it is simulated"`
}

// thumbs sizes the store by every rule of thumb: from the mean rain of the
// usable years, the uses and the longest dry spell of the record. A rule that
// gives no size above zero is left out.
func (s *Study) thumbs(series *rainfall.Series) []Thumb {
	years := series.Years
	var rain float64
	for i := range years.Len() {
		rain += years.Total(i)
	}
	rain /= float64(years.Len())
	perDay := MeanDemand(s.Uses)
	perMonth := monthlyDemand(s.Uses)
	want := 0.0
	for _, x := range perMonth {
		want += x
	}
	least := min(AnnualYield(s.Roofs, rain, 0), want)
	spell := (&rainfall.Record{Depth: series.Depth}).LongestDrySpell(rainfall.WetDay).Days
	first, count := drySeason(years)
	all := []Thumb{
		{Rule: ThumbFive, Of: least, Tank: FivePercent * least},
		{Rule: ThumbSix, Of: least, Tank: SixPercent * least},
		{Rule: ThumbDays, Of: perDay, Days: AutonomyDays, Tank: AutonomyDays * perDay},
		{Rule: ThumbDrySpell, Of: perDay, Days: spell, Tank: float64(spell) * perDay},
		{Rule: ThumbDrySeason, First: first, Count: count, Tank: DrySeason(perMonth, first, count)},
	}
	var out []Thumb
	for _, t := range all {
		if t.Rule == ThumbDrySeason {
			t.Of = t.Tank
		}
		if t.Tank > 0 && !math.IsInf(t.Tank, 0) {
			out = append(out, t)
		}
	}
	return out
}

// monthlyDemand returns what the uses want in each calendar month of a year
// of 365 days, L, January first; weekdays as often as they are on average.
func monthlyDemand(uses []Use) (out [12]float64) {
	const years = 7 // after which the weeks begin on the same day again
	month := rainfall.Calendar(time.January).Months()
	for t, d := range TraceDemand(years, time.January, uses) {
		out[month[t%rainfall.DaysPerYear]-1] += d / years
	}
	return out
}

// drySeason returns the longest run of calendar months, December followed by
// January, each with less than dryMonth of the average month's rain; the
// driest month alone where there is none. Of equal runs the first wins.
func drySeason(y *rainfall.Years) (first time.Month, months int) {
	var mean [12]float64
	month := rainfall.Calendar(y.Start).Months()
	total := 0.0
	for _, rain := range y.Rain {
		for t, x := range rain {
			mean[month[t]-1] += x
			total += x
		}
	}
	driest := 0
	for m, x := range mean {
		if x < mean[driest] {
			driest = m
		}
	}
	first, months = time.Month(driest+1), 1
	longest := 0
	for from := range mean {
		n := 0
		for n < 12 && mean[(from+n)%12] < dryMonth*total/12 {
			n++
		}
		if n > longest {
			longest = n
			first, months = time.Month(from+1), n
		}
	}
	return first, months
}

// thumbSizes lists the usable sizes of the rules of thumb.
func (s *Study) thumbSizes(all []Thumb) []float64 {
	out := make([]float64, len(all))
	for k, t := range all {
		out[k] = s.Usable(t.Tank)
	}
	return out
}
