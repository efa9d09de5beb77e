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
	Tank   float64 // the smallest of three digits that meets the target; NaN where none does
	Exact  float64 // the smallest of all sizes that does, NaN with Tank
	Listed float64 // the smallest asked about that does, NaN where none does
	Look   float64 // the size to look at: of sizes for sale Listed, or Tank, or the largest asked about

	rung int  // of Tank, their number where no size meets the target
	tank tank // of Look
}

// Solve finds, for every area of the curves, the smallest size that meets the
// study's target, whatever sizes were asked about; none from a record of less
// than FewYears. Every size has seen the same rain; what the main run did not
// look at runs through it now.
func (q *Question) Solve(ctx context.Context, c *Curves) ([]Solved, error) {
	s, out := q.study, make([]Solved, len(c.Areas))
	var rows []Row
	var late []int
	for i := range out {
		out[i] = Solved{Tank: math.NaN(), Exact: math.NaN(), Listed: math.NaN(), Look: s.largest(), rung: len(c.Rungs)}
		if c.Totals.Usable >= FewYears {
			exact, rung := s.exact(c, i)
			if out[i].rung = rung; rung < len(c.Rungs) {
				out[i].Exact, out[i].Tank, out[i].Look = exact, c.Rungs[rung], c.Rungs[rung]
			}
			if out[i].Listed = s.listed(c, i); s.ForSale && !math.IsNaN(out[i].Listed) {
				out[i].Look = out[i].Listed
			}
		}
		row, look := c.Totals.rows[c.rows[i]], out[i].Look
		if row.Sizes.Has(look) {
			out[i].tank = c.tank(i, look)
			continue
		}
		late = append(late, i)
		rows = append(rows, Row{Scale: row.Scale, Sizes: s.NewSizes([]float64{look})})
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

// exact returns the smallest nominal size under area i that meets the target,
// and the first rung from it on that does: by the sizes that years need for a
// share of good years, by a straight line between two rungs for the other
// measures.
func (s *Study) exact(c *Curves, i int) (size float64, rung int) {
	meets := func(nominal float64) bool { return s.Value(c, i, nominal) >= s.Target }
	if s.Measure == Annual {
		need, _ := s.Smallest(c.Totals, c.weights[i], c.rows[i], store.Most)
		size = s.Nominal(store.Litres(need))
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
func (s *Study) Smallest(t *Totals, w *Weights, i int, most int64) (size int64, ok bool) {
	needs := t.sorted(i)
	k := sort.Search(len(needs), func(k int) bool { return s.valueOf(t.ClaimAt(w, i, min(needs[k], store.Most))) >= s.Target })
	if k == len(needs) || needs[k] > min(most, store.Most) {
		return most, false
	}
	return needs[k], true
}

// Value is what is held against the target, of a nominal size under area i: what
// is claimed of the measure, or what the synthetic years show of it where the
// record's error is not to be weighed.
func (s *Study) Value(c *Curves, i int, nominal float64) float64 {
	return s.valueOf(s.claim(c, i, nominal))
}

// claim is what the record lets be said of the study's measure of a nominal size
// under area i.
func (s *Study) claim(c *Curves, i int, nominal float64) Claim {
	if s.Measure == Annual && !c.Totals.rows[c.rows[i]].Sizes.Has(nominal) {
		return c.Totals.ClaimAt(c.weights[i], c.rows[i], s.usable(nominal))
	}
	return c.claim(s.Measure, c.tank(i, nominal))
}

// valueOf is Value of a claim.
func (s *Study) valueOf(c Claim) float64 {
	if s.RecordError {
		return c.held
	}
	return c.seen
}

// said is what is printed of a claim: what is stated, or what the synthetic
// years show.
func (s *Study) said(c Claim) float64 {
	if s.RecordError {
		return c.Estimate
	}
	return c.seen
}
