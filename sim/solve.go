package sim

import (
	"math"
	"slices"

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

// solved is what the solver found for one row.
type solved struct {
	at     float64 // usable size, L; NaN where no size of the row meets the target
	beyond float64 // a size beyond the row that would, up to Reach times its largest; NaN where at is not, or none does
	sums   *Totals // a run that holds the tank of that size, or the row's largest where at is NaN
	row, k int     // where in sums it stands
}

// solve finds, for every row, the smallest usable size that meets the
// study's target, to 0.2 %. The measures never fall with size, and every size
// sees the same rain, so a bracket cut in many parts at a time closes on it.
func (j *job) solve(rows []Row, grid *Totals) ([]solved, error) {
	s := j.study
	low, high := make([]float64, len(rows)), make([]float64, len(rows))
	outside, open := make([]bool, len(rows)), make([]bool, len(rows)) // open: low may meet the target too
	out := make([]solved, len(rows))                                  // where the tank of size high, or the largest, was run
	for i, r := range rows {
		n := len(r.Usable)
		k := 0
		for k < n && s.Value(grid, i, k) < s.Target {
			k++
		}
		out[i] = solved{sums: grid, row: i, k: min(k, n-1)}
		switch {
		case k == n:
			outside[i] = true
			low[i], high[i] = r.Usable[n-1], r.Usable[n-1]*Reach
		case k == 0:
			low[i], high[i], open[i] = r.Usable[0]/depth, r.Usable[0], true
		default:
			low[i], high[i] = r.Usable[k-1], r.Usable[k]
		}
	}
	// Rows of one roof share what is known of it: the site's own row, finely
	// cut, and its row of the sizes asked about must not differ in the answer.
	for i, r := range rows {
		for k, other := range rows {
			if other.Scale == r.Scale && outside[k] == outside[i] {
				if low[k] > low[i] && !open[k] {
					low[i], open[i] = low[k], false
				}
				if high[k] < high[i] {
					high[i], out[i] = high[k], out[k]
				}
			}
		}
	}
	least := floor * MeanDemand(s.Uses)
	met := make([]bool, len(rows)) // high is known to meet the target
	for i := range rows {
		met[i] = !outside[i]
	}
	for range maxPasses {
		var cut []Row
		var which []int
		for i, r := range rows {
			if high[i]/low[i] > tolerance*(1+1e-9) {
				cut = append(cut, Row{Scale: r.Scale, Usable: between(low[i], high[i])})
				which = append(which, i)
			}
		}
		if len(cut) == 0 {
			break
		}
		got, err := j.run(cut)
		if err != nil {
			return nil, err
		}
		for c, i := range which {
			sizes := cut[c].Usable
			k := 0
			for k < len(sizes) && s.Value(got, c, k) < s.Target {
				k++
			}
			switch {
			case k > 0:
				low[i], open[i] = sizes[k-1], false
			case open[i] && sizes[0] > least:
				low[i] /= depth
			}
			if k < len(sizes) {
				high[i], met[i] = sizes[k], true
				if !outside[i] {
					out[i] = solved{sums: got, row: c, k: k}
				}
			} else if !met[i] {
				low[i] = high[i] // out of reach
			}
		}
	}
	for i := range out {
		out[i].at, out[i].beyond = math.NaN(), math.NaN()
		switch {
		case !met[i]:
		case outside[i]:
			out[i].beyond = high[i]
		default:
			out[i].at = high[i]
		}
	}
	return out, nil
}

// refine closes on the sizes at which the bounds of the claim meet the target
// for the site's own roofs: read off between the sizes of the curve they would
// miss it by some tenths of a per cent. Where resampled records widen the
// claim they are known at the curve's sizes only, and stay. The answer for the
// same area among those asked about takes over what is found.
func (j *job) refine(r *Result, reps *replicates) error {
	s, a := j.study, &r.Main
	defer func() {
		for i := range r.Answers {
			if own := &r.Answers[i]; own.Area == a.Area && own.Tank == a.Tank {
				own.Low, own.High, own.Safe = a.Low, a.High, a.Safe
			}
		}
	}()
	if s.Measure != Annual || !s.RecordError || math.IsNaN(a.Tank) || reps != nil && reps.block > 1 {
		return nil
	}
	lower := func(x Interval) float64 { return x.Low }
	upper := func(x Interval) float64 { return x.High }
	sizes := Row{Scale: 1}
	bracket := func(bound func(Interval) float64) (from, to int) {
		k := slices.IndexFunc(r.Curve, func(c Cell) bool { return bound(c.Annual) >= s.Target })
		from = len(sizes.Usable)
		if k > 0 {
			sizes.Usable = append(sizes.Usable, steady.Cuts(s.Usable(r.Curve[k-1].Tank), s.Usable(r.Curve[k].Tank), mostCuts/2)...)
		}
		return from, len(sizes.Usable)
	}
	lowFrom, lowTo := bracket(upper)
	safeFrom, safeTo := bracket(lower)
	if safeTo == 0 {
		return nil
	}
	got, err := j.run([]Row{sizes})
	if err != nil {
		return err
	}
	first := func(from, to int, bound func(Interval) float64, otherwise float64) float64 {
		for k := from; k < to; k++ {
			if bound(got.Claim(0, k).Interval(s.Level)) >= s.Target {
				return sizes.Usable[k] / (1 - s.Dead)
			}
		}
		return otherwise
	}
	a.Low = min(a.Tank, first(lowFrom, lowTo, upper, a.Low))
	a.Safe = first(safeFrom, safeTo, lower, a.Safe)
	if !math.IsNaN(a.Safe) {
		a.Safe = max(a.Tank, a.Safe)
	}
	a.High = a.Safe
	return nil
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
