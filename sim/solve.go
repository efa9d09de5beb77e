package sim

import (
	"context"
	"math"
	"slices"
	"sort"

	"tankodds/sim/internal/store"
)

// Solved is what was found for one roof area. Sizes are nominal, L.
type Solved struct {
	Tank   float64 // the smallest of three digits that meets the target; NaN where no size asked about is as large, or does
	Exact  float64 // the smallest of all sizes that does, NaN with Tank
	Beyond float64 // the smallest of three digits where no size asked about is as large; NaN elsewhere, or where none does
	Look   float64 // the size to look at: Tank, or the largest asked about

	rung int  // of Tank or Beyond, their number where no size meets the target
	tank tank // of Look
}

// Solve finds, for every area of the curves, the smallest size that meets the
// study's target. Every size has seen the same rain; what the main run did not
// look at runs through it now.
func (q *Question) Solve(ctx context.Context, c *Curves) ([]Solved, error) {
	out := make([]Solved, len(c.Areas))
	var rows []Row
	var late []int
	for i := range out {
		out[i] = q.study.solve(c, i)
		row, look := c.Totals.rows[c.rows[i]], out[i].Look
		if row.Sizes.Has(look) {
			out[i].tank = c.tank(i, look)
			continue
		}
		late = append(late, i)
		rows = append(rows, Row{Scale: row.Scale, Sizes: q.study.NewSizes([]float64{look}), Bare: true})
	}
	if len(rows) == 0 {
		return out, nil
	}
	run, err := q.Simulate(ctx, rows...)
	for row, i := range late {
		out[i].tank = tank{out[i].Look, i, run, row, 0}
	}
	return out, err
}

func (s *Study) solve(c *Curves, i int) Solved {
	meets := func(nominal float64) bool { return s.Value(c, i, nominal) >= s.Target }
	out := Solved{Tank: math.NaN(), Exact: math.NaN(), Beyond: math.NaN(), Look: s.largest()}
	out.Exact, out.rung = s.exact(c, i, meets)
	if out.rung == len(c.Rungs) {
		out.Exact = math.NaN()
		return out
	}
	size := c.Rungs[out.rung]
	if size > s.largest() && !meets(s.largest()) { // which may lie between two of three digits
		out.Beyond, out.Exact = size, math.NaN()
		return out
	}
	out.Tank, out.Look = size, size
	return out
}

// exact returns the smallest nominal size under area i that meets the target,
// and the first rung from it on that does: by the sizes that years need for a
// share of good years, by a straight line between two rungs for the other
// measures.
func (s *Study) exact(c *Curves, i int, meets func(nominal float64) bool) (size float64, rung int) {
	if s.Measure == Annual {
		need, _ := s.Smallest(c.Totals, c.rows[i], store.Most)
		size = store.Litres(need) / (1 - s.Dead)
		rung = sort.Search(len(c.Rungs), func(k int) bool { return s.usable(c.Rungs[k]) >= need })
		for rung < len(c.Rungs) && !meets(c.Rungs[rung]) {
			rung++
		}
		return size, rung
	}
	rung = slices.IndexFunc(c.Rungs, meets)
	switch {
	case rung < 0:
		return 0, len(c.Rungs)
	case rung == 0:
		return c.Rungs[0], 0
	}
	from, to := c.Rungs[rung-1], c.Rungs[rung]
	a, b := s.Value(c, i, from), s.Value(c, i, to)
	return from + float64((to-from)*((s.Target-a)/(b-a))), rung
}

// Smallest returns the smallest usable size, units, up to most that meets the
// study's target for good years in row i of a run; ok says whether there is one.
// Only sizes that some year needs come into question.
func (s *Study) Smallest(t *Totals, i int, most int64) (size int64, ok bool) {
	needs := t.needsUpTo(i, most)
	k := sort.Search(len(needs), func(k int) bool { return s.valueOf(t.ClaimAt(i, needs[k]), t.Record) >= s.Target })
	if k == len(needs) {
		return most, false
	}
	return needs[k], true
}

// Value is what is held against the target, of a nominal size under area i: the
// measure, or the share of good years that may be claimed where Stated says so.
func (s *Study) Value(c *Curves, i int, nominal float64) float64 {
	if s.Measure == Annual {
		return s.valueOf(s.claim(c, i, nominal), c.Totals.Record)
	}
	k := c.tank(i, nominal)
	return k.run.of(s.Measure, k.row, k.size).value
}

// claim is what the record lets be said of the good years of a nominal size
// under area i.
func (s *Study) claim(c *Curves, i int, nominal float64) Claim {
	if c.Totals.rows[c.rows[i]].Sizes.Has(nominal) {
		k := c.tank(i, nominal)
		return k.run.Claim(k.row, k.size)
	}
	return c.Totals.ClaimAt(c.rows[i], s.usable(nominal))
}

// valueOf is Value of an annual claim.
func (s *Study) valueOf(c Claim, record int) float64 {
	if s.Stated(record) {
		return c.Stated()
	}
	return c.seen
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
