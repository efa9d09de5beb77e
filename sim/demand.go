package sim

import (
	"fmt"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/sim/internal/check"
	"tankodds/sim/internal/store"
)

// Use is one draw on the tank. It wants Daily litres on each of Days, plus
// its month's share of Monthly spread evenly over the month.
type Use struct {
	Name    string      `key:"name,omitempty" doc:"what it is called"`
	Daily   float64     `key:"daily_l" doc:"water wanted on each of its days"`
	Days    Weekdays    `key:"days" doc:"the days of the week on which that is wanted"`
	Monthly [12]float64 `key:"monthly_l" doc:"water wanted over each month besides, January first"`
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
	f.Need(check.FromZero(u.Daily), "use %q: %g L a day; it must be 0 or more", u.Name, u.Daily)
	for m, x := range u.Monthly {
		f.Need(check.FromZero(x), "use %q: %g L in %v; it must be 0 or more", u.Name, x, time.Month(m+1))
	}
	return f.Err
}

// wanted returns what the uses want on a day.
func wanted(uses []Use, w time.Weekday, m time.Month, daysInMonth int) float64 {
	sum := 0.0
	for _, u := range uses {
		of := u.Monthly[m-1] / float64(daysInMonth)
		if u.Days.on(w) {
			of += u.Daily
		}
		sum += of
	}
	return sum
}

// Demand sets dst to the litres wanted on each day from first on, by the real
// calendar.
func Demand(dst []float64, first rainfall.Date, uses []Use) {
	for t := range dst {
		day := first + rainfall.Date(t)
		y, m, _ := day.YMD()
		dst[t] = wanted(uses, day.Weekday(), m, rainfall.DaysIn(y, m))
	}
}

// TraceDemand returns the litres wanted on each day of a synthetic trace of
// years water years beginning in month start: 365-day years, and weeks that
// run on from year to year, day 0 a Monday.
func TraceDemand(years int, start time.Month, uses []Use) []float64 {
	dst := make([]float64, years*rainfall.DaysPerYear)
	month := rainfall.Calendar(start).Months()
	for t := range dst {
		m := month[t%rainfall.DaysPerYear]
		dst[t] = wanted(uses, time.Weekday((t+1)%7), m, rainfall.DaysIn(2001, m))
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
	return sum / float64(len(week))
}
