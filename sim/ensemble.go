package sim

import (
	"fmt"
	"math"
	"math/rand/v2"

	"tankodds/rainfall"
)

// Streams keep the random numbers of different jobs apart.
const (
	streamMain      = 1 // traces of the record's own generator
	streamResample  = 2 // which years a resampled record holds
	streamReplicate = 3 // traces of a resampled record's generator
	streamBacktest  = 4 // traces of a window's generator
	streamJudge     = 5 // the draws that make counts continuous
)

// row is one roof area and the tanks to run under it.
type row struct {
	scale  float64   // of the site's roofs
	usable []float64 // usable tank sizes, L
}

// tally is one tank's sums over some years.
type tally struct {
	supplied, spilled float64 // L
	short             float64 // short days
	good              float64 // years with no more short days than allowed
}

// traceTally is what one trace gives.
type traceTally struct {
	years  int
	demand float64   // L
	inflow []float64 // a row, L
	tanks  [][]tally // [row][size]
}

// ensemble runs traces: the roofs, the uses and the rows, made once and read
// by all workers.
type ensemble struct {
	study        *Study
	demand, need []float64 // of the longest trace
	wanted       []float64 // ΣD of so many years after the run-in
	rows         []row
	roofs, sizes []float64 // of the tanks of all rows, one row after another
}

func newEnsemble(s *Study, y *rainfall.Years) *ensemble {
	e := &ensemble{study: s}
	e.demand = TraceDemand(RunIn+TraceYears, y.Start, s.Uses)
	e.need = make([]float64, len(e.demand))
	Need(e.need, e.demand)
	e.wanted = make([]float64, TraceYears+1)
	sum := 0.0
	for t, d := range e.demand[RunIn*rainfall.DaysPerYear:] {
		sum += d
		e.wanted[1+t/rainfall.DaysPerYear] = sum
	}
	return e
}

// with returns the ensemble with other rows.
func (e *ensemble) with(rows []row) *ensemble {
	out := *e
	out.rows, out.roofs, out.sizes = rows, nil, nil
	for _, r := range rows {
		for _, size := range r.usable {
			out.roofs, out.sizes = append(out.roofs, r.scale), append(out.sizes, size)
		}
	}
	return &out
}

// scratch is one worker's memory.
type scratch struct {
	rain, inflow []float64
	lanes        *Lanes // of the ensemble's tanks, nil where it only draws
}

func newScratch() *scratch {
	const n = (RunIn + TraceYears) * rainfall.DaysPerYear
	return &scratch{rain: make([]float64, n), inflow: make([]float64, n)}
}

// scratch returns memory for a worker that runs traces.
func (e *ensemble) scratch() *scratch {
	sc := newScratch()
	sc.lanes = e.lanes()
	return sc
}

// lanes returns lanes for the tanks of all rows.
func (e *ensemble) lanes() *Lanes { return NewLanes(e.roofs, e.sizes, e.study.Start) }

// draw draws a trace and leaves its inflow in sc.inflow.
func (e *ensemble) draw(sc *scratch, from rainfall.Sampler, rng *rand.Rand, years int) error {
	n := (RunIn + years) * rainfall.DaysPerYear
	sc.rain, sc.inflow = sc.rain[:n], sc.inflow[:n]
	from.Sample(sc.rain, rng)
	for _, p := range sc.rain {
		if !(p >= 0 && p <= math.MaxFloat32) {
			return fmt.Errorf("the generator gave a day of %g mm of rain", p)
		}
	}
	Inflow(sc.inflow, sc.rain, e.study.Roofs)
	return nil
}

// trace runs one trace through every row, the run-in and then so many years,
// which alone count.
func (e *ensemble) trace(sc *scratch, from rainfall.Sampler, rng *rand.Rand, years int) (*traceTally, error) {
	if err := e.draw(sc, from, rng, years); err != nil {
		return nil, err
	}
	return e.through(sc.lanes, sc.inflow)
}

// through runs the inflow of one trace through every row, as trace does. All
// tanks pass through a year before the next begins, so that its days stay in
// the processor's near memory.
func (e *ensemble) through(lanes *Lanes, inflow []float64) (*traceTally, error) {
	const year, runIn = rainfall.DaysPerYear, RunIn * rainfall.DaysPerYear
	n := len(inflow)
	years := n/year - RunIn
	out := &traceTally{years: years, demand: e.wanted[years]}
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
		out.inflow = append(out.inflow, base*r.scale)
		out.tanks = append(out.tanks, tanks[:len(r.usable):len(r.usable)])
		tanks = tanks[len(r.usable):]
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

// totals adds up traces of one length for every row and tank: enough for each
// measure and its spread between traces.
type totals struct {
	record        int // usable years of the record that they were learnt from
	traces, years int
	demand        float64
	inflow        []float64
	total         [][]tally
	square        [][]tally // sums of squares of each trace's tally
}

func (s *totals) add(t *traceTally) {
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
func (s *totals) of(m Measure, i, j int) share {
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

// claim returns what the record lets be said of tank j in row i.
func (s *totals) claim(i, j int) claim {
	return newClaim(s.of(Annual, i, j), float64(s.years), float64(s.record))
}

// mean returns sum/whole and the variance of that between traces of one
// length.
func (s *totals) mean(sum, square, whole float64) share {
	n := float64(s.traces)
	if s.traces < 2 {
		return share{sum / whole, 0}
	}
	between := max(0, (square-float64(sum*sum)/n)/(n-1))
	per := whole / n
	return share{sum / whole, between / (n * per * per)}
}
