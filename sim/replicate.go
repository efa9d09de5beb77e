package sim

import (
	"context"
	"math"
	"slices"

	"tankodds/rainfall/gen"
	"tankodds/sim/internal/parallel"
	"tankodds/sim/internal/steady"
)

const replicateTraces = ReplicateYears / TraceYears

// Replicates is what the resampled records gave the tanks of some sizes.
type Replicates struct {
	record int            // usable years of the record
	block  float64        // mean number of them that were drawn together
	sizes  *Sizes         // those run
	shares [][][][4]share // [replicate][row][size] by Measure
}

// thinSizes returns the nominal sizes that are run of a resampled record, from
// one at most low to one at least high: four to the doubling, the same whatever
// the range is. The others are read off between their neighbours, straight in
// the logarithm of the size. Tanks so close move together from record to record.
func thinSizes(low, high float64) (out []float64) {
	for k := math.Floor(thinSteps * math.Log2(low)); k <= math.Ceil(thinSteps*math.Log2(high)); k++ {
		out = append(out, steady.Round(math.Exp2(k/thinSteps)))
	}
	return out
}

// thinSteps is how many of them there are to the doubling, and halfThin the
// ratio of half a step.
const (
	thinSteps = 4
	halfThin  = 1.0905077326652577 // 2^(1/8)
)

// beyondAnswer is how many times the size found, and a share of it, that they
// reach at least.
const beyondAnswer = 4

// Resample resamples the record's years, fits the generator to each resampled
// record and takes tanks through its traces: how far the answer would move had
// the gauge seen other years of the same climate. It is nil where the study asks
// for none or the record has but one year.
func (q *Question) Resample(ctx context.Context, c *Curves, sizes []Solved) (*Replicates, error) {
	s, years := q.study, q.series.Years
	if !s.RecordError || s.Replicates == 0 || years.Len() == 1 {
		return nil, nil
	}
	low, high := s.reach(c, sizes)
	thin := s.NewSizes(thinSizes(low, high))
	rows := slices.Clone(c.Totals.rows)
	for i := range rows {
		rows[i].Sizes, rows[i].Bare = thin, true
	}
	e := q.ensemble.With(rows...)
	out := &Replicates{record: years.Len(), block: gen.YearBlock(years), sizes: thin}
	err := parallel.InOrder(ctx, s.Workers, s.Replicates, e.Scratch,
		func(sc *Scratch, b int) (*Totals, error) {
			sampler, err := q.gen.Fit(gen.Resample(years, gen.Source(s.Seed, streamResample, uint64(b))))
			if err != nil {
				return nil, err
			}
			sum := NewTotals(rows, years.Len())
			for k := range replicateTraces {
				rng := gen.Source(s.Seed, streamReplicate, uint64(b*replicateTraces+k))
				t, err := e.Trace(sc, sampler, rng, TraceYears)
				if err != nil {
					return nil, err
				}
				sum.Add(t)
			}
			return sum, nil
		},
		func(_ int, sum *Totals) error {
			out.add(sum)
			q.progress.add(replicateTraces)
			return nil
		})
	return out, err
}

// reach is the range of nominal sizes that record error is asked about: the
// sizes shown, and all that may bound an answer.
func (s *Study) reach(c *Curves, sizes []Solved) (low, high float64) {
	low, high = s.Sizes[0], s.largest()
	within := func(sizes []float64) {
		if n := len(sizes); n > 0 {
			low, high = min(low, sizes[0]), max(high, sizes[n-1])
		}
	}
	for i := range c.Listed {
		within(c.Listed[i])
		for _, x := range []float64{sizes[i].Tank, sizes[i].Beyond} {
			if !math.IsNaN(x) {
				low, high = min(low, x/beyondAnswer), max(high, x*beyondAnswer)
			}
		}
	}
	for _, t := range c.Thumbs {
		low, high = min(low, t.Tank), max(high, t.Tank)
	}
	within(s.among(c).sizes)
	return low, high
}

// add takes a resampled record's run.
func (r *Replicates) add(sum *Totals) {
	shares := make([][][4]share, len(sum.rows))
	for i := range sum.rows {
		for k := range sum.total[i] {
			var x [4]share
			for m := Annual; m <= turning; m++ {
				x[m] = sum.of(m, i, k)
			}
			shares[i] = append(shares[i], x)
		}
	}
	r.shares = append(r.shares, shares)
}

// at returns a measure of a nominal size in row i as each resampled record gave
// it, with the Monte Carlo variance of each.
func (r *Replicates) at(m Measure, i int, nominal float64) (values, noise []float64) {
	if m == turning { // of litres between two sizes, and so at home midway
		nominal *= halfThin
	}
	p := r.place(nominal)
	values, noise = make([]float64, len(r.shares)), make([]float64, len(r.shares))
	for b, rep := range r.shares {
		low, high := rep[i][p.low][m], rep[i][p.high][m]
		values[b], noise[b] = p.between(low.value, high.value), p.between(low.variance, high.variance)
	}
	return values, noise
}

// place is where a tank lies among those run: a share w of the way from low to
// high.
type place struct {
	low, high int
	w         float64
}

func (p place) between(a, b float64) float64 { return a + float64(p.w*(b-a)) }

func (r *Replicates) place(nominal float64) place {
	x := r.sizes.Nominal
	k := min(max(1, r.sizes.At(nominal)), len(x)-1)
	w := steady.Round(math.Log(nominal/x[k-1]) / math.Log(x[k]/x[k-1]))
	return place{k - 1, k, min(1, max(0, w))}
}
