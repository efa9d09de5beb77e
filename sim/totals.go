package sim

import (
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/sim/internal/store"
)

// tally is one tank's sums over some years.
type tally struct {
	supplied, spilled float64 // L
	met               float64 // L supplied of what the measures are about
	short             float64 // short days
	good              float64 // years with no more short days than allowed
	more              float64 // L supplied beyond the tank one step below on the row's ladder
}

// Totals adds up traces of one length for every row and tank: enough for each
// measure and its spread between traces.
type Totals struct {
	Evidence      // of the record that they were learnt from
	rows          []Row
	traces, years int
	demand, asked float64
	inflow        []float64 // by row, L
	needs         [][]needs // by row and trace
	total         [][]tally
	square        [][]tally // sums of squares of each trace's tally
}

// needs is what each year of a trace needs, units. They are all that grows with
// the years, so they take half the room where they fit: a need of tooMuch is one
// that no size meets.
type needs struct {
	small []uint32
	large []int64 // where some do not fit
}

const tooMuch = math.MaxUint32

func newNeeds(years []int64) needs {
	small := make([]uint32, len(years))
	for y, need := range years {
		switch {
		case need > store.Most:
			small[y] = tooMuch
		case need >= tooMuch:
			return needs{large: years}
		default:
			small[y] = uint32(need)
		}
	}
	return needs{small: small}
}

// upTo calls with each need that is not above a size of at most store.Most.
func (n needs) upTo(size int64, with func(need int64)) {
	for _, need := range n.large {
		if need <= size {
			with(need)
		}
	}
	size = min(size, tooMuch-1)
	for _, need := range n.small {
		if int64(need) <= size {
			with(int64(need))
		}
	}
}

// least is the smaller need of each year.
func (n needs) least(o needs) needs {
	at := func(n needs, y int) int64 {
		switch {
		case n.large != nil:
			return n.large[y]
		case n.small[y] == tooMuch:
			return store.Most + 1
		}
		return int64(n.small[y])
	}
	out := make([]int64, max(len(n.small), len(n.large)))
	for y := range out {
		out[y] = min(at(n, y), at(o, y))
	}
	return newNeeds(out)
}

// NewTotals returns totals of no trace yet for rows, learnt from a record.
func NewTotals(rows []Row, record Evidence) *Totals {
	s := &Totals{Evidence: record, rows: rows, inflow: make([]float64, len(rows)), needs: make([][]needs, len(rows))}
	for _, r := range rows {
		s.total = append(s.total, make([]tally, r.Sizes.len()))
		s.square = append(s.square, make([]tally, r.Sizes.len()))
	}
	return s
}

// Add adds a trace; the order decides the last bits.
func (s *Totals) Add(t *TraceTally) {
	s.traces++
	s.years += t.years
	s.demand += store.Litres(t.demand)
	s.asked += store.Litres(t.asked)
	for i, row := range t.rows {
		s.inflow[i] += store.Litres(row.inflow)
		s.needs[i] = append(s.needs[i], newNeeds(row.needs))
		below, ladder := 0.0, s.rows[i].Ladder
		for k := range s.total[i] {
			x := tally{
				supplied: store.Litres(row.sums.Supplied[k]), spilled: store.Litres(row.spilled[k]),
				short: float64(row.sums.Short[k]), good: float64(row.sums.Good[k]),
			}
			if x.met = x.supplied; row.met != nil {
				x.met = store.Litres(row.met[k])
			}
			if len(ladder) > 0 && ladder[0] == k {
				x.more, below, ladder = x.supplied-below, x.supplied, ladder[1:]
			}
			a, b := &s.total[i][k], &s.square[i][k]
			a.supplied += x.supplied
			a.met += x.met
			a.spilled += x.spilled
			a.short += x.short
			a.good += x.good
			a.more += x.more
			b.met += float64(x.met * x.met)
			b.short += float64(x.short * x.short)
			b.good += float64(x.good * x.good)
			b.more += float64(x.more * x.more)
		}
	}
}

// share is one measure of one tank as the traces tell it.
type share struct {
	value    float64
	variance float64 // of value, from the spread between traces
}

// turning stands beside the measures: how often a year the litres by which a
// tank on the row's ladder is larger than that one step below are used.
const turning = Volume + 1

// of returns a measure of tank j in row i.
func (s *Totals) of(m Measure, i, j int) share {
	a, b := s.total[i][j], s.square[i][j]
	switch m {
	case Volume:
		return s.mean(a.met, b.met, s.asked)
	case Time:
		x := s.mean(a.short, b.short, float64(s.years*rainfall.DaysPerYear))
		x.value = 1 - x.value
		return x
	case turning:
		row := s.rows[i]
		litres := row.Sizes.Nominal[j]
		if k := slices.Index(row.Ladder, j); k > 0 {
			litres -= row.Sizes.Nominal[row.Ladder[k-1]]
		}
		return s.mean(a.more, b.more, litres*float64(s.years))
	}
	return s.mean(a.good, b.good, float64(s.years))
}

// goodAt is the share of good years of a tank of any usable size in row i.
func (s *Totals) goodAt(i int, size int64) share {
	sum, square := 0.0, 0.0
	for _, years := range s.needs[i] {
		good := 0.0
		years.upTo(size, func(int64) { good++ })
		sum += good
		square += float64(good * good)
	}
	return s.mean(sum, square, float64(s.years))
}

// sorted lists what all years of row i need, rising, units: store.Most + 1 where
// no size is enough.
func (s *Totals) sorted(i int) []int64 {
	out := make([]int64, 0, s.years)
	for _, years := range s.needs[i] {
		years.upTo(store.Most, func(need int64) { out = append(out, need) })
	}
	slices.Sort(out)
	for len(out) < s.years {
		out = append(out, store.Most+1)
	}
	return out
}

// MonteCarlo returns a measure with its Monte Carlo error. Years of one trace
// share a tank that carries water over, so the traces, not the years, are
// what is independent: a share of years gets Wilson's interval for as many
// independent years as the spread between traces is worth, the other two
// Student's t between traces.
func (s *Totals) MonteCarlo(m Measure, i, k int, level float64) Interval {
	x := s.of(m, i, k)
	if m == Annual {
		return s.wilson(x, level)
	}
	if s.traces < 2 {
		return Interval{x.value, 0, 1}
	}
	half := float64(studentQuantile(level, s.traces-1) * math.Sqrt(x.variance))
	return Interval{x.value, max(0, x.value-half), min(1, x.value+half)}
}

// Chance is the variance of a measure of tank j in row i over so many years
// ahead, were the synthetic years the whole truth.
func (s *Totals) Chance(m Measure, i, j, years int) float64 {
	return s.of(m, i, j).variance * float64(s.years) / float64(years)
}

// GoodYears is MonteCarlo of the share of good years of a tank of any usable
// size, units, by what the years need.
func (s *Totals) GoodYears(i int, size int64, level float64) Interval {
	return s.wilson(s.goodAt(i, size), level)
}

func (s *Totals) wilson(x share, level float64) Interval {
	n := float64(s.years)
	if x.variance > 0 {
		n = min(n, x.value*(1-x.value)/x.variance)
	}
	w := Wilson(x.value*n, n, level)
	w.Estimate = x.value
	return w
}

// Claim returns what the record lets be said of a measure of tank j in row i.
func (s *Totals) Claim(w *Weights, m Measure, i, j int) Claim {
	return w.claim(m, s.of(m, i, j), s.of(Annual, i, j).value)
}

// ClaimAt is Claim of good years of a tank of any usable size, units, by what
// the years need.
func (s *Totals) ClaimAt(w *Weights, i int, size int64) Claim {
	x := s.goodAt(i, size)
	return w.claim(Annual, x, x.value)
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
