package rainfall

import "time"

// DaysPerYear is the length of a water year in what is simulated: on 29
// February a real year's rain is added to the 28th's.
const DaysPerYear = 365

// Calendar counts the days of water years that begin in a month, 1 to 12. Days
// are counted from 0 in years of DaysPerYear days.
type Calendar time.Month

// First returns the first day of the water year that begins in a calendar
// year, by which it is called.
func (c Calendar) First(label int) Date { return Day(label, time.Month(c), 1) }

// Label returns the calendar year in which the water year of a day begins.
func (c Calendar) Label(d Date) int {
	y, m, _ := d.YMD()
	if m < time.Month(c) {
		y--
	}
	return y
}

// Date returns the day of a month in the water year of a label; 29 February is
// the 28th where there is none.
func (c Calendar) Date(label int, m time.Month, day int) Date {
	if m < time.Month(c) {
		label++
	}
	return Day(label, m, min(day, DaysIn(label, m)))
}

// Month returns the k-th month of a water year, from 0.
func (c Calendar) Month(k int) time.Month { return time.Month((int(c)-1+k)%12 + 1) }

// Starts returns the day on which each month of a water year begins, and a
// thirteenth for the year's end.
func (c Calendar) Starts() (out [13]int) {
	for k := range 12 {
		out[k+1] = out[k] + DaysIn(2001, c.Month(k))
	}
	return out
}

// Nth returns the number, from 0, of the month of the water year that each day
// lies in.
func (c Calendar) Nth() (out [DaysPerYear]uint8) {
	starts := c.Starts()
	for k := range 12 {
		for d := starts[k]; d < starts[k+1]; d++ {
			out[d] = uint8(k)
		}
	}
	return out
}

// Months returns the month that each day lies in.
func (c Calendar) Months() (out [DaysPerYear]time.Month) {
	for d, k := range c.Nth() {
		out[d] = c.Month(int(k))
	}
	return out
}

// MonthDay returns the month and the day of the month of a day.
func (c Calendar) MonthDay(day int) (time.Month, int) {
	for k := 0; ; k++ {
		m := c.Month(k)
		n := DaysIn(2001, m)
		if day < n {
			return m, day + 1
		}
		day -= n
	}
}

// Place returns which day of its water year a date is; 29 February counts with
// the 28th.
func (c Calendar) Place(d Date) int {
	_, m, day := d.YMD()
	return c.Starts()[(int(m)-int(c)+12)%12] + min(day, DaysIn(2001, m)) - 1
}

// leapDay returns how many days of the water year of a label lie before its 29
// February, 0 where it has none.
func (c Calendar) leapDay(label int) int {
	d := c.Date(label, time.February, 29)
	if _, _, day := d.YMD(); day < 29 {
		return 0
	}
	return int(d - c.First(label))
}
