package sim

import (
	"context"
	"fmt"
	"math"

	"tankodds/rainfall"
)

// Size answers a study from a record: the grid, the size for the target, its
// band, where more storage stops paying, and the real years.
func Size(ctx context.Context, series *rainfall.Series, gen rainfall.Generator, s *Study) (*Result, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	years := series.Years
	if years.Len() == 0 {
		return nil, fmt.Errorf("the record has no usable water year")
	}
	sampler, err := gen.Fit(years)
	if err != nil {
		return nil, err
	}
	j := &job{ctx: ctx, study: s, years: years, gen: gen, sampler: sampler}
	j.plan()
	r := &Result{Study: s, Years: years, Generator: gen, Simulated: j.traces * j.length}
	r.warn()
	if d, ok := sampler.(rainfall.Described); ok {
		r.Params = d.Parameters()
	}

	own := row{scale: 1, usable: s.usables(s.curveSizes())}
	rows := append(j.areaRows(), own)
	r.Thumbs = s.thumbs(series)
	grid, err := j.run(append(rows[:len(rows):len(rows)], row{scale: 1, usable: s.thumbSizes(r.Thumbs)}))
	if err != nil {
		return nil, err
	}
	found, err := j.solve(rows, grid)
	if err != nil {
		return nil, err
	}
	r.fill(s, grid, found)
	r.judge(s, grid, len(rows))

	look := r.Main.Tank
	if math.IsNaN(look) {
		look = s.Sizes[len(s.Sizes)-1]
	}
	var reps *replicates
	if s.RecordError && s.Replicates > 0 {
		watched := row{scale: 1, usable: append([]float64{s.Usable(look)}, s.thumbSizes(r.Thumbs)...), yearly: true}
		if reps, err = j.replicate(append(rows, watched)); err != nil {
			return nil, err
		}
		r.bands(s, grid, reps)
	}
	r.stops(s, reps)
	if err := j.season(r, look, reps); err != nil {
		return nil, err
	}
	return r, r.replay(s, series, look)
}

// job is one run of Size: what its steps share.
type job struct {
	ctx     context.Context
	study   *Study
	years   *rainfall.Years
	gen     rainfall.Generator
	sampler rainfall.Sampler
	traces  int // of the main run
	length  int // years of each
	done    int // units of progress
	units   int
}

// plan shares the study's years over traces of one length and counts the
// work ahead.
func (j *job) plan() {
	j.traces = (j.study.Years + TraceYears - 1) / TraceYears
	j.length = (j.study.Years + j.traces - 1) / j.traces
	j.units = 3 * j.traces
	if j.study.RecordError {
		j.units += j.study.Replicates * replicateTraces
	}
}

func (j *job) progress(n int) {
	j.done = min(j.done+n, j.units)
	if j.study.Progress != nil {
		j.study.Progress(j.done, j.units)
	}
}

// run takes the main traces through the rows.
func (j *job) run(rows []row) (*totals, error) {
	e := newEnsemble(j.study, j.years, rows)
	total := &totals{}
	err := inOrder(j.ctx, j.study.Workers, j.traces, newScratch,
		func(sc *scratch, i int) (*traceTally, error) {
			return e.trace(sc, j.sampler, rainfall.Source(j.study.Seed, streamMain, uint64(i)), j.length)
		},
		func(_ int, t *traceTally) error {
			total.add(t)
			j.progress(1)
			return nil
		})
	return total, err
}

// areaRows is the grid: every area with every size.
func (j *job) areaRows() []row {
	total := TotalArea(j.study.Roofs)
	var rows []row
	for _, a := range j.study.Areas {
		rows = append(rows, row{scale: a / total, usable: j.study.usables(j.study.Sizes)})
	}
	return rows
}

// curvePoints is how many sizes the curve of the site's own roofs has.
const curvePoints = 64

// curveSizes returns nominal sizes in equal ratios over the range of the
// study's sizes; over a twentieth to the whole of a single one.
func (s *Study) curveSizes() []float64 {
	lo, hi := s.Sizes[0], s.Sizes[len(s.Sizes)-1]
	if lo == hi {
		lo = hi / 20
	}
	out := make([]float64, curvePoints)
	for i := range out {
		out[i] = lo * math.Pow(hi/lo, float64(i)/(curvePoints-1))
	}
	out[curvePoints-1] = hi
	return out
}

func (s *Study) usables(nominal []float64) []float64 {
	out := make([]float64, len(nominal))
	for i, x := range nominal {
		out[i] = s.Usable(x)
	}
	return out
}

// showConfidence is the confidence with which a record must be able to show a
// target before the claim goes without a warning.
const showConfidence = 0.95

// warn says what the record cannot carry.
func (r *Result) warn() {
	n, s := r.Years.Len(), r.Study
	if s.Measure != Annual {
		return
	}
	if need := YearsToShow(s.Target, showConfidence); n < need {
		r.Warnings = append(r.Warnings, rainfall.Warning{Code: "short-record", Text: fmt.Sprintf(
			"%d usable years are too few to show %s: even with no failure in them it would take %d", n, percent(s.Target), need)})
	}
}
