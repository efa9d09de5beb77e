package sim

import (
	"math"
	"time"

	"tankodds/rainfall"
	"tankodds/sim/internal/check"
)

// Bed is planted ground that is watered as its soil dries: the water balance of
// FAO-56, chapter 8 (Allen et al. 1998, FAO Irrigation and Drainage Paper 56;
// equations as quoted elsewhere), without runoff and capillary rise. With ET₀ and
// rain P, depths in mm, d being what the soil lacks of all it can hold:
//
//	morning  drip:   n = max(0, d − RAW)
//	         refill: n = d where d ≥ RAW, else 0
//	         the use wants n·area/efficiency;  d ← d − n
//	evening  P ← 0 where P < 0.2·ET₀;  d ← min(Holds, max(0, d + K·ET₀ − P))
//
// RAW is half of Holds; a morning on which the use is not drawn waters nothing. The
// bed is watered from the tank or another supply
// whenever it asks, so that it never suffers, and what it asks for depends on the
// weather alone. Where the tank is the sole source the soil dries when the tank
// is empty and later takes rain that it does not take here: the tank then gives
// more than is said.
type Bed struct {
	Area       float64     `key:"area_m2" doc:"area of the bed, 0 for none"`
	Factor     float64     `key:"plant_factor" doc:"evapotranspiration of its plants over that of reference grass"`
	Holds      float64     `key:"holds_mm" doc:"water that the soil holds for the plants within their roots"`
	Refill     bool        `key:"refill" doc:"whether it is filled up when half of that is gone; kept at half otherwise"`
	Efficiency float64     `key:"efficiency" doc:"share of the water that reaches the roots"`
	Mean       [12]float64 `key:"mean_monthly_l,omitzero" doc:"water that it wants in each month, January first: the mean of the record, or of no rain as long as that is not known"`
}

// Check returns the first thing wrong with it.
func (b Bed) Check() error {
	var f check.First
	if b == (Bed{}) {
		return nil
	}
	f.Of("area_m2")
	f.Need(check.AboveZero(b.Area), "a bed of %g m²; it must be above 0", b.Area)
	f.Of("plant_factor")
	f.Need(check.AboveZero(b.Factor) && b.Factor <= 2, "a plant factor of %g; it must be above 0 and at most 2", b.Factor)
	f.Of("holds_mm")
	f.Need(check.AboveZero(b.Holds) && b.Holds <= 1000, "soil that holds %g mm; it must be above 0 and at most 1000", b.Holds)
	f.Of("efficiency")
	f.Need(check.Share(b.Efficiency), "an efficiency of %g; it must be above 0 and at most 1", b.Efficiency)
	return f.Err
}

// readily is the share of what the soil holds that plants take without harm
// (FAO-56, table 22: 0.4 to 0.5 for turf, as quoted elsewhere).
const readily = 0.5

// asks adds to dst what the bed asks for on days of rain and ET₀ (mm), L, where it
// is watered on them. A day without a value of rain is passed over. It begins
// with a full soil.
func (b *Bed) asks(dst, rain, et0 []float64, on []bool) {
	raw, lacks := float64(readily*b.Holds), 0.0
	for t, p := range rain {
		if math.IsNaN(p) {
			continue
		}
		if on[t] && lacks >= raw {
			n := lacks - raw
			if b.Refill {
				n = lacks
			}
			dst[t] += float64(n*b.Area) / b.Efficiency
			lacks -= n
		}
		if p < float64(0.2*et0[t]) {
			p = 0
		}
		lacks = min(b.Holds, max(0, lacks+float64(b.Factor*et0[t])-p))
	}
}

// on says on which days a use is drawn, by the real calendar.
func (u *Use) onDays(first rainfall.Date, n int) []bool {
	out := make([]bool, n)
	for t := range out {
		day := first + rainfall.Date(t)
		y, m, d := day.YMD()
		out[t] = u.on(calendarDay{y, day.Weekday(), m, d, rainfall.DaysIn(y, m)})
	}
	return out
}

// onTraces says it of the days of a trace, as TraceDemand.
func (u *Use) onTraces(start time.Month, n int) []bool {
	out, calendar := make([]bool, n), rainfall.Calendar(start)
	for t := range out {
		m, d := calendar.MonthDay(t % rainfall.DaysPerYear)
		out[t] = u.on(calendarDay{0, time.Weekday((t + 1) % 7), m, d, rainfall.DaysIn(2001, m)})
	}
	return out
}

// WithBeds returns uses of which each bed knows what it wants on average: over a
// record or, where that is nil, without rain.
func (s *Study) WithBeds(series *rainfall.Series) []Use {
	out := append([]Use(nil), s.Uses...)
	for i := range out {
		u := &out[i]
		if u.Bed.Area == 0 {
			continue
		}
		u.Bed.Mean = [12]float64{}
		if series == nil {
			for m, et0 := range s.Air.months() {
				if u.Months.on(time.Month(m + 1)) {
					u.Bed.Mean[m] = float64(float64(u.Bed.Factor*et0)*u.Bed.Area) / u.Bed.Efficiency
				}
			}
			continue
		}
		n := len(series.Depth)
		wants, et0 := make([]float64, n), s.Air.onDays(series.First, n, series.ET0)
		u.Bed.asks(wants, series.Depth, et0, u.onDays(series.First, n))
		var days [12]float64
		for t, x := range wants {
			if _, m, _ := (series.First + rainfall.Date(t)).YMD(); !math.IsNaN(series.Depth[t]) {
				u.Bed.Mean[m-1] += x
				days[m-1]++
			}
		}
		for m := range days {
			if days[m] > 0 {
				u.Bed.Mean[m] *= float64(rainfall.DaysIn(2001, time.Month(m+1))) / days[m]
			}
		}
	}
	return out
}

// Beds says whether a use is a bed.
func (s *Study) Beds() bool {
	for _, u := range s.Uses {
		if u.Bed.Area > 0 {
			return true
		}
	}
	return false
}
