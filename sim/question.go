package sim

import (
	"context"
	"fmt"
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/parallel"
	"tankodds/sim/internal/steady"
)

// Question is a study put to a record: checked, and the generator fitted. Its
// methods are the stages of an answer; none changes it or what another gave,
// but for the count of the work done.
type Question struct {
	study    *Study
	series   *rainfall.Series
	gen      gen.Generator // under the study's stress
	sampler  gen.Sampler
	ensemble *Ensemble // without rows
	traces   int       // of the main run
	length   int       // years of each
	progress *progress
}

// Ask puts a study to a record.
func Ask(series *rainfall.Series, g gen.Generator, s *Study) (*Question, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	if series.Years.Len() == 0 {
		return nil, fmt.Errorf("the record has no usable water year")
	}
	q := &Question{study: s, series: series, gen: s.Stress.Apply(g), ensemble: NewEnsemble(s, series.Years.Start)}
	var err error
	if q.sampler, err = q.gen.Fit(series.Years); err != nil {
		return nil, err
	}
	q.traces = (s.Years + TraceYears - 1) / TraceYears
	q.length = (s.Years + q.traces - 1) / q.traces
	q.progress = &progress{show: s.Progress, all: 3 * q.traces}
	if s.RecordError {
		q.progress.all += s.Replicates * replicateTraces
	}
	return q, nil
}

// progress counts traces.
type progress struct {
	done, all int
	show      func(done, all int) // may be nil
}

func (p *progress) add(n int) {
	p.done = min(p.done+n, p.all)
	if p.show != nil {
		p.show(p.done, p.all)
	}
}

// Simulate takes the main traces, the same for the same seed, through rows of
// tanks.
func (q *Question) Simulate(ctx context.Context, rows []Row) (*Totals, error) {
	e := q.ensemble.With(rows)
	total := &Totals{Record: q.series.Years.Len()}
	err := parallel.InOrder(ctx, q.study.Workers, q.traces, e.Scratch,
		func(sc *Scratch, i int) (*TraceTally, error) {
			return e.Trace(sc, q.sampler, gen.Source(q.study.Seed, streamMain, uint64(i)), q.length)
		},
		func(_ int, t *TraceTally) error {
			total.Add(t)
			q.progress.add(1)
			return nil
		})
	return total, err
}

// Curves is the main run: the tanks asked about under every roof area, those of
// the site's own roofs at fine steps, and those of the rules of thumb.
type Curves struct {
	Areas  []float64   // total roof areas, m²: those of the study, then the site's own
	Sizes  [][]float64 // the nominal sizes of each, L, rising
	Rows   []Row       // the same tanks as they are run
	Thumbs []Thumb     // without their cells
	Totals *Totals     // of Rows, and of the sizes of Thumbs in one row more
}

// Curves runs them.
func (q *Question) Curves(ctx context.Context) (*Curves, error) {
	s := q.study
	own := TotalArea(s.Roofs)
	c := &Curves{Areas: append(slices.Clip(s.Areas), own), Thumbs: s.thumbs(q.series)}
	for i, area := range c.Areas {
		sizes := s.Sizes
		if i == len(s.Areas) {
			sizes = s.curveSizes()
		}
		c.Sizes = append(c.Sizes, sizes)
		c.Rows = append(c.Rows, Row{Scale: area / own, Usable: s.usables(sizes)})
	}
	var err error
	c.Totals, err = q.Simulate(ctx, append(slices.Clip(c.Rows), Row{Scale: 1, Usable: s.thumbSizes(c.Thumbs)}))
	return c, err
}

// curvePoints is how many sizes the curve of the site's own roofs has.
const curvePoints = 64

// curveSizes returns nominal sizes in equal ratios over the range of the
// study's sizes; over a twentieth to the whole of a single one. Where no row
// of the grid is for the site's own roofs the curve holds the study's sizes
// too, so that what each of them does there is known.
func (s *Study) curveSizes() []float64 {
	lo, hi := s.Sizes[0], s.largest()
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

// largest is the largest nominal size asked about, L.
func (s *Study) largest() float64 { return s.Sizes[len(s.Sizes)-1] }

func (s *Study) usables(nominal []float64) []float64 {
	out := make([]float64, len(nominal))
	for i, x := range nominal {
		out[i] = s.Usable(x)
	}
	return out
}
