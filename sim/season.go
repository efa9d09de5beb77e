package sim

import (
	"math"
	"sort"
	"time"

	"tankodds/rainfall"
)

// seasonTraces is how many main traces the tank's year is read from: 2,000
// years are plenty for its 5 % and 95 % lines.
const seasonTraces = 40

// season reads the tank's year at one size from the main traces.
func (j *job) season(r *Result, nominal float64) error {
	s := j.study
	usable := []float64{s.Usable(nominal)}
	const year = rainfall.DaysPerYear
	e := newEnsemble(s, j.years, nil)
	held := make([][]float64, year)
	type one struct {
		storage []float64
		months  monthTally
	}
	month := monthsOfYear(j.years.Start)
	var balance monthTally
	err := inOrder(j.ctx, s.Workers, min(seasonTraces, j.traces), newScratch,
		func(sc *scratch, i int) (one, error) {
			if err := e.draw(sc, j.sampler, rainfall.Source(s.Seed, streamMain, uint64(i)), j.length); err != nil {
				return one{}, err
			}
			lanes := NewLanes(usable, s.Start)
			o := one{}
			for t := range sc.inflow {
				lanes.Supplied[0], lanes.Spilled[0] = 0, 0
				lanes.Run(s.Rule, sc.inflow[t:t+1], e.demand[t:t+1], e.need[t:t+1])
				if t < year {
					continue
				}
				o.storage = append(o.storage, lanes.Storage[0])
				o.months.add(month[t%year], sc.inflow[t], e.demand[t], lanes.Supplied[0], lanes.Spilled[0], lanes.Short[0])
			}
			return o, nil
		},
		func(_ int, o one) error {
			for t, v := range o.storage {
				held[t%year] = append(held[t%year], v)
			}
			balance.join(&o.months)
			j.progress(1)
			return nil
		})
	if err != nil {
		return err
	}
	r.Months = balance.mean(float64(min(seasonTraces, j.traces)*j.length), j.years.Start)
	r.Season = &Season{Tank: nominal}
	for _, v := range held {
		sort.Float64s(v)
		r.Season.Low = append(r.Season.Low, quantile(v, 0.05))
		r.Season.Mid = append(r.Season.Mid, quantile(v, 0.5))
		r.Season.High = append(r.Season.High, quantile(v, 0.95))
	}
	return nil
}

// replay runs the real record through the tank looked at, and lays its driest
// year beside the season.
func (r *Result) replay(s *Study, series *rainfall.Series, nominal float64) error {
	real, err := Replay(series, s.Roofs, s.Uses, Tank{Nominal: nominal, Dead: s.Dead, Start: s.Start, Rule: s.Rule, Allow: s.Allow})
	if err != nil {
		return err
	}
	r.Peak = peakSpill(real.Daily)
	short := shortDays(real.Daily, series.Years.Start)
	driest := -1
	for i, y := range real.Years {
		if !y.Whole {
			continue
		}
		r.Real = append(r.Real, RealYear{y.Label, y.Rain, y.Yield, y.Demand, y.Spill, y.ShortDays, y.LongestDry, short[y.Label]})
		if driest < 0 || drier(y, real.Years[driest]) {
			driest = i
		}
	}
	if driest < 0 {
		return nil
	}
	worst := real.Years[driest]
	r.Season.DriestLabel = worst.Label
	r.Season.Driest = waterYear(real.Daily, worst.Label, series.Years.Start)
	return nil
}

// waterYear returns the storages of the DaysPerYear days of the water year
// that begins in a calendar year and month, 29 February left out; NaN on days
// that were not run.
func waterYear(daily []Day, label int, start time.Month) []float64 {
	out := make([]float64, 0, rainfall.DaysPerYear)
	date, _ := rainfall.MakeDate(label, start, 1)
	i := sort.Search(len(daily), func(i int) bool { return daily[i].Date >= date })
	for ; len(out) < rainfall.DaysPerYear; date++ {
		storage := math.NaN()
		if i < len(daily) && daily[i].Date == date {
			storage = daily[i].Storage
			i++
		}
		if _, m, day := date.YMD(); m == time.February && day == 29 {
			continue
		}
		out = append(out, storage)
	}
	return out
}

// drier says whether year a was harder on the tank than b: more short days,
// then a lower low, then less rain.
func drier(a, b ReplayYear) bool {
	if a.ShortDays != b.ShortDays {
		return a.ShortDays > b.ShortDays
	}
	if a.LowestStorage != b.LowestStorage {
		return a.LowestStorage < b.LowestStorage
	}
	return a.Rain < b.Rain
}
