package sim

import (
	"math"
	"time"

	"tankodds/rainfall"
	"tankodds/sim/internal/store"
)

// storeDays are sizes, in days of mean use, of stores that tell when stores are
// fullest: from one for a week or two of drought to one for a dry season. They
// are the same whatever sizes are asked about.
var storeDays = []float64{10, 20, 50, 100, 200}

// StorageYear returns the month on whose first morning stores under the site's
// own roofs are fullest on average over a record, each a share of its size. A
// water year that begins then holds a dry season whole: no drought is cut in two
// and counted twice, and years drawn anew are joined where least depends on the
// year before. ok is false where the site or the record does not tell.
func (s *Study) StorageYear(r *rainfall.Record) (start time.Month, ok bool) {
	if checkSite(s.Roofs, s.Uses) != nil || MeanDemand(s.Uses) == 0 {
		return 0, false
	}
	all, err := recorded(r.First, r.Depth, r.ET0, s.Roofs, s.Uses, Tank{Rule: s.Rule, Air: s.Air})
	if err != nil {
		return 0, false
	}
	inflow, demand := all.inflow, all.demand
	var sum, mornings [12]float64
	for _, days := range storeDays {
		size, held := store.Units(days*MeanDemand(s.Uses)), int64(0)
		runIn := min(len(inflow), RunIn*rainfall.DaysPerYear)
		for t := -runIn; t < len(inflow); t++ {
			at := t
			if t < 0 { // the record's first years, once before they count
				at += runIn
			}
			if math.IsNaN(r.Depth[at]) {
				continue
			}
			if _, m, d := (r.First + rainfall.Date(t)).YMD(); d == 1 && t >= 0 {
				sum[m-1] += float64(held) / float64(size)
				mornings[m-1]++
			}
			_, _, held = s.Rule.Day(size, held, inflow[at], demand[at])
		}
	}
	fullest := 0.0
	for m := range sum {
		if mean := sum[m] / mornings[m]; mean > fullest {
			start, fullest = time.Month(m+1), mean
		}
	}
	return start, fullest > 0
}
