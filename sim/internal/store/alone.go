package store

import "sort"

// Alone is one tank on its way through days, by Rule.Day with a dry spell as one
// step: units, days and years.
type Alone struct {
	Size, Held            int64
	Supplied, Short, Good int64
}

// Run takes the tank through years of days with the inflow of each event of all of
// them, and adds to its sums. A year with more than allow short days is not good.
func (a *Alone) Run(rule Rule, days *Days, from, to int, inflow []int64, allow int) {
	use, held, supplied := days.use, a.Held, int64(0)
	first := 0 // day of the event
	if e := days.years[from]; e > 0 {
		first = int(days.Ends[e-1]) + 1
	}
	for y := from; y < to; y++ {
		short := int64(0)
		for e := days.years[y]; e < days.years[y+1]; e++ {
			last := int(days.Ends[e])
			morning := use[last]
			dry, d := morning-use[first], use[last+1]-morning
			if dry > held {
				// The first day that asks for more than is there, and all after it
				// that ask for anything, are short.
				t := first + sort.Search(last-first, func(k int) bool { return use[first+k+1]-use[first] > held })
				short += rising(use[t], use[t+1:last+1])
				dry = held
			}
			held -= dry
			yield, _, left := rule.Day(a.Size, held, inflow[e], d)
			if yield < d {
				short++
			}
			supplied += dry + yield
			held = left
			first = last + 1
		}
		a.Short += short
		if short <= int64(allow) {
			a.Good++
		}
	}
	a.Held = held
	a.Supplied += supplied
}
