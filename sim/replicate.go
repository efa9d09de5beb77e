package sim

import (
	"context"
	"math"
	"slices"

	"tankodds/rainfall/gen"
	"tankodds/sim/internal/parallel"
	"tankodds/sim/internal/steady"
	"tankodds/sim/internal/store"
)

const replicateTraces = ReplicateYears / TraceYears

// Replicates is what the resampled records gave.
type Replicates struct {
	record int            // usable years of the record
	block  float64        // mean number of them that were drawn together
	shares [][][][3]share // [replicate][row][tank] by Measure
	supply [][]float64    // [replicate][tank] L a year, of the site's own roofs
}

// Resample resamples the record's years, fits the generator to each resampled
// record and runs its traces through the rows of the curves and, in one row
// more, the size looked at and those of the rules of thumb: how far the answer
// would move had the gauge seen other years of the same climate. It is nil where
// the study asks for none or the record has but one year.
//
// Of a row with more tanks than the store runs side by side only so many are
// run, evenly spread and both ends among them; the others are read off between
// their neighbours, straight in the logarithm of the size. Tanks so close move
// together from record to record, and the cost is halved.
func (q *Question) Resample(ctx context.Context, c *Curves, look float64) (*Replicates, error) {
	s, years := q.study, q.series.Years
	if !s.RecordError || s.Replicates == 0 || years.Len() == 1 {
		return nil, nil
	}
	rows := append(slices.Clip(c.Rows), Row{Scale: 1, Usable: append([]float64{s.Usable(look)}, s.thumbSizes(c.Thumbs)...)})
	run := make([]Row, len(rows))
	between := make([][]place, len(rows))
	for i, r := range rows {
		run[i], between[i] = r.thin(store.Wide)
	}
	e := q.ensemble.With(run)
	out := &Replicates{record: years.Len(), block: gen.YearBlock(years)}
	err := parallel.InOrder(ctx, s.Workers, s.Replicates, e.Scratch,
		func(sc *Scratch, b int) (*Totals, error) {
			sampler, err := q.gen.Fit(gen.Resample(years, gen.Source(s.Seed, streamResample, uint64(b))))
			if err != nil {
				return nil, err
			}
			sum := &Totals{}
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
			out.add(sum, between)
			q.progress.add(replicateTraces)
			return nil
		})
	return out, err
}

// add takes a resampled record's run, between telling where the tanks of its
// rows lie among those run.
func (r *Replicates) add(sum *Totals, between [][]place) {
	rep := make([][][3]share, len(between))
	for i, row := range between {
		rep[i] = make([][3]share, len(row))
		for k, at := range row {
			for m := Annual; m <= Volume; m++ {
				a, b := sum.of(m, i, at.low), sum.of(m, i, at.high)
				rep[i][k][m] = share{at.between(a.value, b.value), at.between(a.variance, b.variance)}
			}
		}
	}
	r.shares = append(r.shares, rep)
	curve := len(between) - 2
	supply := make([]float64, len(between[curve]))
	for k, at := range between[curve] {
		tanks := sum.total[curve]
		supply[k] = at.between(tanks[at.low].supplied, tanks[at.high].supplied) / float64(sum.years)
	}
	r.supply = append(r.supply, supply)
}

// place is where a tank lies among those run: at low, or a share w of the way
// from low to high.
type place struct {
	low, high int
	w         float64
}

func (p place) between(a, b float64) float64 { return a + float64(p.w*(b-a)) }

// thin leaves at most so many tanks of a row, and says where each of its tanks
// lies among them.
func (r Row) thin(most int) (Row, []place) {
	n := len(r.Usable)
	at := make([]place, n)
	if n <= most {
		for k := range at {
			at[k] = place{k, k, 0}
		}
		return r, at
	}
	out := Row{Scale: r.Scale, Usable: make([]float64, most)}
	was := 0
	for i := range most {
		k := i * (n - 1) / (most - 1)
		out.Usable[i] = r.Usable[k]
		for q := was + 1; q < k; q++ {
			w := math.Log(r.Usable[q]/r.Usable[was]) / math.Log(r.Usable[k]/r.Usable[was])
			at[q] = place{i - 1, i, steady.Round(w)}
		}
		at[k] = place{i, i, 0}
		was = k
	}
	return out, at
}
