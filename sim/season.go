package sim

import (
	"math"
	"slices"
	"sort"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/parallel"
)

// seasonTraces is how many main traces the tank's year is read from: 2,000
// years are plenty for its 5 % and 95 % lines.
const seasonTraces = 40

// season reads the tank's year at one size from the main traces.
func (j *job) season(r *Result, nominal float64) error {
	s := j.study
	usable := s.Usable(nominal)
	const year = rainfall.DaysPerYear
	traces := min(seasonTraces, j.traces)
	e := j.empty
	type one struct {
		storage []float64
		months  monthTally
	}
	month := monthsOfYear(j.years.Start)
	var balance monthTally
	held := make([][]float64, 0, traces) // by trace
	err := parallel.InOrder(j.ctx, s.Workers, traces, NewScratch,
		func(sc *Scratch, i int) (o one, _ error) {
			inflow, err := e.Draw(sc, j.sampler, gen.Source(s.Seed, streamMain, uint64(i)), j.length)
			if err != nil {
				return o, err
			}
			o.storage = make([]float64, 0, j.length*year)
			storage := min(s.Start, usable)
			for t, q := range inflow {
				var yield, spill float64
				yield, spill, storage = s.Rule.Day(usable, storage, q, e.demand[t])
				if t < RunIn*year {
					continue
				}
				o.storage = append(o.storage, storage)
				o.months.add(month[t%year], q, e.demand[t], yield, spill, yield < e.need[t])
			}
			return o, nil
		},
		func(_ int, o one) error {
			held = append(held, o.storage)
			balance.join(&o.months)
			j.progress(1)
			return nil
		})
	if err != nil {
		return err
	}
	r.Months = balance.mean(float64(traces*j.length), j.years.Start)
	return parallel.InOrder(j.ctx, s.Workers, year, func() []float64 { return make([]float64, 0, traces*j.length) },
		func(v []float64, day int) ([3]float64, error) {
			for _, storage := range held {
				for t := day; t < len(storage); t += year {
					v = append(v, storage[t])
				}
			}
			slices.Sort(v)
			return [3]float64{quantile(v, 0.05), quantile(v, 0.5), quantile(v, 0.95)}, nil
		},
		func(_ int, lines [3]float64) error {
			r.Season.Low = append(r.Season.Low, lines[0])
			r.Season.Mid = append(r.Season.Mid, lines[1])
			r.Season.High = append(r.Season.High, lines[2])
			return nil
		})
}

// realYears reads the real years out of a replay of the record through the
// tank looked at, and lays the driest beside the season.
func (r *Result) realYears(real *ReplayResult, series *rainfall.Series) {
	r.Peak = peakSpill(real.Daily)
	short := shortDays(real.Daily, series.Years.Start)
	driest := -1
	for i, y := range real.Years {
		if !y.Whole {
			continue
		}
		r.Real = append(r.Real, RealYear{Label: y.Label, Rain: y.Rain, Supplied: y.Yield, Demand: y.Demand, Spilled: y.Spill,
			ShortDays: y.ShortDays, LongestDry: y.LongestDry, Short: short[y.Label], Needs: y.Needs})
		if driest < 0 || drier(y, real.Years[driest]) {
			driest = i
		}
	}
	if driest < 0 {
		return
	}
	worst := real.Years[driest]
	r.Season.DriestLabel = worst.Label
	r.Season.Driest = waterYear(real.Daily, worst.Label, series.Years.Start)
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
