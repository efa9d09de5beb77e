package sim

import (
	"math"
	"time"

	"tankodds/rainfall"
)

// The rules by which tanks were sized before daily simulation. They are here
// to be shown beside the simulated size, not to replace it: they know nothing
// of how rain is spread over the year, and differ among themselves by a
// factor of three.
//
// Those that a Thumb may follow.
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
	dry := DrySeason(perMonth, first, count)
	all := []Thumb{
		{Rule: ThumbFive, Of: least, Tank: FivePercent * least},
		{Rule: ThumbSix, Of: least, Tank: SixPercent * least},
		{Rule: ThumbDays, Of: perDay, Days: AutonomyDays, Tank: AutonomyDays * perDay},
		{Rule: ThumbDrySpell, Of: perDay, Days: spell, Tank: float64(spell) * perDay},
		{Rule: ThumbDrySeason, Of: dry, First: first, Count: count, Tank: dry},
	}
	var out []Thumb
	for _, t := range all {
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
	for _, u := range uses {
		for m, x := range u.Bed.Mean {
			out[m] += x
		}
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

// AnnualYield returns the litres that the roofs collect in a year of rain mm,
// of which loss mm wet the roof and dry off again:
//
//	Σ A·e·C·max(0, rain − loss)
//
// The form is that of enHealth, Guidance on use of rainwater tanks (2011),
// App. B, which takes 24 mm a year (2 mm a month) for loss and has no filter
// share; handbooks that have no loss take 0. First flush and the roof's own
// wetting loss, both daily, do not enter.
func AnnualYield(roofs []Roof, rain, loss float64) float64 {
	sum := 0.0
	for _, r := range roofs {
		sum += float64(r.Area * float64(r.Filter*float64(r.Runoff*max(0, rain-loss))))
	}
	return sum
}

// The shares of a year's yield or demand, whichever is less, that a store holds
// by two rules: 18.25 days of it (the intermediate approach of the former BS 8515,
// from memory, unverified), and about 22 days (DIN
// 1989-1 as quoted in practice).
const (
	FivePercent = 0.05
	SixPercent  = 0.06
)

// DrySeason returns the store that carries the uses (L a month, January
// first) through a dry season of months months from month first on, with no
// rain at all, L: common practice, no source.
func DrySeason(use [12]float64, first time.Month, months int) float64 {
	sum := 0.0
	for k := range months {
		sum += use[(int(first)-1+k)%12]
	}
	return sum
}
