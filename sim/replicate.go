package sim

import "tankodds/rainfall"

const replicateTraces = ReplicateYears / TraceYears

// replicates is what the resampled records gave.
type replicates struct {
	shares [][][][3]share // [replicate][row][tank] by Measure
	supply [][]float64    // [replicate][tank] L a year, of the curve row
	short  []float64      // short years in the first Horizon years of each trace of the watched row
}

// replicate resamples the record's years, fits the generator to each
// resampled record and runs its traces through the rows: how far the answer
// would move had the gauge seen other years of the same climate. The last row
// is the watched one, the one before it the curve.
func (j *job) replicate(rows []row) (*replicates, error) {
	e := newEnsemble(j.study, j.years, rows)
	curve, watched := len(rows)-2, len(rows)-1
	out := &replicates{}
	type one struct {
		sum   *totals
		short []float64
	}
	err := inOrder(j.ctx, j.study.Workers, j.study.Replicates, newScratch,
		func(sc *scratch, b int) (one, error) {
			record := j.years.Resample(rainfall.Source(j.study.Seed, streamResample, uint64(b)))
			sampler, err := j.gen.Fit(record)
			if err != nil {
				return one{}, err
			}
			o := one{sum: &totals{}}
			for k := range replicateTraces {
				rng := rainfall.Source(j.study.Seed, streamReplicate, uint64(b*replicateTraces+k))
				t, err := e.trace(sc, sampler, rng, TraceYears)
				if err != nil {
					return one{}, err
				}
				o.sum.add(t)
				o.short = append(o.short, j.study.shortYears(t.yearly[watched]))
			}
			return o, nil
		},
		func(_ int, o one) error {
			rep := make([][][3]share, len(rows))
			for i := range rows {
				rep[i] = make([][3]share, len(rows[i].usable))
				for k := range rep[i] {
					for m := Annual; m <= Volume; m++ {
						rep[i][k][m] = o.sum.of(m, i, k)
					}
				}
			}
			out.shares = append(out.shares, rep)
			supply := make([]float64, len(rows[curve].usable))
			for k := range supply {
				supply[k] = o.sum.total[curve][k].supplied / float64(o.sum.years)
			}
			out.supply = append(out.supply, supply)
			out.short = append(out.short, o.short...)
			j.progress(replicateTraces)
			return nil
		})
	return out, err
}

// shortYears counts the years that are not good among the first Horizon of a
// watched tank's trace.
func (s *Study) shortYears(yearly []float64) float64 {
	n := 0.0
	for _, days := range yearly[:min(len(yearly), s.Horizon)] {
		if days > float64(s.Allow) {
			n++
		}
	}
	return n
}
