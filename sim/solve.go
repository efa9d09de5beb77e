package sim

import (
	"context"
	"math"

	"tankodds/sim/internal/steady"
)

// mostCuts is how many sizes a pass of the solver tries a row, at most;
// tolerance is the ratio of the bracket at which it stops: a size to 0.2 %:
// its three figures can be believed.
const (
	mostCuts  = 32
	tolerance = 1.002
	maxPasses = 24
	depth     = 4096 // as far below the smallest size each step down goes
	floor     = 1e-3 // of a mean day's demand: no tank is that small
)

// Reach is how many times the largest size a size beyond it is looked for.
const Reach = 64

// Solved is what the solver found for one row. Sizes are nominal, L.
type Solved struct {
	Tank   float64 // the smallest that meets the target, to 0.2 %; NaN where no size of the row does
	Beyond float64 // a size beyond the row that would, up to Reach times its largest; NaN where Tank is not, or none does
	Look   float64 // the size to look at: Tank, or the row's largest

	run    *Totals // a run that holds the tank looked at
	row, k int     // where in it that stands
}

// bracket is what is known of the size that a row asks for, usable, L.
type bracket struct {
	low, high float64
	outside   bool // high lies beyond the row's sizes
	open      bool // low may meet the target too
	met       bool // high does
	Solved         // where the tank of size high, or the largest, was run
}

// Solve finds, for every row of the curves, the smallest size that meets the
// study's target, to 0.2 %. The measures never fall with size, and every size
// sees the same rain, so a bracket cut in many parts at a time closes on it.
func (q *Question) Solve(ctx context.Context, c *Curves) ([]Solved, error) {
	s := q.study
	meets := func(t *Totals, i, n int) int { // the first of n tanks that does, n where none does
		k := 0
		for k < n && s.Value(t, i, k) < s.Target {
			k++
		}
		return k
	}
	all := make([]bracket, len(c.Rows))
	for i, r := range c.Rows {
		all[i] = around(r.Usable, meets(c.Totals, i, len(r.Usable)))
		all[i].run, all[i].row = c.Totals, i
	}
	pool(all, c.Rows)
	least := floor * MeanDemand(s.Uses)
	for range maxPasses {
		var cut []Row
		var which []int
		for i, r := range c.Rows {
			if all[i].high/all[i].low > tolerance*(1+1e-9) {
				cut = append(cut, Row{Scale: r.Scale, Usable: between(all[i].low, all[i].high)})
				which = append(which, i)
			}
		}
		if len(cut) == 0 {
			break
		}
		got, err := q.Simulate(ctx, cut)
		if err != nil {
			return nil, err
		}
		for n, i := range which {
			all[i].close(cut[n].Usable, meets(got, n, len(cut[n].Usable)), least, got, n)
		}
	}
	out := make([]Solved, len(all))
	for i, b := range all {
		x := b.Solved
		x.Tank, x.Beyond = math.NaN(), math.NaN()
		x.Look = c.Sizes[i][len(c.Sizes[i])-1]
		switch {
		case b.outside && b.met:
			x.Beyond = b.high / (1 - s.Dead)
		case b.met:
			x.Tank = b.high / (1 - s.Dead)
			x.Look = x.Tank
		}
		out[i] = x
	}
	return out, nil
}

// around is the bracket about the k-th of a row's sizes, the first that meets
// the target; of all of them where none does.
func around(sizes []float64, k int) bracket {
	n := len(sizes)
	b := bracket{Solved: Solved{k: min(k, n-1)}, outside: k == n, open: k == 0, met: k < n}
	switch {
	case b.outside:
		b.low, b.high = sizes[n-1], sizes[n-1]*Reach
	case b.open:
		b.low, b.high = sizes[0]/depth, sizes[0]
	default:
		b.low, b.high = sizes[k-1], sizes[k]
	}
	return b
}

// pool shares what is known between rows of one roof: the site's own row,
// finely cut, and its row of the sizes asked about must not differ in the
// answer.
func pool(all []bracket, rows []Row) {
	for i := range all {
		for k := range all {
			a, b := &all[i], all[k]
			if rows[k].Scale != rows[i].Scale || a.outside != b.outside {
				continue
			}
			if b.low > a.low && !b.open {
				a.low, a.open = b.low, false
			}
			if b.high < a.high {
				a.high, a.Solved = b.high, b.Solved
			}
		}
	}
}

// close draws a bracket together around the k-th of the sizes that a run tried
// in its row of a number, the first that meets the target; no tank is as small
// as least.
func (b *bracket) close(sizes []float64, k int, least float64, run *Totals, row int) {
	switch {
	case k > 0:
		b.low, b.open = sizes[k-1], false
	case b.open && sizes[0] > least:
		b.low /= depth
	}
	if k < len(sizes) {
		b.high, b.met = sizes[k], true
		if !b.outside {
			b.run, b.row, b.k = run, row, k
		}
	} else if !b.met {
		b.low = b.high // out of reach
	}
}

// Value is what is held against the target, of tank k in row i of a run: the
// measure, or the share of good years that may be claimed where Stated says so.
func (s *Study) Value(t *Totals, i, k int) float64 {
	if s.Stated(t.Record) {
		return t.Claim(i, k).Stated()
	}
	return t.of(s.Measure, i, k).value
}

// Stated says whether a target is held against the expected share of good
// years among those not seen, which is what a cell then shows, or against the
// share of the synthetic years. The second is right where the record's error
// is not to be weighed, and all that is left where the record is so short that
// even without a failure in it no more than (L + ½)/(L + 1) could be expected.
func (s *Study) Stated(record int) bool {
	best := newClaim(share{value: 1}, float64(s.Years), float64(record))
	return s.Measure == Annual && s.RecordError && best.Stated() >= s.Target
}

// between cuts a bracket into as few parts as lead to the tolerance in as few
// passes as there must be.
func between(low, high float64) []float64 {
	steps := steady.Round(math.Log(high/low) / math.Log(tolerance))
	passes := max(1, math.Ceil(steady.Round(math.Log(steps)/math.Log(mostCuts))))
	n := int(math.Ceil(steady.Round(math.Pow(steps, 1/passes))))
	return steady.Cuts(low, high, min(max(2, n), mostCuts))
}
