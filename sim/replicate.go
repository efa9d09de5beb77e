package sim

import "tankodds/rainfall"

const replicateTraces = ReplicateYears / TraceYears

// replicates is what the resampled records gave.
type replicates struct {
	record int            // usable years of the record
	block  float64        // mean number of them that were drawn together
	shares [][][][3]share // [replicate][row][tank] by Measure
	supply [][]float64    // [replicate][tank] L a year, of the curve row
}

// replicate resamples the record's years, fits the generator to each
// resampled record and runs its traces through the rows: how far the answer
// would move had the gauge seen other years of the same climate. The last row
// is the watched one, the one before it the curve.
func (j *job) replicate(rows []row) (*replicates, error) {
	e := newEnsemble(j.study, j.years, rows)
	curve := len(rows) - 2
	out := &replicates{record: j.years.Len(), block: j.years.YearBlock()}
	err := inOrder(j.ctx, j.study.Workers, j.study.Replicates, newScratch,
		func(sc *scratch, b int) (*totals, error) {
			record := j.years.Resample(rainfall.Source(j.study.Seed, streamResample, uint64(b)))
			sampler, err := j.gen.Fit(record)
			if err != nil {
				return nil, err
			}
			sum := &totals{}
			for k := range replicateTraces {
				rng := rainfall.Source(j.study.Seed, streamReplicate, uint64(b*replicateTraces+k))
				t, err := e.trace(sc, sampler, rng, TraceYears)
				if err != nil {
					return nil, err
				}
				sum.add(t)
			}
			return sum, nil
		},
		func(_ int, sum *totals) error {
			rep := make([][][3]share, len(rows))
			for i := range rows {
				rep[i] = make([][3]share, len(rows[i].usable))
				for k := range rep[i] {
					for m := Annual; m <= Volume; m++ {
						rep[i][k][m] = sum.of(m, i, k)
					}
				}
			}
			out.shares = append(out.shares, rep)
			supply := make([]float64, len(rows[curve].usable))
			for k := range supply {
				supply[k] = sum.total[curve][k].supplied / float64(sum.years)
			}
			out.supply = append(out.supply, supply)
			j.progress(replicateTraces)
			return nil
		})
	return out, err
}
