package sim

import (
	"context"
	"math"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/sim/internal/parallel"
	"tankodds/sim/internal/store"
)

// seasonTraces is how many main traces the tank's year is read from: 2,000
// years are plenty for its 5 % and 95 % lines.
const seasonTraces = 40

// Season reads the tank's year and the mean balance of its months at one nominal
// size from the main traces. The driest real year is not in it.
func (q *Question) Season(ctx context.Context, nominal float64) (*Season, []Month, error) {
	const year = rainfall.DaysPerYear
	s, e, start := q.study, q.ensemble, q.series.Years.Start
	usable := s.usable(nominal)
	traces := min(seasonTraces, q.traces)
	type one struct {
		storage []int64
		months  monthTally
		uses    useTally // of several served one after the other
	}
	month := rainfall.Calendar(start).Months()
	var balance monthTally
	var uses useTally
	if e.wants != nil && len(s.Uses) > 1 {
		uses = make(useTally, len(s.Uses))
	}
	held := make([][]int64, 0, traces) // by trace
	err := parallel.InOrder(ctx, s.Workers, traces, e.Scratch,
		func(sc *Scratch, i int) (o one, _ error) {
			run, days, err := q.mainTrace(sc, i, usable)
			if err != nil {
				return o, err
			}
			o.storage = make([]int64, 0, q.length*year)
			if uses != nil {
				o.uses = make(useTally, len(s.Uses))
			}
			for t := range days {
				if run.works == nil {
					if q, d, y, over := run.alone(t); t >= RunIn*year {
						o.storage = append(o.storage, run.held)
						o.months[month[t%year]-1].alone(q, d, y, over)
					}
					continue
				}
				day, fell := run.day(t)
				if t < RunIn*year {
					continue
				}
				o.storage = append(o.storage, run.held)
				short := 0.0
				if fell {
					short = 1
				}
				o.months.add(month[t%year], day, short)
				o.uses.day(run, t, s.Allow)
			}
			return o, nil
		},
		func(_ int, o one) error {
			held = append(held, o.storage)
			uses.add(o.uses)
			for k, x := range o.months {
				balance.add(time.Month(k+1), x.Water, x.ShortDays)
			}
			q.progress.add(1)
			return nil
		})
	if err != nil {
		return nil, nil, err
	}
	out := &Season{Tank: nominal, Years: traces * q.length}
	out.Uses = uses.shares(s.Uses, usable, float64(out.Years))
	err = parallel.InOrder(ctx, s.Workers, year, func() []int64 { return make([]int64, 0, traces*q.length) },
		func(v []int64, day int) ([3]float64, error) {
			for _, storage := range held {
				for t := day; t < len(storage); t += year {
					v = append(v, storage[t])
				}
			}
			slices.Sort(v)
			litres := make([]float64, len(v))
			for k, x := range v {
				litres[k] = store.Litres(x)
			}
			return [3]float64{quantile(litres, 0.05), quantile(litres, 0.5), quantile(litres, 0.95)}, nil
		},
		func(_ int, lines [3]float64) error {
			out.Low, out.Mid, out.High = append(out.Low, lines[0]), append(out.Mid, lines[1]), append(out.High, lines[2])
			return nil
		})
	return out, balance.mean(float64(traces*q.length), start), err
}

// Past is the real record at one size of the tank.
type Past struct {
	Years       []RealYear // the usable ones, in order
	Peak        *PeakSpill // the largest daily spill; nil for none
	Driest      []float64  // storage on the days of the driest year, see Season.Driest; nil without a year
	DriestLabel int
}

// Past runs the record through a tank of a nominal size.
func (q *Question) Past(nominal float64) (*Past, error) {
	s := q.study
	run, err := Replay(q.series, s.Roofs, s.Uses, s.Tank(nominal))
	if err != nil {
		return nil, err
	}
	return pastOf(run, q.series.Years.Start), nil
}

// pastOf reads the real years, which begin in a month, out of a replay.
func pastOf(run *ReplayResult, start time.Month) *Past {
	out := &Past{}
	c := rainfall.Calendar(start)
	var driest *RealYear
	for k, days := range run.byYear() {
		for _, d := range days {
			if d.Spilled > 0 && (out.Peak == nil || d.Spilled > out.Peak.Spill) {
				out.Peak = &PeakSpill{d.Date, d.Rain, d.Spilled}
			}
		}
		y := run.Years[k]
		if !y.Whole {
			continue
		}
		for _, d := range days {
			if d.Short {
				y.Short = append(y.Short, ShortDay{d.Date, c.Place(d.Date), d.Lacks()})
			}
		}
		out.Years = append(out.Years, y)
		if driest == nil || drier(y, *driest) {
			driest = &y
			out.DriestLabel, out.Driest = y.Label, storages(days, c)
		}
	}
	return out
}

// storages returns what the tank held on the DaysPerYear days of a water year
// of which some days were run, 29 February left out; NaN on the others.
func storages(days []Day, c rainfall.Calendar) []float64 {
	out := make([]float64, rainfall.DaysPerYear)
	for k := range out {
		out[k] = math.NaN()
	}
	for _, d := range days {
		if _, m, day := d.Date.YMD(); m != time.February || day != 29 {
			out[c.Place(d.Date)] = d.Storage
		}
	}
	return out
}

// drier says whether year a was harder on the tank than b: more short days,
// then a lower low, then less rain.
func drier(a, b RealYear) bool {
	if a.ShortDays != b.ShortDays {
		return a.ShortDays > b.ShortDays
	}
	if a.LowestStorage != b.LowestStorage {
		return a.LowestStorage < b.LowestStorage
	}
	return a.Rain < b.Rain
}

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

// alone adds a day of a tank by itself, units.
func (m *Month) alone(inflow, wanted, drawn, spilled int64) {
	m.Inflow += store.Litres(inflow)
	m.Demand += store.Litres(wanted)
	m.Supplied += store.Litres(drawn)
	m.Spilled += store.Litres(spilled)
	if drawn < wanted {
		m.ShortDays++
	}
}

// mean returns the months of an average year, the first month of the water
// year first.
func (t *monthTally) mean(years float64, start time.Month) []Month {
	out := make([]Month, 12)
	for k := range out {
		m := rainfall.Calendar(start).Month(k)
		x := t[m-1]
		out[k] = Month{m, x.Water.over(years), x.ShortDays / years}
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

// quantile reads sorted values at p, 0 ≤ p ≤ 1, by straight lines between
// order statistics (definition 7 of Hyndman & Fan 1996).
func quantile(sorted []float64, p float64) float64 {
	return between(sorted, float64(p*float64(len(sorted)-1))) // rounded: its fraction is a difference
}

// between reads sorted values at a place, 0 for the first, by a straight line.
func between(sorted []float64, at float64) float64 {
	i := int(math.Floor(at))
	if w := at - float64(i); w > 0 {
		return sorted[i] + float64(w*(sorted[i+1]-sorted[i]))
	}
	return sorted[i]
}
