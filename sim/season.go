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

// season reads the tank's year at one size and, where there are no
// replicates, the outlook from the main traces alone.
func (j *job) season(r *Result, nominal float64, reps *replicates) error {
	s := j.study
	usable := []float64{s.Usable(nominal)}
	const year = rainfall.DaysPerYear
	e := newEnsemble(s, j.years, nil)
	n := min(seasonTraces, j.traces)
	held := make([][]float64, year)
	var short []float64
	type one struct {
		storage, yearly []float64
		months          monthTally
	}
	month := monthsOfYear(j.years.Start)
	var balance monthTally
	err := inOrder(j.ctx, s.Workers, n, newScratch,
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
				if t%year == 0 {
					o.yearly = append(o.yearly, 0)
				}
				o.yearly[len(o.yearly)-1] += lanes.Short[0]
				o.months.add(month[t%year], sc.inflow[t], e.demand[t], lanes.Supplied[0], lanes.Spilled[0], lanes.Short[0])
			}
			return o, nil
		},
		func(_ int, o one) error {
			for t, v := range o.storage {
				held[t%year] = append(held[t%year], v)
			}
			balance.join(&o.months)
			if len(o.yearly) >= s.Horizon {
				short = append(short, s.shortYears(o.yearly))
			}
			j.progress(1)
			return nil
		})
	if err != nil {
		return err
	}
	r.Months = balance.mean(float64(n*j.length), j.years.Start)
	r.Season = &Season{Tank: nominal}
	for _, v := range held {
		sort.Float64s(v)
		r.Season.Low = append(r.Season.Low, quantile(v, 0.05))
		r.Season.Mid = append(r.Season.Mid, quantile(v, 0.5))
		r.Season.High = append(r.Season.High, quantile(v, 0.95))
	}
	if reps != nil {
		short = reps.short
	}
	if len(short) > 0 {
		r.Outlook = outlook(nominal, s, short)
	}
	return nil
}

func outlook(nominal float64, s *Study, short []float64) *Outlook {
	sorted := append([]float64(nil), short...)
	sort.Float64s(sorted)
	low, high := (1-s.Level)/2, (1+s.Level)/2
	at := func(p float64) float64 { // whole years: the first count that holds p
		return sorted[min(len(sorted)-1, int(math.Ceil(p*float64(len(sorted))))-1)]
	}
	return &Outlook{Tank: nominal, Horizon: s.Horizon, Low: at(low), Mid: at(0.5), High: at(high)}
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
	for _, d := range real.Daily {
		if d.Date < worst.Start || len(r.Season.Driest) == rainfall.DaysPerYear {
			continue
		}
		if _, m, day := d.Date.YMD(); m == time.February && day == 29 {
			continue
		}
		r.Season.Driest = append(r.Season.Driest, d.Storage)
	}
	return nil
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
