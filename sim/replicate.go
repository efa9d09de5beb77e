package sim

import (
	"math"

	"tankodds/rainfall/gen"
	"tankodds/sim/internal/parallel"
	"tankodds/sim/internal/steady"
	"tankodds/sim/internal/store"
)

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
//
// Of a row with more tanks than the store runs side by side only so many are
// run, evenly spread and both ends among them; the others are read off between
// their neighbours, straight in the logarithm of the size. Tanks so close move
// together from record to record, and the cost is halved.
func (j *job) replicate(rows []Row) (*replicates, error) {
	run := make([]Row, len(rows))
	between := make([][]place, len(rows))
	for i, r := range rows {
		run[i], between[i] = r.thin(store.Wide)
	}
	e := j.empty.With(run)
	curve := len(rows) - 2
	out := &replicates{record: j.years.Len(), block: gen.YearBlock(j.years)}
	err := parallel.InOrder(j.ctx, j.study.Workers, j.study.Replicates, e.Scratch,
		func(sc *Scratch, b int) (*Totals, error) {
			record := gen.Resample(j.years, gen.Source(j.study.Seed, streamResample, uint64(b)))
			sampler, err := j.gen.Fit(record)
			if err != nil {
				return nil, err
			}
			sum := &Totals{}
			for k := range replicateTraces {
				rng := gen.Source(j.study.Seed, streamReplicate, uint64(b*replicateTraces+k))
				t, err := e.Trace(sc, sampler, rng, TraceYears)
				if err != nil {
					return nil, err
				}
				sum.Add(t)
			}
			return sum, nil
		},
		func(_ int, sum *Totals) error {
			rep := make([][][3]share, len(rows))
			for i := range rows {
				rep[i] = make([][3]share, len(rows[i].Usable))
				for k, at := range between[i] {
					for m := Annual; m <= Volume; m++ {
						a, b := sum.of(m, i, at.low), sum.of(m, i, at.high)
						rep[i][k][m] = share{at.between(a.value, b.value), at.between(a.variance, b.variance)}
					}
				}
			}
			out.shares = append(out.shares, rep)
			supply := make([]float64, len(rows[curve].Usable))
			for k, at := range between[curve] {
				tanks := sum.total[curve]
				supply[k] = at.between(tanks[at.low].supplied, tanks[at.high].supplied) / float64(sum.years)
			}
			out.supply = append(out.supply, supply)
			j.progress(replicateTraces)
			return nil
		})
	return out, err
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
