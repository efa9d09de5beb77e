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

// Row is one roof area and the tanks to run under it.
type Row struct {
	Scale  float64   // of the site's roofs, > 0
	Usable []float64 // usable tank sizes, L, ≥ 0
}

// tally is one tank's sums over some years.
type tally struct {
	supplied, spilled float64 // L
	short             float64 // short days
	good              float64 // years with no more short days than allowed
}

// TraceTally is what one trace gives.
type TraceTally struct {
	years  int
	demand float64   // L
	inflow []float64 // a row, L
	tanks  [][]tally // [row][size]
}

// Ensemble runs synthetic traces through rows of tanks: what all traces share,
// made once and read by all workers.
type Ensemble struct {
	study        *Study
	demand, need []float64 // of the longest trace
	wanted       []float64 // ΣD of so many years after the run-in
	rows         []Row
	roofs, sizes []float64 // of the tanks of all rows, one row after another
}

// NewEnsemble returns an ensemble without rows for a checked study, whose water
// years begin in a month.
func NewEnsemble(s *Study, start time.Month) *Ensemble {
	e := &Ensemble{study: s}
	e.demand = TraceDemand(RunIn+TraceYears, start, s.Uses)
	e.need = make([]float64, len(e.demand))
	store.Need(e.need, e.demand)
	e.wanted = make([]float64, TraceYears+1)
	sum := 0.0
	for t, d := range e.demand[RunIn*rainfall.DaysPerYear:] {
		sum += d
		e.wanted[1+t/rainfall.DaysPerYear] = sum
	}
	return e
}

// With returns the ensemble with other rows.
func (e *Ensemble) With(rows []Row) *Ensemble {
	out := *e
	out.rows, out.roofs, out.sizes = rows, nil, nil
	for _, r := range rows {
		for _, size := range r.Usable {
			out.roofs, out.sizes = append(out.roofs, r.Scale), append(out.sizes, size)
		}
	}
	return &out
}

// Scratch is one worker's memory.
type Scratch struct {
	rain, inflow []float64
	lanes        *store.Lanes // of the ensemble's tanks
}

// Scratch returns memory for a worker.
func (e *Ensemble) Scratch() *Scratch {
	const n = (RunIn + TraceYears) * rainfall.DaysPerYear
	return &Scratch{rain: make([]float64, n), inflow: make([]float64, n), lanes: e.Lanes()}
}

// Lanes returns lanes for the tanks of all rows.
func (e *Ensemble) Lanes() *store.Lanes { return store.NewLanes(e.roofs, e.sizes, e.study.Start) }

// Draw draws a trace of so many years, at most TraceYears, after its run-in and
// returns what the site's roofs give on each of its days, L. The worker's next
// trace takes its place.
func (e *Ensemble) Draw(sc *Scratch, from gen.Sampler, rng *rand.Rand, years int) ([]float64, error) {
	n := (RunIn + years) * rainfall.DaysPerYear
	rain, inflow := sc.rain[:n], sc.inflow[:n]
	from.Sample(rain, rng)
	for _, p := range rain {
		if !(p >= 0 && p <= math.MaxFloat32) {
			return nil, fmt.Errorf("the generator gave a day of %g mm of rain", p)
		}
	}
	Inflow(inflow, rain, e.study.Roofs)
	return inflow, nil
}

// Trace draws a trace and runs it through every row. Only the years after the
// run-in count.
func (e *Ensemble) Trace(sc *Scratch, from gen.Sampler, rng *rand.Rand, years int) (*TraceTally, error) {
	inflow, err := e.Draw(sc, from, rng, years)
	if err != nil {
		return nil, err
	}
	return e.Through(sc.lanes, inflow)
}

// Through runs the inflow of one trace through every row, as Trace does. All
// tanks pass through a year before the next begins, so that its days stay in
// the processor's near memory.
func (e *Ensemble) Through(lanes *store.Lanes, inflow []float64) (*TraceTally, error) {
	const year, runIn = rainfall.DaysPerYear, RunIn * rainfall.DaysPerYear
	n := len(inflow)
	years := n/year - RunIn
	out := &TraceTally{years: years, demand: e.wanted[years]}
	base := 0.0
	for _, q := range inflow[runIn:] {
		base += q
	}
	lanes.Fill(e.study.Start)
	lanes.Run(e.study.Rule, inflow[:runIn], e.demand[:runIn], e.need[:runIn])
	clear(lanes.Supplied)
	clear(lanes.Spilled)
	before := append([]float64(nil), lanes.Storage...)
	tanks := make([]tally, len(e.sizes))
	for t := runIn; t < n; t += year {
		lanes.Run(e.study.Rule, inflow[t:t+year], e.demand[t:t+year], e.need[t:t+year])
		for j := range tanks {
			tanks[j].short += lanes.Short[j]
			if lanes.Short[j] <= float64(e.study.Allow) {
				tanks[j].good++
			}
		}
	}
	for j := range tanks {
		tanks[j].supplied, tanks[j].spilled = lanes.Supplied[j], lanes.Spilled[j]
		if err := balance(before[j], base*e.roofs[j], lanes.Supplied[j], lanes.Spilled[j], lanes.Storage[j]); err != nil {
			return nil, err
		}
	}
	for _, r := range e.rows {
		out.inflow = append(out.inflow, base*r.Scale)
		out.tanks = append(out.tanks, tanks[:len(r.Usable):len(r.Usable)])
		tanks = tanks[len(r.Usable):]
	}
	return out, nil
}

// balance checks V₀ + ΣQ = ΣY + ΣO + Vₙ to rounding: it holds whatever the
// input, so a failure is a fault of the program.
func balance(v0, q, y, o, vn float64) error {
	if off := v0 + q - y - o - vn; math.Abs(off) > 1e-9*(v0+q+1) {
		return fmt.Errorf("internal fault: the water balance is out by %g L of %g", off, v0+q)
	}
	return nil
}

// Totals adds up traces of one length for every row and tank: enough for each
// measure and its spread between traces.
type Totals struct {
	Record        int // usable years of the record that they were learnt from
	traces, years int
	demand        float64
	inflow        []float64
	total         [][]tally
	square        [][]tally // sums of squares of each trace's tally
}

// Add adds a trace; the order decides the last bits.
func (s *Totals) Add(t *TraceTally) {
	if s.total == nil {
		s.inflow = make([]float64, len(t.inflow))
		for _, tanks := range t.tanks {
			s.total = append(s.total, make([]tally, len(tanks)))
			s.square = append(s.square, make([]tally, len(tanks)))
		}
	}
	s.traces++
	s.years += t.years
	s.demand += t.demand
	for i, q := range t.inflow {
		s.inflow[i] += q
	}
	for i, tanks := range t.tanks {
		for j, x := range tanks {
			a, b := &s.total[i][j], &s.square[i][j]
			a.supplied += x.supplied
			a.spilled += x.spilled
			a.short += x.short
			a.good += x.good
			b.supplied += float64(x.supplied * x.supplied)
			b.short += float64(x.short * x.short)
			b.good += float64(x.good * x.good)
		}
	}
}

// share is one measure of one tank as the traces tell it.
type share struct {
	value    float64
	variance float64 // of value, from the spread between traces
}

// of returns a measure of tank j in row i.
func (s *Totals) of(m Measure, i, j int) share {
	a, b := s.total[i][j], s.square[i][j]
	switch m {
	case Volume:
		return s.mean(a.supplied, b.supplied, s.demand)
	case Time:
		x := s.mean(a.short, b.short, float64(s.years*rainfall.DaysPerYear))
		x.value = 1 - x.value
		return x
	}
	return s.mean(a.good, b.good, float64(s.years))
}

// MonteCarlo returns a measure with its Monte Carlo error. Years of one trace
// share a tank that carries water over, so the traces, not the years, are
// what is independent: a share of years gets Wilson's interval for as many
// independent years as the spread between traces is worth, the other two
// Student's t between traces.
func (s *Totals) MonteCarlo(m Measure, i, k int, level float64) Interval {
	x := s.of(m, i, k)
	if m == Annual {
		n := float64(s.years)
		if x.variance > 0 {
			n = min(n, x.value*(1-x.value)/x.variance)
		}
		w := Wilson(x.value*n, n, level)
		w.Estimate = x.value
		return w
	}
	if s.traces < 2 {
		return Interval{x.value, 0, 1}
	}
	half := float64(studentQuantile(level, s.traces-1) * math.Sqrt(x.variance))
	return Interval{x.value, max(0, x.value-half), min(1, x.value+half)}
}

// Claim returns what the record lets be said of tank j in row i.
func (s *Totals) Claim(i, j int) Claim {
	return newClaim(s.of(Annual, i, j), float64(s.years), float64(s.Record))
}

// mean returns sum/whole and the variance of that between traces of one
// length.
func (s *Totals) mean(sum, square, whole float64) share {
	n := float64(s.traces)
	if s.traces < 2 {
		return share{sum / whole, 0}
	}
	between := max(0, (square-float64(sum*sum)/n)/(n-1))
	per := whole / n
	return share{sum / whole, between / (n * per * per)}
}
