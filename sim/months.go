package sim

import (
	"time"

	"tankodds/rainfall"
)

// Month is the mean of one calendar month at one tank size.
type Month struct {
	Month time.Month `key:"month" doc:"the calendar month"`
	Water
	ShortDays float64 `key:"short_days" doc:"days on which the tank falls short"`
}

// monthTally sums the days of many years by calendar month, January first.
type monthTally [12]Month

func (t *monthTally) add(m time.Month, day Water, short float64) {
	t[m-1].Water.add(day)
	t[m-1].ShortDays += short
}

// mean returns the months of an average year, the first month of the water
// year first.
func (t *monthTally) mean(years float64, start time.Month) []Month {
	out := make([]Month, 12)
	for k := range out {
		m := rainfall.Calendar(start).Month(k)
		x := t[m-1]
		out[k] = Month{m, Water{x.Inflow / years, x.Demand / years, x.Supplied / years, x.Spilled / years}, x.ShortDays / years}
	}
	return out
}

// PeakSpill is the real day on which the most water left a tank unused.
type PeakSpill struct {
	Date  rainfall.Date `key:"date" doc:"the day"`
	Rain  float64       `key:"rain_mm" doc:"its rain"`
	Spill float64       `key:"spill_l" doc:"water that ran over"`
}

// ShortDay is a real day on which the tank could not give what was wanted.
type ShortDay struct {
	Date rainfall.Date `key:"date" doc:"the day"`
	Day  int           `key:"day_of_year" doc:"its place in the water year, 0 to 364, 29 February counting with the 28th"`
	Lack float64       `key:"lack_l" doc:"water wanted and not given"`
}
