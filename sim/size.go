package sim

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/parallel"
	"tankodds/sim/internal/steady"
)

// Size answers a study from a record: the grid, the size for the target, its
// band, where more storage stops paying, and the real years.
func Size(ctx context.Context, series *rainfall.Series, g gen.Generator, s *Study) (*Result, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	years := series.Years
	if years.Len() == 0 {
		return nil, fmt.Errorf("the record has no usable water year")
	}
	g = s.Stress.Apply(g)
	sampler, err := g.Fit(years)
	if err != nil {
		return nil, err
	}
	j := &job{ctx: ctx, study: s, years: years, gen: g, sampler: sampler}
	j.plan()
	r := &Result{Study: s, Simulated: j.traces * j.length,
		Usable: years.Len(), WaterYear: years.Start,
		Generator: g.Name, GeneratorWhat: g.What, GeneratorSource: g.Source}
	for _, n := range years.Filled {
		r.Filled += n
	}
	r.Findings = s.findings(years.Len())
	if d, ok := sampler.(gen.Described); ok {
		r.Params = d.Parameters()
	}

	own := Row{Scale: 1, Usable: s.usables(s.curveSizes())}
	rows := append(j.areaRows(), own)
	r.Thumbs = s.thumbs(series)
	grid, err := j.run(append(rows[:len(rows):len(rows)], Row{Scale: 1, Usable: s.thumbSizes(r.Thumbs)}))
	if err != nil {
		return nil, err
	}
	found, err := j.solve(rows, grid)
	if err != nil {
		return nil, err
	}
	r.fill(j, grid, found)
	r.judge(s, grid, len(rows))

	look := r.Main.Tank
	if math.IsNaN(look) {
		look = s.Sizes[len(s.Sizes)-1]
	}
	var reps *replicates
	switch {
	case !s.RecordError || s.Replicates == 0:
	case years.Len() == 1:
		r.unbounded(s)
	default:
		watched := Row{Scale: 1, Usable: append([]float64{s.Usable(look)}, s.thumbSizes(r.Thumbs)...)}
		if reps, err = j.replicate(append(rows, watched)); err != nil {
			return nil, err
		}
		r.bands(s, reps)
	}
	if err := j.refine(r, reps); err != nil {
		return nil, err
	}
	r.stops(s, reps)
	r.Outlook = s.outlook(r.Main.Cell, look)
	// The tank's year and the real years know nothing of each other: they are
	// worked out side by side.
	var real *ReplayResult
	r.Season = &Season{Tank: look}
	err = parallel.InOrder(ctx, s.Workers, 2, func() struct{} { return struct{}{} },
		func(_ struct{}, i int) (_ struct{}, err error) {
			if i == 0 {
				return struct{}{}, j.season(r, look)
			}
			real, err = Replay(series, s.Roofs, s.Uses, Tank{Nominal: look, Dead: s.Dead, Start: s.Start, Rule: s.Rule, Allow: s.Allow, RunIn: RunIn})
			return struct{}{}, err
		},
		func(int, struct{}) error { return nil })
	if err != nil {
		return nil, err
	}
	r.realYears(real, series)
	return r, nil
}

// job is one run of Size: what its steps share.
type job struct {
	ctx     context.Context
	study   *Study
	years   *rainfall.Years
	gen     gen.Generator
	sampler gen.Sampler
	empty   *Ensemble // without rows
	traces  int       // of the main run
	length  int       // years of each
	done    int       // units of progress
	units   int
}

// plan shares the study's years over traces of one length, makes what all
// runs share, and counts the work ahead.
func (j *job) plan() {
	j.empty = NewEnsemble(j.study, j.years.Start)
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
func (j *job) run(rows []Row) (*Totals, error) {
	e := j.empty.With(rows)
	total := &Totals{Record: j.years.Len()}
	err := parallel.InOrder(j.ctx, j.study.Workers, j.traces, e.Scratch,
		func(sc *Scratch, i int) (*TraceTally, error) {
			return e.Trace(sc, j.sampler, gen.Source(j.study.Seed, streamMain, uint64(i)), j.length)
		},
		func(_ int, t *TraceTally) error {
			total.Add(t)
			j.progress(1)
			return nil
		})
	return total, err
}

// areaRows is the grid: every area with every size.
func (j *job) areaRows() []Row {
	total := TotalArea(j.study.Roofs)
	var rows []Row
	for _, a := range j.study.Areas {
		rows = append(rows, Row{Scale: a / total, Usable: j.study.usables(j.study.Sizes)})
	}
	return rows
}

// curvePoints is how many sizes the curve of the site's own roofs has.
const curvePoints = 64

// curveSizes returns nominal sizes in equal ratios over the range of the
// study's sizes; over a twentieth to the whole of a single one. Where no row
// of the grid is for the site's own roofs the curve holds the study's sizes
// too, so that what each of them does there is known.
func (s *Study) curveSizes() []float64 {
	lo, hi := s.Sizes[0], s.Sizes[len(s.Sizes)-1]
	if lo == hi {
		lo = hi / 20
	}
	out := make([]float64, curvePoints)
	for i := range out {
		out[i] = steady.InRatio(lo, hi, float64(i)/(curvePoints-1))
	}
	if slices.Contains(s.Areas, TotalArea(s.Roofs)) {
		return out
	}
	out = slices.DeleteFunc(out, func(x float64) bool { // those that a size asked about stands for
		return slices.ContainsFunc(s.Sizes, func(size float64) bool { return math.Abs(x/size-1) < 1e-3 })
	})
	out = append(out, s.Sizes...)
	slices.Sort(out)
	return out
}

func (s *Study) usables(nominal []float64) []float64 {
	out := make([]float64, len(nominal))
	for i, x := range nominal {
		out[i] = s.Usable(x)
	}
	return out
}

// unbounded says that the record bounds neither the days met nor the water
// supplied: one year cannot be resampled, and what cannot be seen to vary is
// not known to stay. What it says of good years is bounded as ever.
func (r *Result) unbounded(s *Study) {
	open := func(c *Cell) {
		for m := Time; m <= Volume; m++ {
			x := c.at(m)
			x.Low, x.High = 0, 1
		}
	}
	for i := range r.Answers {
		open(&r.Answers[i].Cell)
	}
	for k := range r.Cells {
		open(&r.Cells[k])
	}
	for k := range r.Curve {
		open(&r.Curve[k])
	}
	open(&r.Main.Cell)
	if s.Measure == Annual {
		for i, row := range r.Rows() {
			r.Answers[i].band(s, row, nil)
		}
		r.Main.band(s, r.Curve, nil)
	}
}

// showConfidence is the confidence with which a record must be able to show a
// target before the claim goes without a warning.
const showConfidence = 0.95

// fewYears is the shortest record to size a tank from, whatever the measure:
// ten years, longer in places prone to drought (Centre for Science and
// Environment, India).
const fewYears = 10

// findings returns what a record of n usable years cannot carry, and the stress
// that the synthetic rain is under.
func (s *Study) findings(n int) []rainfall.Finding {
	var out []rainfall.Finding
	if !s.Stress.None() {
		f := rainfall.Finding{Code: "stress", Values: []rainfall.Value{{Name: "dry_spell", Dim: rainfall.InFactor, X: s.Stress.DrySpell}}}
		for m, x := range s.Stress.Rain {
			f.Values = append(f.Values, rainfall.Value{Name: time.Month(m + 1).String(), Dim: rainfall.InFactor, X: x})
		}
		out = append(out, f)
	}
	toShow, only := 0.0, 0.0 // 0 where the target is not what the record is too short for
	if need := YearsToShow(s.Target, showConfidence); s.Measure == Annual && n < need {
		toShow = float64(need)
	} else if n >= fewYears {
		return out
	}
	if s.Measure == Annual && s.RecordError && !s.Stated(n) {
		only = 1
	}
	return append(out, rainfall.Finding{Code: "short-record", Values: []rainfall.Value{
		{Name: "usable_years", Dim: rainfall.InCount, X: float64(n)},
		{Name: "least_years", Dim: rainfall.InCount, X: fewYears},
		{Name: "target", Dim: rainfall.InShare, X: s.Target},
		{Name: "years_to_show", Dim: rainfall.InCount, X: toShow},
		{Name: "synthetic_only", Dim: rainfall.InCount, X: only}, // 1 where the synthetic years alone meet the target
	}})
}
