package sim

import (
	"fmt"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/sim/internal/check"
	"tankodds/sim/internal/store"
)

// Use is one draw on the tank. It wants Daily litres, and Each for each of
// People, on its days: those of Days in Months but for Except. Besides it wants its
// month's share of Monthly spread evenly over the month. Uses are served in their
// order, each down to its level Keep.
type Use struct {
	Name    string      `key:"name,omitempty" doc:"what it is called"`
	Daily   float64     `key:"daily_l" doc:"water wanted on each of its days"`
	People  float64     `key:"people" doc:"who use it on each of its days"`
	Spread  float64     `key:"people_spread" doc:"how many more, or fewer, these may be"`
	Each    float64     `key:"each_l" doc:"water that each of them wants a day"`
	Days    Weekdays    `key:"days" doc:"the days of the week on which that is wanted"`
	Months  Months      `key:"months" doc:"the months in which that is wanted"`
	Except  []Span      `key:"except" doc:"parts of the year in which it is not"`
	Monthly [12]float64 `key:"monthly_l" doc:"water wanted over each month besides, January first"`
	Needs   float64     `key:"needs_kpa,omitzero" doc:"pressure that it needs, 0 where not said"`
	Bed     Bed         `key:"bed,omitzero" doc:"ground that it waters besides, by the weather"`
	Keep    Level       `key:"keep,omitzero" doc:"level in the tank below which it is not served, left for the other uses and later days"`
}

// OnItsDays is what the use wants on each of its days, L.
func (u *Use) OnItsDays() float64 { return u.Daily + float64(u.People*u.Each) }

// at is what it wants on a day, L.
func (u *Use) at(c calendarDay) float64 {
	of := u.Monthly[c.month-1] / float64(c.daysIn)
	if u.on(c) {
		of += u.OnItsDays()
	}
	return of
}

// on says whether a day is one of its days.
func (u *Use) on(c calendarDay) bool {
	return u.Days.on(c.weekday) && u.Months.on(c.month) && !slices.ContainsFunc(u.Except, func(s Span) bool { return s.holds(c) })
}

// calendarDay is what uses know of a day.
type calendarDay struct {
	year    int // 0 of a synthetic day
	weekday time.Weekday
	month   time.Month
	day     int // of the month, from 1
	daysIn  int // of the month
}

// Months are some months of the year, January first. All false means every one.
type Months [12]bool

func (m Months) on(month time.Month) bool { return m == Months{} || m[month-1] }

// Texts lists the months: "Jan", "Feb", …
func (m Months) Texts() []string {
	var out []string
	for k := time.January; k <= time.December; k++ {
		if m.on(k) {
			out = append(out, k.String()[:3])
		}
	}
	return out
}

// SetTexts reads what Texts lists.
func (m *Months) SetTexts(names []string) error {
	*m = Months{}
	for _, name := range names {
		k := slices.IndexFunc(Months{}.Texts(), func(is string) bool { return is == name })
		if k < 0 {
			return fmt.Errorf("%q is no month", name)
		}
		m[k] = true
	}
	if !slices.Contains(m[:], false) {
		*m = Months{}
	}
	return nil
}

// Span is a part of every year, its ends among it; it may go over New Year. In
// years that have none, 29 February is the 28th.
type Span struct {
	FromMonth int `key:"from_month" doc:"month of its first day, 1 for January"`
	FromDay   int `key:"from_day" doc:"its first day, of the month"`
	ToMonth   int `key:"to_month" doc:"month of its last day"`
	ToDay     int `key:"to_day" doc:"its last day, of the month"`
	Year      int `key:"year,omitzero" doc:"calendar year of its first day, where it is of one year alone; no synthetic year is that"`
}

// Check returns the first thing wrong with it.
func (s Span) Check() error {
	var f check.First
	for _, end := range [][2]int{{s.FromMonth, s.FromDay}, {s.ToMonth, s.ToDay}} {
		m := time.Month(end[0])
		if f.Need(m >= time.January && m <= time.December, "%d is no month", end[0]); f.Err == nil {
			f.Need(end[1] >= 1 && end[1] <= rainfall.DaysIn(2000, m), "%v has no day %d", m, end[1])
		}
	}
	return f.Err
}

// holds says whether a day lies in it.
func (s Span) holds(c calendarDay) bool {
	at, from, to := 100*int(c.month)+c.day, 100*s.FromMonth+s.FromDay, 100*s.ToMonth+s.ToDay
	if s.Year > 0 && c.year != s.Year && !(from > to && c.year == s.Year+1 && at <= to && c.year > 0) {
		return false
	}
	if s.Year > 0 && from > to && c.year == s.Year && at <= to {
		return false // of the year before
	}
	if c.month == time.February && c.daysIn == 28 {
		from, to = min28(from), min28(to)
	}
	if from <= to {
		return from <= at && at <= to
	}
	return at >= from || at <= to
}

// min28 is 28 February for the 29th.
func min28(day int) int {
	if day == 229 {
		return 228
	}
	return day
}

// Weekdays are some days of the week, Sunday first. All false means every day.
type Weekdays [7]bool

// on says whether a day is one of them.
func (w Weekdays) on(day time.Weekday) bool { return w == Weekdays{} || w[day] }

var dayNames = []string{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}

// Texts lists the days: "Sun", "Mon", …
func (w Weekdays) Texts() []string {
	var out []string
	for d, name := range dayNames {
		if w.on(time.Weekday(d)) {
			out = append(out, name)
		}
	}
	return out
}

// SetTexts reads what Texts lists.
func (w *Weekdays) SetTexts(names []string) error {
	*w = Weekdays{}
	for _, name := range names {
		d := slices.Index(dayNames, name)
		if d < 0 {
			return fmt.Errorf("%q is no day of the week", name)
		}
		w[d] = true
	}
	if !slices.Contains(w[:], false) {
		*w = Weekdays{}
	}
	return nil
}

// Check returns the first thing wrong with the use.
func (u Use) Check() error {
	var f check.First
	f.Of("daily_l")
	f.Need(check.FromZero(u.Daily), "use %q: %g L a day; it must be 0 or more", u.Name, u.Daily)
	f.Of("people")
	f.Need(check.FromZero(u.People), "use %q: %g people; it must be 0 or more", u.Name, u.People)
	f.Of("people_spread")
	f.Need(check.FromZero(u.Spread) && u.Spread <= u.People, "use %q: %g people more or fewer than %g", u.Name, u.Spread, u.People)
	f.Of("each_l")
	f.Need(check.FromZero(u.Each), "use %q: %g L for each of them; it must be 0 or more", u.Name, u.Each)
	for i, s := range u.Except {
		f.Of("except[%d]", i)
		f.Also(s.Check())
	}
	f.Of("needs_kpa")
	f.Need(check.FromZero(u.Needs), "use %q: %g kPa of pressure; it must be 0 or more", u.Name, u.Needs)
	f.Of("keep")
	f.Also(u.Keep.Check())
	f.Of("bed")
	f.Also(u.Bed.Check())
	for m, x := range u.Monthly {
		f.Of("monthly_l[%d]", m)
		f.Need(check.FromZero(x), "use %q: %g L in %v; it must be 0 or more", u.Name, x, time.Month(m+1))
	}
	return f.Err
}

// wanted returns what the uses want on a day.
func wanted(uses []Use, c calendarDay) float64 {
	sum := 0.0
	for i := range uses {
		sum += uses[i].at(c)
	}
	return sum
}

// Demand sets dst to the litres wanted on each day from first on, by the real
// calendar, but for what beds want.
func Demand(dst []float64, first rainfall.Date, uses []Use) {
	for t := range dst {
		day := first + rainfall.Date(t)
		y, m, d := day.YMD()
		dst[t] = wanted(uses, calendarDay{y, day.Weekday(), m, d, rainfall.DaysIn(y, m)})
	}
}

// TraceDemand returns the litres wanted on each day of a synthetic trace of
// years water years beginning in month start, but for what beds want: 365-day
// years, and weeks that run on from year to year, day 0 a Monday.
func TraceDemand(years int, start time.Month, uses []Use) []float64 {
	dst := make([]float64, years*rainfall.DaysPerYear)
	calendar := rainfall.Calendar(start)
	for t := range dst {
		m, d := calendar.MonthDay(t % rainfall.DaysPerYear)
		dst[t] = wanted(uses, calendarDay{0, time.Weekday((t + 1) % 7), m, d, rainfall.DaysIn(2001, m)})
	}
	return dst
}

// inUnits returns litres a day as whole units.
func inUnits(litres []float64) []int64 {
	out := make([]int64, len(litres))
	for t, x := range litres {
		out[t] = store.Units(x)
	}
	return out
}

// MeanDemand returns the litres that the uses want in an average day.
func MeanDemand(uses []Use) float64 {
	week := TraceDemand(7, time.January, uses)
	sum := 0.0
	for _, d := range week {
		sum += d
	}
	sum /= float64(len(week))
	for _, u := range uses {
		for _, x := range u.Bed.Mean {
			sum += x / rainfall.DaysPerYear
		}
	}
	return sum
}
