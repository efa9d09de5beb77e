package lanes

import (
	"math"

	"tankodds/sim/internal/store"
)

const (
	// Year is the days of a year.
	Year = 365

	// most is what one event may ask for, units: so a float32 counts its full
	// days exactly (see inverse), and those of a year fit into 32 bits.
	most = 1 << 22
)

// Events are the days of a trace as every tank of every roof sees them: runs
// of days of one year and one demand, all dry but the last (YAS) or the first
// (YBS), so that a tank takes a run in one step. The zero value is empty; the
// memory is used again from Build to Build.
type Events struct {
	rule  store.Rule
	list  []event
	years []span
	first []int // of each year its first event, and the end
}

// event is a run of days. The assembly knows this layout.
type event struct {
	all  uint32  // demand of all its days, units, ≤ most
	part uint32  // YAS: of all its days but the last; YBS: of one day, d
	per  float32 // 1/d rounded up, 0 where d is 0
	day  int32   // the day whose inflow it takes
}

// span is a year's events, its days with a demand, and that demand, units. The
// assembly knows this layout.
type span struct{ events, days, demand uint32 }

// Build makes the events of a trace of whole years. wet is any roof's inflow,
// of which the sign alone counts: where it is not above 0, no roof of the rows
// that are run may have inflow. demand is in units and as long. Build reports
// false, and leaves nothing to run, where a day's demand is negative or above
// 4,194,304 units (41,943.04 L), or where there are 2³¹ days or more.
func (e *Events) Build(rule store.Rule, wet, demand []int64) bool {
	*e = Events{rule, e.list[:0], e.years[:0], append(e.first[:0], 0)}
	if int64(len(demand)) > math.MaxInt32 {
		return false
	}
	ahead := 0
	if rule == store.YBS {
		ahead = 1 // a wet day begins an event
	}
	list := e.list
	use, longest := int64(-1), 0
	var ends [Year]int32
	var per float32
	for from := 0; from < len(demand); from += Year {
		// Rain is hard to foretell for the processor too: the days on which
		// events end are found without a branch.
		n := 0
		w, d := wet[from+ahead:][:Year-1], demand[from:][:Year]
		for t, rain := range w {
			ends[n] = int32(t)
			change := d[t] ^ d[t+1]
			n += int(uint64(-rain|change|-change) >> 63) // 1 where rain > 0 or change ≠ 0
		}
		ends[n] = Year - 1
		year := span{}
		a := 0
		for _, end := range ends[:n+1] {
			if d[a] != use {
				if use = d[a]; use < 0 || use > most {
					return false
				}
				per, longest = inverse(use)
			}
			for a <= int(end) {
				run := min(int(end)+1-a, longest)
				all, part, day := uint32(run)*uint32(use), uint32(use), a
				if rule == store.YAS {
					part, day = all-part, a+run-1
				}
				list = append(list, event{})
				x := &list[len(list)-1] // field by field: a copy would wait for its parts
				x.all, x.part, x.per, x.day = all, part, per, int32(from+day)
				year.demand += all
				if use > 0 {
					year.days += uint32(run)
				}
				a += run
			}
		}
		year.events = uint32(len(list) - e.first[len(e.years)])
		e.years = append(e.years, year)
		e.first = append(e.first, len(list))
	}
	e.list = list
	return true
}

// inverse returns what counts the full days of an event of demand d a day, and
// the days that it may have. A tank that gives u ≤ most units over the event
// has ⌊u/d⌋ full days, for the full days come first. The count is exact:
// per = (1 + a)/d, 0 ≤ a < 2⁻²³. For u = k·d and more, u·per ≥ k, and rounding
// to a float32 keeps that, k being one. For u = (k+1)·d − 1 and less,
// u·per ≤ (k+1)·(1 + a)·u/(u+1); rounding makes it at most 1 + 2⁻²⁴ times as
// large, still less than k+1 as 1/(u+1) ≥ 1/(2²²+1) > a + 2⁻²⁴ + a·2⁻²⁴. So the
// product, rounded and then cut to a whole number, is k for all u in between;
// and so is the exact product plus 2²³, rounded down to a float32, less 2²³.
func inverse(d int64) (per float32, longest int) {
	if d == 0 {
		return 0, Year
	}
	per = float32(1 / float64(d))
	if float64(per)*float64(d) < 1 { // exact: 24 bits by 23
		per = math.Nextafter32(per, 1)
	}
	return per, int(most / d)
}

// Len is the number of events.
func (e *Events) Len() int { return len(e.list) }

// Day is the day whose inflow event k takes: the only one of the event that
// may be wet.
func (e *Events) Day(k int) int { return int(e.list[k].day) }
