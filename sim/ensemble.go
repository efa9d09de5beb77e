package sim

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
)

// Streams keep the random numbers of different jobs apart.
const (
	streamMain      = 1 // traces of the record's own generator
	streamResample  = 2 // which years a resampled record holds
	streamReplicate = 3 // traces of a resampled record's generator
	// 4 and 5 are the backtest's.
)

// Row is one roof area and the tanks to look at under it.
type Row struct {
	Scale float64 // of the site's roofs, > 0
	Sizes *Sizes
}

// rowTally is what one trace gives the tanks of a row, in units, days and years.
type rowTally struct {
	inflow  int64
	needs   []int64 // what each year needs, in order
	sums    store.Sums
	spilled []int64
}

// TraceTally is what one trace gives.
type TraceTally struct {
	years  int
	demand int64 // units
	rows   []rowTally
}

// Ensemble takes tanks of every size through synthetic traces: what all traces
// share, made once and read by all workers.
type Ensemble struct {
	study  *Study
	demand []int64 // of the days of the longest trace, units
	use    []int64 // up to each of its mornings, and one more
	rows   []Row
}

// NewEnsemble returns an ensemble without rows for a checked study, whose water
// years begin in a month.
func NewEnsemble(s *Study, start time.Month) *Ensemble {
	e := &Ensemble{study: s, demand: inUnits(TraceDemand(RunIn+TraceYears, start, s.Uses))}
	e.use = make([]int64, len(e.demand)+1)
	for t, d := range e.demand {
		e.use[t+1] = e.use[t] + d
	}
	return e
}

// With returns the ensemble with other rows.
func (e *Ensemble) With(rows ...Row) *Ensemble {
	out := *e
	out.rows = rows
	return &out
}

// Demand is that of the days of a year of the traces, the first of the run-in
// being 0, units.
func (e *Ensemble) Demand(year int) []int64 {
	return e.demand[year*rainfall.DaysPerYear:][:rainfall.DaysPerYear]
}

// Scratch is one worker's memory: a trace, and tanks to take through it.
type Scratch struct {
	rain    []float64
	wet     []bool
	days    store.Days
	depths  [][]float64 // by roof and event: what a square metre gives, mm
	inflow  []int64     // by event, units
	sweep   *store.Sweep
	tallies map[*Sizes]*store.Tally
	before  []int64
}

// Scratch returns memory for a worker.
func (e *Ensemble) Scratch() *Scratch {
	const n = (RunIn + TraceYears) * rainfall.DaysPerYear
	sc := &Scratch{rain: make([]float64, n), wet: make([]bool, n), sweep: store.NewSweep(e.study.Rule, 0)}
	sc.depths = make([][]float64, len(e.study.Roofs))
	sc.tallies = map[*Sizes]*store.Tally{}
	for _, r := range e.rows {
		if r.Sizes != nil && sc.tallies[r.Sizes] == nil {
			sc.tallies[r.Sizes] = store.NewTally(r.Sizes.index)
			sc.before = make([]int64, max(len(sc.before), len(r.Sizes.Nominal)))
		}
	}
	return sc
}

// Draw draws a trace of so many years, at most TraceYears, after its run-in. It
// stands in the worker's memory until the next is drawn.
func (e *Ensemble) Draw(sc *Scratch, from gen.Sampler, rng *rand.Rand, years int) error {
	n := (RunIn + years) * rainfall.DaysPerYear
	sc.rain, sc.wet = sc.rain[:n], sc.wet[:n]
	from.Sample(sc.rain, rng)
	most := 0.0
	for t, p := range sc.rain {
		if !(p >= 0 && p <= math.MaxFloat32) {
			return fmt.Errorf("the generator gave a day of %g mm of rain", p)
		}
		sc.wet[t] = p > 0
		most = max(most, p)
	}
	sc.days.Cut(sc.wet, e.use, rainfall.DaysPerYear)
	events := len(sc.days.Ends)
	sc.inflow = grown(sc.inflow, events)
	for i := range sc.depths {
		r, b := &e.study.Roofs[i], diverter{}
		sc.depths[i] = grown(sc.depths[i], events)
		for k, t := range sc.days.Ends {
			sc.depths[i][k] = 0
			if p := sc.rain[t]; p > 0 {
				sc.depths[i][k] = r.yield(&b, int(t), p)
			}
		}
	}
	return nil
}

// grown returns memory for n values, not cleared.
func grown[T any](have []T, n int) []T {
	if cap(have) < n {
		return make([]T, n+n/4)[:n]
	}
	return have[:n]
}

// Inflow sets what the trace's events bring under so many times the site's
// roofs, each roof's share rounded to a whole unit, and returns the sum after
// the run-in.
func (e *Ensemble) Inflow(sc *Scratch, scale float64) (sum int64, err error) {
	for i, r := range e.study.Roofs {
		area := float64(r.Area * scale)
		for k, mm := range sc.depths[i] {
			q := store.Units(float64(area * mm))
			if i > 0 {
				q += sc.inflow[k]
			}
			sc.inflow[k] = q
		}
	}
	for k, t := range sc.days.Ends {
		if sc.inflow[k] >= store.Most {
			return 0, fmt.Errorf("the roofs give more than %.2g L on a day; that is more than any tank is reckoned for", store.Litres(store.Most))
		}
		if t >= RunIn*rainfall.DaysPerYear {
			sum += sc.inflow[k]
		}
	}
	return sum, nil
}

// Trace draws a trace and takes the tanks of every row through it. Only the
// years after the run-in count.
func (e *Ensemble) Trace(sc *Scratch, from gen.Sampler, rng *rand.Rand, years int) (*TraceTally, error) {
	if err := e.Draw(sc, from, rng, years); err != nil {
		return nil, err
	}
	const runIn = RunIn * rainfall.DaysPerYear
	out := &TraceTally{years: years, demand: e.use[runIn+years*rainfall.DaysPerYear] - e.use[runIn]}
	for _, row := range e.rows {
		inflow, err := e.Inflow(sc, row.Scale)
		if err != nil {
			return nil, err
		}
		of := e.sweep(sc, row.Sizes, inflow)
		for k, x := range of.spilled {
			if x < 0 { // whatever the input: a fault of the program
				return nil, fmt.Errorf("internal fault: a tank of %g L gives %g L more than flows in", row.Sizes.Nominal[k], -store.Litres(x))
			}
		}
		out.rows = append(out.rows, of)
	}
	return out, nil
}

// sweep takes the tanks through the trace drawn; without sizes it tells what
// the years need alone.
func (e *Ensemble) sweep(sc *Scratch, sizes *Sizes, inflow int64) rowTally {
	w, years := sc.sweep, len(sc.rain)/rainfall.DaysPerYear
	w.Fill(store.Units(e.study.Start))
	for y := range RunIn {
		w.Year(&sc.days, y, sc.inflow, 0, nil)
	}
	out := rowTally{inflow: inflow}
	tally := sc.tallies[sizes]
	if sizes != nil {
		w.Held(sc.before, sizes.index.At)
	}
	for y := RunIn; y < years; y++ {
		out.needs = append(out.needs, w.Year(&sc.days, y, sc.inflow, e.study.Allow, tally))
	}
	if sizes == nil {
		return out
	}
	n := len(sizes.Nominal)
	out.sums, out.spilled = store.NewSums(n), make([]int64, n)
	tally.Sum(out.sums)
	w.Held(out.spilled, sizes.index.At)
	for k, held := range out.spilled { // V₀ + ΣQ = ΣY + ΣO + Vₙ
		out.spilled[k] = sc.before[k] + inflow - out.sums.Supplied[k] - held
	}
	return out
}

// daily is the inflow of each day of the trace drawn, units.
func (sc *Scratch) daily() []int64 {
	out := make([]int64, len(sc.rain))
	for k, t := range sc.days.Ends {
		out[t] = sc.inflow[k]
	}
	return out
}
