package sim

import (
	"math"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/sim/internal/store"
)

// Filling is how long an empty tank takes, used from the first day on, if that is
// the first of a month: medians over the starts in the record, days.
type Filling struct {
	Month   time.Month `key:"month" doc:"month on whose first day it begins"`
	Starts  int        `key:"starts" doc:"how many of them the record has"`
	Half    float64    `key:"half_days" doc:"until it is half full, the median; none where it is not in half of them"`
	Full    float64    `key:"full_days" doc:"until it first runs over, the median; none where it does not in half of them"`
	Longest float64    `key:"longest_days" doc:"until it first runs over, the most; none where it once does not"`
	Refill  float64    `key:"reserve_days" doc:"until a reserve used up is there again, the median; none without reserve"`
	Worst   float64    `key:"reserve_longest_days" doc:"the same, the most"`
}

// fillYears is how long a tank is looked at.
const fillYears = 3

// Filling tells it of a tank of a nominal size. What lies under the outlet fills
// first, and uses draw only what is above. A start is left out that the record
// does not follow for fillYears unless the tank fills before it ends.
func (q *Question) Filling(nominal float64) ([]Filling, error) {
	s, n := q.study, len(q.series.Depth)
	past, err := recorded(q.series.First, q.series.Depth, q.series.ET0, s.Roofs, s.Uses, s.Tank(nominal))
	if err != nil {
		return nil, err
	}
	size := s.usable(nominal)
	under, reserve := store.Units(nominal)-size, store.Units(s.Under.Kept(nominal))
	// days counts the days from one on until the tank, which lacks so much below
	// its outlet and holds nothing above it, holds until above it.
	days := func(from int, lacks, until int64) float64 {
		held, with := int64(0), past.walk(size, 0)
		if past.course != nil {
			with.state.Tank = -lacks
		}
		for t := from; t < n && t < from+fillYears*rainfall.DaysPerYear; t++ {
			if math.IsNaN(q.series.Depth[t]) {
				continue
			}
			if past.course != nil {
				day, _ := with.day(t)
				if after := with.held; after >= until || after+store.Units(day.Supplied)+store.Units(day.Dried) >= size {
					return float64(t - from + 1)
				}
				continue
			}
			inflow, demand := past.inflow, past.demand
			below := min(inflow[t], lacks)
			lacks -= below
			_, spilled, after := s.Rule.Day(size, held, inflow[t]-below, demand[t])
			if held = after; held-lacks >= until || spilled > 0 {
				return float64(t - from + 1)
			}
		}
		if from+fillYears*rainfall.DaysPerYear > n {
			return math.NaN()
		}
		return math.Inf(1)
	}
	var out []Filling
	for m := time.January; m <= time.December; m++ {
		var half, full, again []float64
		for t := range n {
			if _, month, day := (q.series.First + rainfall.Date(t)).YMD(); month != m || day != 1 {
				continue
			}
			x := days(t, under, size)
			if math.IsNaN(x) {
				continue
			}
			full, half = append(full, x), append(half, days(t, under, store.Units(nominal/2)-under))
			if reserve > 0 {
				again = append(again, days(t, reserve, 0))
			}
		}
		f := Filling{Month: m, Starts: len(full)}
		f.Half, _ = middle(half)
		f.Full, f.Longest = middle(full)
		f.Refill, f.Worst = middle(again)
		out = append(out, f)
	}
	return out, nil
}

// middle is the median of some numbers of days and the largest of them, NaN
// where there is none.
func middle(days []float64) (median, most float64) {
	if len(days) == 0 {
		return math.NaN(), math.NaN()
	}
	slices.Sort(days)
	known := func(x float64) float64 {
		if math.IsInf(x, 0) {
			return math.NaN()
		}
		return x
	}
	return known(days[len(days)/2]), known(days[len(days)-1])
}
