package sim

import (
	"tankodds/rainfall"
	"tankodds/sim/internal/store"
)

// UseShare is what one of several uses is given by the tank, in the synthetic
// years that Season reads.
type UseShare struct {
	Name       string  `key:"use" doc:"the use"`
	Keep       float64 `key:"keep_l" doc:"level below which it is not served"`
	Demand     float64 `key:"demand_l_per_year" doc:"water wanted"`
	Supplied   float64 `key:"supplied_l_per_year" doc:"water supplied"`
	Volumetric float64 `key:"volumetric" doc:"share of the water wanted that is supplied"`
	Time       float64 `key:"time" doc:"share of days that are not short of it"`
	Annual     float64 `key:"annual" doc:"share of water years with no more days short of it than allowed"`
	ShortDays  float64 `key:"short_days_per_year" doc:"days short of it"`
}

// useTally is what the uses of a tank were given over some days.
type useTally []struct {
	wanted, drawn     int64
	short, good, year int // year is the short days of this one
}

// day adds day t of a walk, the last of its year or not.
func (u useTally) day(w *walk, t, allow int) {
	for k := range u {
		d, y := w.course.Want[k][t], w.state.Drawn[k]
		u[k].wanted += d
		u[k].drawn += y
		if y < d {
			u[k].year++
		}
		if t%rainfall.DaysPerYear == rainfall.DaysPerYear-1 {
			if u[k].year <= allow {
				u[k].good++
			}
			u[k].short += u[k].year
			u[k].year = 0
		}
	}
}

func (u useTally) add(o useTally) {
	for k := range u {
		u[k].wanted += o[k].wanted
		u[k].drawn += o[k].drawn
		u[k].short += o[k].short
		u[k].good += o[k].good
	}
}

// shares is what they come to over so many years, in a tank of a usable size.
func (u useTally) shares(uses []Use, usable int64, years float64) (out []UseShare) {
	for k, x := range u {
		wanted, drawn := store.Litres(x.wanted), store.Litres(x.drawn)
		out = append(out, UseShare{
			Name: uses[k].Name, Keep: store.Litres(uses[k].Keep.at(usable)), Demand: wanted / years, Supplied: drawn / years, Volumetric: drawn / wanted,
			Time: 1 - float64(x.short)/(years*rainfall.DaysPerYear), Annual: float64(x.good) / years, ShortDays: float64(x.short) / years,
		})
	}
	return out
}
