package sim

import (
	"context"
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/check"
	"tankodds/sim/internal/parallel"
	"tankodds/sim/internal/store"
)

// Overflow is what those ask of a tank who must carry off what leaves it.
type Overflow struct {
	Tank      float64  `key:"tank_l" doc:"nominal size of the tank"`
	Real      Spillage `key:"real" doc:"whole usable years of the record"`
	Synthetic Spillage `key:"synthetic" doc:"synthetic years"`
}

// Spillage is how what leaves a tank falls on years, storms and days. What is
// detained above the store leaves it too, but slowly: it is in the two shares
// and not in the overflow of a day. NaN stands for what some years do not tell.
type Spillage struct {
	Years    int      `key:"years" doc:"years that this rests on"`
	Retained float64  `key:"retained_share" doc:"share of the inflow that does not run over, 1 − ΣO/ΣQ"`
	OffDrain float64  `key:"roof_rain_kept_share" doc:"share of all the rain on the roofs that does not reach the drain, as overflow, first flush or what the filter loses do; wetting and what the runoff coefficient takes off count as kept"`
	Days     float64  `key:"overflow_days_per_year" doc:"days with overflow, beyond what is detained, in a mean year"`
	Events   float64  `key:"events_per_year" doc:"rain events in a mean year: days of 1 mm and more in a row, which one drier day ends"`
	Without  float64  `key:"events_without_overflow_share" doc:"share of the events that have no day with overflow, beyond what is detained"`
	Lowered  float64  `key:"largest_day_lowered_share" doc:"1 less the year's largest overflow of a day over its largest inflow of a day, median of the years with inflow"`
	Returns  []Return `key:"return_levels" doc:"overflow of a day, beyond what is detained, by return period"`
	Great    float64  `key:"great_inflow_l" doc:"inflow of a day that one year in 2 reaches"`
	Count    int      `key:"great_days" doc:"days with that inflow or more"`
	Room     float64  `key:"great_room_l" doc:"free room on the mornings of those days, in the tank and above it, median"`
	Tight    float64  `key:"great_room_low_l" doc:"free room that nine in ten of those mornings have"`
	Wettest  float64  `key:"wettest_mm" doc:"rain of the wettest day"`
}

// Return is what the largest day of one year in so many reaches.
type Return struct {
	Period int     `key:"return_years" doc:"return period, years"`
	Spill  float64 `key:"overflow_l" doc:"overflow of a day, none where the years are too few"`
}

const (
	eventDay   = 1.0 // least rain of a day of an event, mm
	greatYears = 2   // return period of a great inflow
)

var returnYears = []int{2, 5, 10}

// Overflow tells what leaves the tank of a nominal size, in the real years and
// in the synthetic years that Season reads.
func (q *Question) Overflow(ctx context.Context, nominal float64) (*Overflow, error) {
	s, e := q.study, q.ensemble
	usable := s.usable(nominal)
	run, err := Replay(q.series, s.Roofs, s.Uses, s.Tank(nominal))
	if err != nil {
		return nil, err
	}
	out := &Overflow{Tank: nominal, Real: spillageOf(run, usable, s.Detain)}
	all := newSpills(s.Roofs, s.Detain)
	err = parallel.InOrder(ctx, s.Workers, min(seasonTraces, q.traces), e.Scratch,
		func(sc *Scratch, i int) (*spills, error) {
			run, days, err := q.mainTrace(sc, i, usable)
			if err != nil {
				return nil, err
			}
			of := newSpills(s.Roofs, s.Detain)
			of.rains = make([]rainDay, 0, len(sc.inflow))
			for t := range days {
				before := run.held
				var inflow, spilled int64
				if run.works == nil {
					inflow, _, _, spilled = run.alone(t)
				} else {
					day, _ := run.day(t)
					inflow, spilled = store.Units(day.Inflow), store.Units(day.Spilled)
				}
				if t < RunIn*rainfall.DaysPerYear {
					continue
				}
				if t%rainfall.DaysPerYear == 0 {
					of.year()
				}
				of.day(sc.rain[t], inflow, spilled, usable-before)
			}
			return of, nil
		},
		func(_ int, of *spills) error { all.add(of); return nil })
	if err != nil {
		return nil, err
	}
	out.Synthetic = all.spillage()
	return out, nil
}

// checkDetain says what is wrong with what is detained.
func (s *Study) checkDetain() error {
	var f check.First
	f.Need(check.FromZero(s.Detain) && s.Detain < MostTank, "%g L detained above the store; it must be 0 or more, and below 11 million m³", s.Detain)
	return f.Err
}

// mainTrace draws a trace of the main run once more and returns a tank of a usable
// size to go through its days, and how many they are.
func (q *Question) mainTrace(sc *Scratch, i int, usable int64) (*walk, int, error) {
	e := q.ensemble
	if err := e.Draw(sc, q.sampler, gen.Source(q.study.Seed, streamMain, uint64(i)), q.length); err != nil {
		return nil, 0, err
	}
	if _, err := e.Inflow(sc, 1); err != nil {
		return nil, 0, err
	}
	out := &walk{rule: q.study.Rule, size: usable, held: min(store.Units(q.study.startsWith()), usable), of: e.works.of()}
	if e.wants == nil {
		out.inflow, out.demand = sc.everyDay(), sc.demand
	} else {
		out.through(e.works, e.course(sc, 1))
	}
	return out, len(sc.rain), nil
}

// spillageOf reads the whole years of a replay through a tank of a usable size,
// units; detain is in litres.
func spillageOf(run *ReplayResult, usable int64, detain float64) Spillage {
	all := newSpills(run.Roofs, detain)
	held := min(usable, store.Units(run.StartsWith)) // surge tanks may hold some of that
	last := rainfall.NoDate
	for k, days := range run.byYear() {
		if run.Years[k].Whole {
			all.year()
		}
		for _, d := range days {
			if run.Years[k].Whole {
				if d.Date != last+1 { // days between were not run
					all.wet = false
				}
				all.day(d.Rain, store.Units(d.Inflow), store.Units(d.Spilled), usable-held)
				last = d.Date
			}
			held = store.Units(d.Storage)
		}
	}
	return all.spillage()
}

// spills adds up days, in order. Volumes are units where they are whole.
type spills struct {
	roofs  []Roof
	area   float64 // of all roofs, m²
	detain int64

	inflow, spilled   int64
	fell, ran         float64     // L: on the roofs, and off them
	wettest           float64     // mm
	brought, overflew []int64     // the most of a day, by year
	rains             []rainDay   // in order
	others            [][]rainDay // those of what was added
	days              int         // with overflow
	events, spilling  int         // and those of them with overflow
	wet, over         bool
}

// rainDay is a day with inflow.
type rainDay struct{ inflow, room int64 }

func newSpills(roofs []Roof, detain float64) *spills {
	return &spills{roofs: roofs, area: TotalArea(roofs), detain: store.Units(detain)}
}

// year begins another year.
func (s *spills) year() { s.brought, s.overflew = append(s.brought, 0), append(s.overflew, 0) }

// day adds a day of the year: its rain (mm), what it brings and spills, and the
// room that the tank has in the morning.
func (s *spills) day(p float64, inflow, spilled, room int64) {
	fast := max(0, spilled-s.detain)
	if p > 0 {
		s.fell += float64(p * s.area)
		for i := range s.roofs {
			s.ran += float64(s.roofs[i].Area * s.roofs[i].run(p))
		}
		s.wettest = max(s.wettest, p)
	}
	s.inflow += inflow
	s.spilled += spilled
	k := len(s.brought) - 1
	s.brought[k], s.overflew[k] = max(s.brought[k], inflow), max(s.overflew[k], fast)
	if inflow > 0 {
		s.rains = append(s.rains, rainDay{inflow, room + s.detain})
	}
	if p >= eventDay && !s.wet {
		s.events++
		s.over = false
	}
	s.wet = p >= eventDay
	if fast > 0 {
		s.days++
		if s.wet && !s.over {
			s.spilling++
			s.over = true
		}
	}
}

// add adds the days of another, which do not follow on these.
func (s *spills) add(o *spills) {
	s.inflow, s.spilled, s.fell, s.ran = s.inflow+o.inflow, s.spilled+o.spilled, s.fell+o.fell, s.ran+o.ran
	s.wettest = max(s.wettest, o.wettest)
	s.brought, s.overflew, s.others = append(s.brought, o.brought...), append(s.overflew, o.overflew...), append(s.others, o.rains)
	s.days, s.events, s.spilling = s.days+o.days, s.events+o.events, s.spilling+o.spilling
}

// spillage is what they come to.
func (s *spills) spillage() Spillage {
	n := float64(len(s.brought))
	// What runs off and is not let in goes with the first flush or at the filter.
	drained := store.Litres(s.spilled) + max(0, s.ran-store.Litres(s.inflow))
	out := Spillage{
		Years: len(s.brought), Wettest: s.wettest,
		Retained: 1 - float64(s.spilled)/float64(s.inflow), OffDrain: 1 - drained/s.fell,
		Days: float64(s.days) / n, Events: float64(s.events) / n, Without: 1 - float64(s.spilling)/float64(s.events),
		Great: reached(s.brought, greatYears),
	}
	var lowered []float64
	for k, most := range s.brought {
		if most > 0 {
			lowered = append(lowered, 1-float64(s.overflew[k])/float64(most))
		}
	}
	out.Lowered = sortedAt(lowered, 0.5)
	for _, years := range returnYears {
		out.Returns = append(out.Returns, Return{years, reached(s.overflew, years)})
	}
	var room []float64
	for _, days := range append(s.others, s.rains) {
		for _, d := range days {
			if store.Litres(d.inflow) >= out.Great {
				room = append(room, store.Litres(d.room))
			}
		}
	}
	out.Count, out.Room, out.Tight = len(room), sortedAt(room, 0.5), sortedAt(room, 0.1)
	return out
}

// sortedAt sorts values and reads them at p; NaN where there is none.
func sortedAt(x []float64, p float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	return quantile(x, p)
}

// reached is what the most of a day (units) of one year in so many reaches, L:
// that of rank (n + 1)/years of n, the largest first, by a straight line between
// two ranks (Weibull's plotting position, from memory, unverified). It is NaN
// where the years are too few to tell.
func reached(most []int64, years int) float64 {
	n := len(most)
	if n+1 < years || n == 0 {
		return math.NaN()
	}
	sorted := make([]float64, n)
	for k, x := range most {
		sorted[k] = store.Litres(x)
	}
	slices.Sort(sorted)
	return between(sorted, float64(n)-float64(n+1)/float64(years))
}
