package sim

import (
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

	rung int // of Tank or Beyond, their number where no size meets the target
}

// Solve finds, for every area of the curves, the smallest size that meets the
// study's target. Every size has seen the same rain.
func (q *Question) Solve(c *Curves) []Solved {
	out := make([]Solved, len(c.Areas))
	for i := range out {
		out[i] = q.study.solve(c, c.rows[i])
	}
	return out
}

func (s *Study) solve(c *Curves, row int) Solved {
	z, largest := c.Sizes, s.largest()
	meets := func(k int) bool { return s.Value(c.Totals, row, k) >= s.Target }
	out := Solved{Tank: math.NaN(), Exact: math.NaN(), Beyond: math.NaN(), Look: largest}
	out.rung = slices.IndexFunc(z.Rungs, meets)
	if out.rung < 0 {
		out.rung = len(z.Rungs)
		return out
	}
	at := z.Rungs[out.rung]
	if z.Nominal[at] > largest && !meets(z.At(largest)) { // which may lie between two of three digits
		out.Beyond = z.Nominal[at]
		return out
	}
	out.Tank = z.Nominal[at]
	out.Look = out.Tank
	out.Exact = out.Tank
	if out.rung > 0 {
		out.Exact = s.exact(c, row, z.Rungs[out.rung-1], at)
	}
	return out
}

// exact returns the smallest nominal size that meets the target between two of
// which the larger does, low and high: of the sizes that years need for a share
// of good years, by a straight line for the other measures.
func (s *Study) exact(c *Curves, row, low, high int) float64 {
	from, to := c.Sizes.Nominal[low], c.Sizes.Nominal[high]
	if s.Measure != Annual {
		a, b := s.Value(c.Totals, row, low), s.Value(c.Totals, row, high)
		return from + float64((to-from)*((s.Target-a)/(b-a)))
	}
	need, _ := s.Smallest(c.Totals, row, s.usable(from), s.usable(to))
	return min(to, store.Litres(need)/(1-s.Dead))
}

// Smallest returns the smallest usable size, units, above low and not above high
// that meets the study's target for good years in row i of a run; ok says
// whether there is one. Only sizes that some year needs come into question.
func (s *Study) Smallest(t *Totals, i int, low, high int64) (size int64, ok bool) {
	needs := t.needsBetween(i, low, high)
	k := sort.Search(len(needs), func(k int) bool { return s.valueOf(t.ClaimAt(i, needs[k]), t.Record) >= s.Target })
	if k == len(needs) {
		return high, false
	}
	return needs[k], true
}

// Value is what is held against the target, of tank k in row i of a run: the
// measure, or the share of good years that may be claimed where Stated says so.
func (s *Study) Value(t *Totals, i, k int) float64 {
	if s.Measure == Annual {
		return s.valueOf(t.Claim(i, k), t.Record)
	}
	return t.of(s.Measure, i, k).value
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
