package words

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"tankodds/report/units"
	"tankodds/sim"
)

// Site says what is known before anything is worked out.
func Site(u units.System, roofs []sim.Roof, uses []sim.Use, rule sim.Rule) string {
	return fmt.Sprintf("%s; use %s on average; %s", Roofs(u, roofs), u.Flow(sim.MeanDemand(uses)), Rule(rule))
}

// Roofs says what the roofs are: "180 m² of metal roof".
func Roofs(u units.System, roofs []sim.Roof) string {
	surface := func(r sim.Roof) string {
		if r.Surface == sim.DefaultSurface {
			return ""
		}
		return r.Surface
	}
	total := u.Area(sim.TotalArea(roofs))
	if len(roofs) == 1 {
		return squeezed(total, "of", surface(roofs[0]), "roof")
	}
	var each []string
	for _, r := range roofs {
		each = append(each, squeezed(u.Area(r.Area), surface(r)))
	}
	return fmt.Sprintf("%s of roof (%s)", total, strings.Join(each, " + "))
}

// squeezed joins what is not empty.
func squeezed(parts ...string) string {
	return strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
}

// Rule names the order of a day.
func Rule(r sim.Rule) string {
	if r == sim.YBS {
		return "yield before spillage (YBS)"
	}
	return "yield after spillage (YAS)"
}

// Goal says the target as a client would.
func Goal(s *sim.Study) string { return Gives(s, s.Target) }

// Gives says the same of another share than the target's.
func Gives(s *sim.Study, share float64) string {
	said := target(s.Measure, share, s.Allow)
	if of := s.Fitted.Of; of != "" {
		said += fmt.Sprintf(" for the use “%s”", of)
	}
	return said
}

func target(m sim.Measure, share float64, allow int) string {
	said := units.Percent(share)
	switch {
	case m == sim.Time:
		return fmt.Sprintf("the demand on %s of days", said)
	case m == sim.Volume:
		return fmt.Sprintf("%s of the water wanted", said)
	case allow > 0:
		return fmt.Sprintf("%s of years with at most %s", said, Plural(allow, "short day"))
	}
	return fmt.Sprintf("%s of years without a short day", said)
}

// ShareOf names what the measure is a share of.
func ShareOf(m sim.Measure) string {
	return [...]string{sim.Annual: "years", sim.Time: "days", sim.Volume: "water wanted"}[m]
}

// Measure names what the target is a share of.
func Measure(m sim.Measure) string {
	return [...]string{sim.Annual: "share of good years", sim.Time: "share of days met", sim.Volume: "share of the water wanted"}[m]
}

// GoodYear says what a good year has.
func GoodYear(allow int) string {
	if allow > 0 {
		return "at most " + Plural(allow, "short day")
	}
	return "no short day"
}

// Size says the answer: what was found, a clause; how sure it is, a sentence
// without its end; and the safe size, a clause, "" where there can be none.
func Size(u units.System, r *sim.Result) (found, sure, safe string) {
	s, a := r.Study, r.Main
	years := Plural(r.Usable, "usable year") + " of record"
	if r.Near.Borrowed() {
		years += " with what neighbours lent"
	}
	switch a.Grade {
	case sim.TooShort:
		sure = "A record as short holds too few droughts. Look for a longer one, or for a second station near by"
		if enough := r.Enough(); !math.IsNaN(enough) && !math.IsInf(enough, 0) {
			sure = fmt.Sprintf("Each of these years would have been a good one with %s. That is no size to build by: look for a longer record, or for a second station near by", u.Volume(enough))
		}
		return fmt.Sprintf("no size is told from %s; %d are the least", years, sim.FewYears), sure, ""
	case sim.OutOfReach:
		c := r.Curve[len(r.Curve)-1]
		sure = fmt.Sprintf("The largest size asked about, %s, supplies %s of the water wanted and leaves %s short days a year. ",
			u.Volume(c.Tank), units.Percent(c.Volumetric.Estimate), units.Mean(c.ShortDays))
		if s.Sought != sim.ForTank { // it is said first
			return Reason(a), strings.TrimSuffix(sure, ". "), ""
		}
		return Reason(a), sure + remedy(u, r), ""
	case sim.Indicated:
		found = fmt.Sprintf("this record points to a tank of about %s%s for %s", u.Volume(a.Lead), amongListed(s, a), Goal(s))
		sure = fmt.Sprintf("%s are too few to show that; it would take about %s. ", UpperFirst(years), Whole(a.Shows))
		if x := a.Cell.Of(s.Measure).Estimate; s.RecordError && units.Percent(x) != units.Percent(s.Target) && x < s.Target {
			sure += fmt.Sprintf("They let you expect %s at that size. ", units.Percent(x))
		}
	case sim.Shown:
		found = fmt.Sprintf("a tank of %s is the smallest%s that meets %s", u.Volume(a.Lead), amongListed(s, a), Goal(s))
		if s.ForSale && len(s.Sizes) == 1 && a.Lead == a.Listed {
			found = fmt.Sprintf("a tank of %s meets %s", u.Volume(a.Lead), Goal(s))
		}
	}
	if s.ForSale && math.IsNaN(a.Listed) {
		found = "no size asked about is large enough; " + found
	}
	it := "the size needed "
	if u.Volume(a.Lead) != u.Volume(a.Tank) && a.Grade == sim.Shown {
		sure += u.Volume(a.Tank) + " would be just enough. "
	}
	switch {
	case !s.RecordError:
		return found, sure + fmt.Sprintf("How far the %s could be wrong was not asked, so no band stands beside it", years), ""
	case a.Grade == sim.Indicated:
		return found, sure + UpperFirst(it) + SizeRange(u, a), ""
	}
	return found, sure + fmt.Sprintf("From %s %s%s", years, it, SizeRange(u, a)), safeSize(u, s, a)
}

// amongListed says of which sizes the answer is one.
func amongListed(s *sim.Study, a sim.Answer) string {
	if s.ForSale && a.Lead == a.Listed {
		return " of the sizes asked about"
	}
	return ""
}

// safeSize says which size is safe: of sizes for sale one of them.
func safeSize(u units.System, s *sim.Study, a sim.Answer) string {
	const why = ": even the lower bound of its reliability meets the target"
	switch {
	case math.IsNaN(a.Safe):
		return "no size is sure to meet the target"
	case !s.ForSale || u.Volume(a.Sure) == u.Volume(a.Safe):
		return u.Volume(a.Safe) + why
	case math.IsNaN(a.Sure):
		return fmt.Sprintf("none of the sizes asked about; %s would be%s", u.Volume(a.Safe), why)
	}
	return fmt.Sprintf("%s%s; %s would be just enough", u.Volume(a.Sure), why, u.Volume(a.Safe))
}

// SizeRange says what the record leaves open of the size that meets the
// target, after "it".
func SizeRange(u units.System, a sim.Answer) string {
	switch low, high := math.IsNaN(a.Low), math.IsNaN(a.High); {
	case low && high:
		return "has no limits that this record could give"
	case high:
		return fmt.Sprintf("is at least %s; how much larger it may be, this record cannot say", u.Volume(a.Low))
	case low:
		return fmt.Sprintf("is %s at most", u.Volume(a.High))
	}
	return "lies between " + VolumeRange(u, a.Low, "and", a.High)
}

// Band says what a band beside a share is.
func Band(s *sim.Study) string {
	if s.RecordError {
		return fmt.Sprintf("what a record of this length leaves open (%s)", units.Percent(s.Level))
	}
	return fmt.Sprintf("the Monte Carlo error alone (%s)", units.Percent(s.Level))
}

// SizeBand says what the band of a size is; there is none without record
// error.
func SizeBand(s *sim.Study) string {
	if s.RecordError {
		return "the band is " + Band(s)
	}
	return "band and safe size need the record error, which is off"
}

// Stop says where more storage stops paying.
func Stop(u units.System, r *sim.Result) string {
	s, a, st := r.Study, r.Main, r.Stop
	if math.IsNaN(st.Tank) {
		return fmt.Sprintf("no %s of tank would be used every other year: as water, storage does not pay here.", Litre(u))
	}
	if st.Method == sim.ByValue {
		return worthMost(u, s, a, st)
	}
	band := ""
	if !math.IsNaN(st.Low) && !math.IsNaN(st.High) && u.Volume(st.Low) != u.Volume(st.High) {
		band = fmt.Sprintf(" (%s)", VolumeRange(u, st.Low, "to", st.High))
	}
	return fmt.Sprintf("up to %s%s the last %s is used at least every other year. Beyond that you buy safety.", u.Volume(st.Tank), band, Litre(u))
}

// WorthMost is what Worth says of a size that pays.
const WorthMost = "worth most"

// Worth is what the size where storage stops paying is among those with a price.
func Worth(s *sim.Study, st sim.Stop) string {
	if s.Costs != nil && s.Costs.Value(st.Tank, st.Supplied) < 0 {
		return "loses least"
	}
	return WorthMost
}

// worthMost says which of the sizes with a price is worth most.
func worthMost(u units.System, s *sim.Study, a sim.Answer, st sim.Stop) string {
	c := s.Costs
	value, over := c.Value(st.Tank, st.Supplied), fmt.Sprintf("over %g years at %s a year", c.Life, units.Percent(c.Discount))
	if len(c.Sizes) == 1 && value >= 0 {
		return fmt.Sprintf("%s: %s, the water saves %s more than the tank costs in all. It is the only size with a price.", u.Volume(st.Tank), over, units.Amount(value, c.Currency))
	}
	out := fmt.Sprintf("of the sizes with a price, %s is worth most: %s, the water saves %s more than the tank costs in all.", u.Volume(st.Tank), over, units.Amount(value, c.Currency))
	if value < 0 {
		out = fmt.Sprintf("no size with a price pays for itself. %s loses least: %s, the water saves %s less than the tank costs.", u.Volume(st.Tank), over, units.Amount(-value, c.Currency))
	}
	if !math.IsNaN(st.Low) && !math.IsNaN(st.High) && st.Low != st.High {
		out += fmt.Sprintf(" The record leaves open whether it is %s.", VolumeRange(u, st.Low, "or", st.High))
	}
	switch st.Tank {
	case c.Sizes[0]:
		out += " It is the smallest with a price; a smaller one might be worth more."
	case c.Sizes[len(c.Sizes)-1]:
		out += " It is the largest with a price; a larger one might be worth more."
	default:
		if !math.IsNaN(a.Tank) {
			out += " Beyond it you buy safety."
		}
	}
	return out
}

// Litre names a unit of volume that a tank is larger by.
func Litre(u units.System) string {
	if u == units.US {
		return "gallon"
	}
	return "litre"
}

// Often says how many times a year something is done.
func Often(times float64) string {
	switch {
	case times == 0:
		return "never"
	case times >= 0.995 && times < 1.005:
		return "once a year"
	case times >= 0.9:
		return units.Significant(times, 2) + " times a year"
	}
	return "once in " + units.Significant(1/times, 2) + " years"
}

// mostDriest is how many of the real driest years the words name.
const mostDriest = 3

// Driest says what the real record would have done to the tank.
func Driest(u units.System, r *sim.Result) string {
	if r.Study.Measure == sim.Volume && len(r.Real) > 0 {
		return driestByWater(u, r)
	}
	var worst []sim.RealYear
	for _, y := range r.Real {
		if y.ShortDays > r.Study.Allow {
			worst = append(worst, y)
		}
	}
	tank, enough, dry := u.Volume(r.Season.Tank), "", "run dry"
	if r.Study.Slow() { // a level may keep water from a use
		dry = "fallen short"
	}
	if size := r.Enough(); !math.IsNaN(size) && !math.IsInf(size, 0) && size != 0 {
		enough = u.VolumeUp(size)
	}
	if len(worst) == 0 {
		if enough != "" {
			enough = fmt.Sprintf(" About %s would have been enough for all of them.", enough)
		}
		return fmt.Sprintf("%s would not have %s in any of the %s of record.%s", tank, dry, Plural(len(r.Real), "usable year"), enough)
	}
	if enough != "" {
		enough = fmt.Sprintf(" About %s would have been enough for all of them.", enough)
	}
	slices.SortStableFunc(worst, func(a, b sim.RealYear) int { return b.ShortDays - a.ShortDays })
	var names []string
	for _, y := range worst[:min(len(worst), mostDriest)] {
		names = append(names, fmt.Sprintf("%s (%s)", WaterYear(y.Label, r.WaterYear), Plural(y.ShortDays, "day")))
	}
	return fmt.Sprintf("%s would have %s in %d of the %s of record; worst in %s.%s", tank, dry, len(worst), Plural(len(r.Real), "usable year"), strings.Join(names, ", "), enough)
}

// Mains says what gives the water that the tank lacks.
func Mains(m sim.Mains) string {
	return [...]string{sim.NotSaid: "not said", sim.Direct: "comes from the mains, straight to the use", sim.None: "is lacking: the tank is the sole source", sim.IntoTank: "comes from the mains, let into the tank"}[m]
}

// driestByWater says of a target for water what the real record would have
// given: days short by a little are no alarm there.
func driestByWater(u units.System, r *sim.Result) string {
	worst, least, supplied, wanted := 0, math.Inf(1), 0.0, 0.0
	for _, y := range r.Real {
		supplied, wanted = supplied+y.OfRain(), wanted+y.Demand
		if share := y.OfRain() / y.Demand; share < least {
			worst, least = y.Label, share
		}
	}
	all := ""
	if r.Study.Fitted.Of != "" {
		all = " by all uses together"
	}
	return fmt.Sprintf("over the %s of record %s would have supplied %s of the water wanted%s, and in the year that lacked the most, %s, %s.",
		Plural(len(r.Real), "usable year"), u.Volume(r.Season.Tank), units.Percent(supplied/wanted), all, WaterYear(worst, r.WaterYear), units.Percent(least))
}

// Outlook says what to expect of the years ahead, a clause.
func Outlook(u units.System, s *sim.Study, o *sim.Outlook) string {
	allowed := ""
	if s.Allow > 0 {
		allowed = fmt.Sprintf(" (more than %d of them)", s.Allow)
	}
	return fmt.Sprintf("expect %s with a short day at %s%s", CountRange(o.Low, o.High, "year"), u.Volume(o.Tank), allowed)
}

// Caution closes every answer on a terminal.
const Caution = "Estimates from past rain; the climate may change. Roof water is not drinking " +
	"water unless treated and tested. Ask the authority having jurisdiction about permits, " +
	"backflow protection and overflow."

// Prices lists what tanks cost.
func Prices(u units.System, c *sim.Costs) string {
	var parts []string
	for i, size := range c.Sizes {
		parts = append(parts, fmt.Sprintf("%s %s%s", u.Volume(size), c.Currency, units.Fixed(c.Prices[i], 0)))
	}
	return strings.Join(parts, "; ")
}

// Days names the days of a use, and who uses it then.
func Days(u units.System, x sim.Use) string {
	if x.OnItsDays() == 0 {
		return "–"
	}
	var parts []string
	if x.People > 0 && x.Each > 0 {
		parts = append(parts, fmt.Sprintf("%s, %s each", People(x), u.Volume(x.Each)))
	}
	if days := x.Days.Texts(); len(days) < 7 {
		parts = append(parts, strings.Join(days, ", "))
	}
	if months := x.Months.Texts(); len(months) < 12 {
		parts = append(parts, strings.Join(months, ", "))
	}
	if len(parts) == 0 || len(parts) == 1 && x.People > 0 {
		parts = append(parts, "every day")
	}
	for _, s := range x.Except {
		parts = append(parts, "not "+span(s))
	}
	return strings.Join(parts, "; ")
}

// People says how many use something.
func People(x sim.Use) string {
	if x.Spread > 0 {
		return fmt.Sprintf("%g to %g people", x.People-x.Spread, x.People+x.Spread)
	}
	if x.People == 1 {
		return "1 person"
	}
	return fmt.Sprintf("%g people", x.People)
}

// span says a part of the year.
func span(s sim.Span) string {
	day := func(month, day int) string { return fmt.Sprintf("%d %.3s", day, time.Month(month)) }
	from, to := day(s.FromMonth, s.FromDay), day(s.ToMonth, s.ToDay)
	of := ""
	if s.Year > 0 {
		of = fmt.Sprintf(" %d, in the real record alone", s.Year)
	}
	if from == to {
		return from + of
	}
	return from + " to " + to + of
}

// Monthly lists the months of a use.
func Monthly(u units.System, x sim.Use) string {
	if x.Monthly == ([12]float64{}) {
		return "–"
	}
	v := u.VolumeColumn(x.Monthly[:]...)
	var parts []string
	for m, q := range x.Monthly {
		if q > 0 {
			parts = append(parts, fmt.Sprintf("%s %s", time.Month(m + 1).String()[:3], v.Cell(q)))
		}
	}
	return strings.Join(parts, ", ") + " " + v.Unit
}
