package sim

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/lanes"
	"tankodds/sim/internal/store"
)

// Streams keep the random numbers of different jobs apart.
const (
	streamMain = 1 // traces of the record's own generator
	// 4 and 5 are the backtest's.
)

// Row is one roof area and the tanks to look at under it.
type Row struct {
	Scale float64 // of the site's roofs, > 0
	Sizes *Sizes  // nil where only what the years need is asked
	// Ladder lists those of Sizes, rising, between which it is read how far the
	// short years of other tanks fail; none where that is not asked.
	Ladder []int
	// Plain rows are asked for Sizes alone and not for what the years need: most of
	// the work where the sizes are few.
	Plain bool
}

// rowTally is what one trace gives the tanks of a row, in units, days and years.
type rowTally struct {
	inflow  int64
	needs   []int64 // what each year needs, in order
	sums    store.Sums
	met     []int64 // of what the measures are about; nil where that is all that is supplied
	spilled []int64
}

// TraceTally is what one trace gives.
type TraceTally struct {
	years  int
	demand int64 // units
	asked  int64 // of which the measures are about so much
	rows   []rowTally
}

// Ensemble takes tanks of every size through synthetic traces: what all traces
// share, made once and read by all workers.
type Ensemble struct {
	study  *Study
	demand []int64 // of the days of the longest trace, units
	works  *works
	wants  [][]int64 // the same by use, where only one tank after the other can be looked at
	air    *traceAir
	beds   []int    // uses that are beds
	on     [][]bool // by bed: the days of the longest trace on which it is watered
	start  time.Month
	use    []int64 // up to each of its mornings, and one more
	rows   []Row
}

// NewEnsemble returns an ensemble without rows for a checked study, whose water
// years begin in a month.
func NewEnsemble(s *Study, start time.Month) *Ensemble {
	e := &Ensemble{study: s, start: start, works: s.works(), air: s.Air.onTraces(start, nil)}
	for u := range s.Uses {
		if s.Uses[u].Bed.Area > 0 {
			e.beds = append(e.beds, u)
			e.on = append(e.on, s.Uses[u].onTraces(start, (RunIn+TraceYears)*rainfall.DaysPerYear))
		}
	}
	if e.works.slow() {
		e.wants = wants(RunIn+TraceYears, start, s.Uses)
		e.demand = sumOf(e.wants, (RunIn+TraceYears)*rainfall.DaysPerYear)
	} else {
		e.demand = inUnits(TraceDemand(RunIn+TraceYears, start, s.Uses))
	}
	e.use = make([]int64, len(e.demand)+1)
	for t, d := range e.demand {
		e.use[t+1] = e.use[t] + d
	}
	return e
}

// Under gives the ensemble what a record's days tell of evaporation.
func (e *Ensemble) Under(series *rainfall.Series) *Ensemble {
	e.air = e.study.Air.onTraces(e.start, series)
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
	wet     []int64 // above 0 on days with rain
	from    []int32 // the day of the record that each is, where that is wanted
	et0     []float64
	asked   []float64 // what a bed wants, L
	beds    [][]int64 // the same of each, units
	demand  []int64   // of all uses
	use     []int64   // up to each morning, and one more
	days    store.Days
	depths  [][]float64 // by roof and event: what a square metre gives, mm
	inflow  []int64     // by event, units
	sweep   *store.Sweep
	tallies map[*Sizes]*store.Tally
	before  []int64

	side   map[*Sizes]*lanes.Lanes // of sizes that are few: see beside
	events lanes.Events
	built  bool    // events are those of the trace
	taking []int32 // which of inflow each of events takes, one more than there are where none
	each   []int32 // inflow of each of events
	fits   bool    // inflow is within their limits
}

// A few tanks are taken through a trace faster side by side than all sizes at
// once, by a processor with wide registers and where there are rows enough to
// be worth the preparation. One or two tanks of a few plain rows are faster one
// after the other. All give the same numbers.
const (
	fewTanks = 128
	manyRows = 3
	lonely   = 2
	fewRows  = 8
)

// Scratch returns memory for a worker.
func (e *Ensemble) Scratch() *Scratch {
	const n = (RunIn + TraceYears) * rainfall.DaysPerYear
	sc := &Scratch{rain: make([]float64, n), wet: make([]int64, n), sweep: store.NewSweep(e.study.Rule, 0)}
	sc.demand, sc.use = e.demand, e.use
	if e.weathered() {
		sc.from, sc.et0, sc.asked = make([]int32, n), make([]float64, n), make([]float64, n)
	}
	if len(e.beds) > 0 {
		sc.demand, sc.use = make([]int64, n), make([]int64, n+1)
		for range e.beds {
			sc.beds = append(sc.beds, make([]int64, n))
		}
	}
	sc.depths = make([][]float64, len(e.study.Roofs))
	sc.tallies, sc.side = map[*Sizes]*store.Tally{}, map[*Sizes]*lanes.Lanes{}
	for _, r := range e.rows {
		z := r.Sizes
		if z == nil || sc.tallies[z] != nil {
			continue
		}
		sc.tallies[z] = store.NewTally(z.index)
		sc.before = make([]int64, max(len(sc.before), z.len()))
		if len(e.rows) >= manyRows && !(r.Plain && z.len() <= lonely && len(e.rows) <= fewRows) && lanes.Wide() && z.len() <= fewTanks && lanes.Fits(z.index.At[z.len()-1]) && e.wants == nil {
			sc.side[z] = lanes.New(z.index.At)
		}
	}
	return sc
}

// Draw draws a trace of so many years, at most TraceYears, after its run-in. It
// stands in the worker's memory until the next is drawn.
func (e *Ensemble) Draw(sc *Scratch, from gen.Sampler, rng *rand.Rand, years int) error {
	n := (RunIn + years) * rainfall.DaysPerYear
	sc.rain, sc.wet = sc.rain[:n], sc.wet[:n]
	if !e.weathered() {
		from.Sample(sc.rain, rng)
	} else if err := e.weather(sc, from, rng); err != nil {
		return err
	}
	most := math.Float64bits(math.MaxFloat32)
	for t, p := range sc.rain {
		// The bits of a depth are a whole number above 0 where it is. No branch
		// on rain: it is one that a processor cannot foresee.
		bits := math.Float64bits(p)
		if bits > most { // those of what is below 0 and of what is no number too
			return fmt.Errorf("the generator gave a day of %g mm of rain", p)
		}
		sc.wet[t] = int64(bits)
	}
	sc.days.Cut(sc.wet, sc.use, rainfall.DaysPerYear)
	sc.built = len(sc.side) > 0 && sc.events.Build(e.study.Rule, sc.wet, sc.demand[:n])
	if sc.built {
		sc.taking = grown(sc.taking, sc.events.Len())
		next := 0
		for k := range sc.taking {
			day := int32(sc.events.Day(k))
			for sc.days.Ends[next] < day {
				next++
			}
			sc.taking[k] = int32(next)
			if sc.days.Ends[next] != day {
				sc.taking[k] = int32(len(sc.days.Ends))
			}
		}
	}
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
	bits := int64(0) // of all of them: they reach a power of 2, as both limits are, where one of them does
	for i, r := range e.study.Roofs {
		area, depths := float64(r.Area*scale), sc.depths[i]
		inflow := sc.inflow[:len(depths)]
		bits, sum = 0, 0
		if i == 0 {
			for k, mm := range depths {
				q := store.Units(float64(area * mm))
				inflow[k] = q
				bits |= q
				sum += q
			}
			continue
		}
		for k, mm := range depths {
			q := store.Units(float64(area*mm)) + inflow[k]
			inflow[k] = q
			bits |= q
			sum += q
		}
	}
	for _, q := range sc.inflow[:sc.days.First(RunIn)] {
		sum -= q
	}
	if bits >= store.Most {
		return 0, errTooMuchWater
	}
	sc.fits = lanes.Fits(bits)
	return sum, nil
}

// errTooMuchWater is a day's inflow of store.Most and more.
var errTooMuchWater = errors.New("the roofs give more water on a day than can be reckoned with; is their area right?")

// Trace draws a trace and takes the tanks of every row through it. Only the
// years after the run-in count.
func (e *Ensemble) Trace(sc *Scratch, from gen.Sampler, rng *rand.Rand, years int) (*TraceTally, error) {
	if err := e.Draw(sc, from, rng, years); err != nil {
		return nil, err
	}
	const runIn = RunIn * rainfall.DaysPerYear
	out := &TraceTally{years: years, demand: sc.use[runIn+years*rainfall.DaysPerYear] - sc.use[runIn]}
	out.asked = out.demand
	if e.wants != nil {
		out.asked = e.asked(sc, years)
	}
	for _, row := range e.rows {
		inflow, err := e.Inflow(sc, row.Scale)
		if err != nil {
			return nil, err
		}
		of := rowTally{inflow: inflow}
		sizes := row.Sizes
		if e.wants != nil {
			e.oneByOne(sc, row, &of)
			out.rows = append(out.rows, of)
			continue
		}
		if e.beside(sc, sizes, &of) {
			sizes = nil
		}
		switch {
		case !row.Plain || sizes.len() > lonely:
			e.sweep(sc, sizes, &of)
		case sizes != nil:
			e.alone(sc, sizes, &of)
		}
		for k, x := range of.spilled {
			if x < 0 { // whatever the input: a fault of the program
				return nil, fmt.Errorf("internal fault: a tank of %g L gives %g L more than flows in", row.Sizes.Nominal[k], -store.Litres(x))
			}
		}
		out.rows = append(out.rows, of)
	}
	return out, nil
}

// sweep takes tanks of all sizes through the trace drawn at once; without sizes
// it tells what the years need alone.
func (e *Ensemble) sweep(sc *Scratch, sizes *Sizes, out *rowTally) {
	w, years := sc.sweep, len(sc.rain)/rainfall.DaysPerYear
	w.Fill(store.Units(e.study.startsWith()))
	for y := range RunIn {
		w.Year(&sc.days, y, sc.inflow, 0, nil)
	}
	tally := sc.tallies[sizes]
	if sizes != nil {
		w.Held(sc.before, sizes.index.At)
	}
	out.needs = make([]int64, 0, years-RunIn)
	for y := RunIn; y < years; y++ {
		out.needs = append(out.needs, w.Year(&sc.days, y, sc.inflow, e.study.Allow, tally))
	}
	if sizes == nil {
		return
	}
	n := sizes.len()
	out.sums, out.spilled = store.NewSums(n), make([]int64, n)
	tally.Sum(out.sums)
	w.Held(out.spilled, sizes.index.At)
	out.spill(sc.before)
}

// beside takes the tanks of a few sizes through the trace drawn side by side. It
// reports false where that cannot be, or would not be faster.
func (e *Ensemble) beside(sc *Scratch, sizes *Sizes, out *rowTally) bool {
	l := sc.side[sizes]
	if l == nil || !sc.built || !sc.fits {
		return false
	}
	sc.each = grown(sc.each, len(sc.taking))
	inflow := append(sc.inflow, 0)
	for k, from := range sc.taking {
		sc.each[k] = int32(inflow[from])
	}
	n, years := sizes.len(), len(sc.rain)/rainfall.DaysPerYear
	l.Fill(store.Units(e.study.startsWith()))
	l.Run(&sc.events, sc.each, 0, RunIn, e.study.Allow)
	for k := range n {
		sc.before[k] = l.Storage(k)
	}
	l.Clear()
	l.Run(&sc.events, sc.each, RunIn, years, e.study.Allow)
	out.sums, out.spilled = store.Sums{Supplied: slices.Clone(l.Supplied), Short: slices.Clone(l.Short), Good: slices.Clone(l.Good)}, make([]int64, n)
	for k := range n {
		out.spilled[k] = l.Storage(k)
	}
	out.spill(sc.before)
	return true
}

// alone takes the tanks of a few sizes through the trace drawn one after the other.
func (e *Ensemble) alone(sc *Scratch, sizes *Sizes, out *rowTally) {
	n, years := sizes.len(), len(sc.rain)/rainfall.DaysPerYear
	out.sums, out.spilled = store.NewSums(n), make([]int64, n)
	for k, size := range sizes.index.At {
		a := store.Alone{Size: size, Held: min(size, store.Units(e.study.startsWith()))}
		a.Run(e.study.Rule, &sc.days, 0, RunIn, sc.inflow, e.study.Allow)
		sc.before[k] = a.Held
		a = store.Alone{Size: size, Held: a.Held}
		a.Run(e.study.Rule, &sc.days, RunIn, years, sc.inflow, e.study.Allow)
		out.sums.Supplied[k], out.sums.Short[k], out.sums.Good[k], out.spilled[k] = a.Supplied, a.Short, a.Good, a.Held
	}
	out.spill(sc.before)
}

// spill turns what the tanks hold at the end into what they spilled: V₀ + ΣQ =
// ΣY + ΣO + Vₙ.
func (t *rowTally) spill(before []int64) {
	for k, held := range t.spilled {
		t.spilled[k] = before[k] + t.inflow - t.sums.Supplied[k] - held
	}
}

// everyDay is the inflow of each day of the trace drawn, units.
func (sc *Scratch) everyDay() []int64 {
	out := make([]int64, len(sc.rain))
	for k, t := range sc.days.Ends {
		out[t] = sc.inflow[k]
	}
	return out
}
