package sim

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

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
	given    gen.Generator
	gen      gen.Generator // the same under the study's stress
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
	if s.Beds() {
		met := *s
		met.Uses = s.WithBeds(series)
		if s = &met; s.Check() != nil {
			return nil, s.Check()
		}
	}
	q := &Question{study: s, series: series, given: g, gen: s.Stress.Apply(g), ensemble: NewEnsemble(s, series.Years.Start).Under(series)}
	var err error
	if q.sampler, err = q.gen.Fit(series.Learnt()); err != nil {
		return nil, err
	}
	q.traces = (s.Years + TraceYears - 1) / TraceYears
	q.length = (s.Years + q.traces - 1) / q.traces
	q.progress = &progress{show: s.Progress, all: q.traces + min(q.traces, seasonTraces)}
	if s.Slow() {
		q.progress.all += nearingRounds * q.traces
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

// Simulate takes tanks of every size through the main traces, the same for the
// same seed, and tells what those of rows do.
func (q *Question) Simulate(ctx context.Context, rows ...Row) (*Totals, error) {
	e := q.ensemble.With(rows...)
	total := NewTotals(rows, Weigh(q.series.Years).With(q.series.Near))
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

// Curves is the main run: what tanks of every size do under every roof area.
type Curves struct {
	Areas   []float64   // total roof areas, m²: those of the study, then the site's own
	Listed  [][]float64 // the nominal sizes, L, rising, that are shown of each: those asked about; of the own roofs fine steps
	Thumbs  []Thumb     // the rules of thumb, without their cells
	Rungs   []float64   // the nominal sizes, L, rising, that an answer may be
	Totals  *Totals     // of all that is shown and, where years do not tell them, of Rungs
	rows    []int       // of Totals, by area
	weights []*Weights  // by area
}

// claim is what the record lets be said of a measure of a tank that was run.
func (c *Curves) claim(m Measure, k tank) Claim {
	return k.run.Claim(c.weights[k.area], m, k.row, k.size)
}

// tank is a tank that was run.
type tank struct {
	nominal   float64 // L
	area      int     // of Curves.Areas
	run       *Totals
	row, size int // in the run
}

// tank finds one of area i in the main run.
func (c *Curves) tank(i int, nominal float64) tank {
	row := c.rows[i]
	return tank{nominal, i, c.Totals, row, c.Totals.rows[row].Sizes.At(nominal)}
}

// own is the row of Totals of the site's own roofs.
func (c *Curves) own() int { return c.rows[len(c.rows)-1] }

// supplied is what a nominal size under them, looked at in the main run,
// supplies, L a year.
func (c *Curves) supplied(nominal float64) float64 {
	k := c.tank(len(c.rows)-1, nominal)
	return k.run.total[k.row][k.size].supplied / float64(k.run.years)
}

// Curves runs them.
func (q *Question) Curves(ctx context.Context) (*Curves, error) {
	if q.study.Slow() {
		return q.nearing(ctx)
	}
	return q.curves(ctx, q.study.rungs())
}

// curves runs them with the sizes that an answer may be.
func (q *Question) curves(ctx context.Context, rungs []float64) (*Curves, error) {
	s := q.study
	own := TotalArea(s.Roofs)
	c := &Curves{Areas: append(slices.Clip(s.Areas), own), Thumbs: s.thumbs(q.series), Rungs: rungs}
	curve := s.curveSizes()
	all := append(slices.Clip(s.Sizes), curve...)
	for _, t := range c.Thumbs {
		all = append(all, t.Tank)
	}
	if s.Costs != nil {
		all = append(all, s.Costs.Sizes...)
	}
	// What years need tells which size meets a target for good years; for the
	// other measures, and for all that is shown of the own roofs, every rung is
	// looked at.
	ladder := s.thin(c.Rungs)
	every, few := s.NewSizes(all, c.Rungs...), s.NewSizes(s.Sizes, ladder...)
	if s.Measure != Annual || s.Slow() {
		few = s.NewSizes(s.Sizes, c.Rungs...)
	}
	var rows []Row
	for i, area := range c.Areas {
		c.Listed = append(c.Listed, s.Sizes)
		at := slices.Index(c.Areas[:i], area)
		if at >= 0 {
			c.rows = append(c.rows, c.rows[at])
			continue
		}
		c.rows = append(c.rows, len(rows))
		sizes := few
		if area == own {
			sizes = every
		}
		rows = append(rows, Row{Scale: area / own, Sizes: sizes, Ladder: sizes.Places(ladder)})
	}
	c.Listed[len(s.Areas)] = curve
	var err error
	if c.Totals, err = q.Simulate(ctx, rows...); err != nil {
		return nil, err
	}
	return c, q.weigh(ctx, c)
}

// weigh sets what the tanks of each row have in common.
func (q *Question) weigh(ctx context.Context, c *Curves) error {
	s, of := q.study, make([]*Weights, len(c.Totals.rows))
	err := parallel.InOrder(ctx, s.Workers, len(of), func() struct{} { return struct{}{} },
		func(_ struct{}, row int) (*Weights, error) {
			return c.Totals.Weights(row, s.Level).Heed(s.Measure, s.Target, c.Totals.Evidence), nil
		},
		func(row int, w *Weights) error { of[row] = w; return nil })
	c.weights = nil
	for _, row := range c.rows {
		c.weights = append(c.weights, of[row])
	}
	return err
}

// Aim puts another target to a main run that was made for time or volume, which
// looks at every size that an answer may be under every roof area.
func (q *Question) Aim(c *Curves, m Measure, target float64) (*Question, *Curves) {
	study, question, curves := *q.study, *q, *c
	study.Measure, study.Target = m, target
	question.study = &study
	curves.weights = nil
	for _, w := range c.weights {
		again := *w
		curves.weights = append(curves.weights, again.Heed(m, target, c.Totals.Evidence))
	}
	return &question, &curves
}

// Seen is a measure, among the synthetic years, of a nominal size under area i
// that the main run looked at.
func (c *Curves) Seen(m Measure, i int, nominal float64) float64 {
	k := c.tank(i, nominal)
	return k.run.of(m, k.row, k.size).value
}

// thin keeps so many of the sizes that an answer may be, of which so much more
// can be drawn from each to the next, that what a year short with a tank looks
// like can be read between them.
func (s *Study) thin(rungs []float64) (out []float64) {
	const ratio = 1.15
	last := 0.0
	for _, x := range rungs {
		if usable := s.Usable(x); usable >= ratio*last {
			out, last = append(out, x), usable
		}
	}
	return out
}

// curvePoints is how many sizes the curve of the site's own roofs has, and
// slowPoints where each of them is looked at by itself.
const (
	curvePoints = 128
	slowPoints  = 48
)

// curveSizes returns nominal sizes in equal ratios over the range of the
// study's sizes; over a twentieth to the whole of a single one. Where no row
// of the grid is for the site's own roofs the curve holds the study's sizes
// too, so that what each of them does there is known.
func (s *Study) curveSizes() []float64 {
	lo, hi := s.Sizes[0], s.largest()
	if lo == hi {
		lo = hi / 20
		if s.Under != (Under{}) {
			lo = s.Nominal(s.Usable(hi) / 20)
		}
	}
	points := curvePoints
	if s.Slow() {
		points = slowPoints
	}
	out := steady.Ratios(lo, hi, points)
	for i := 1; i < len(out)-1; i++ { // what is said of a size is of the size as it is printed
		out[i] = float64(digits(out[i]/s.Unit) * s.Unit)
	}
	slices.Sort(out)
	out = slices.Compact(out)
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

// digits rounds to three digits.
func digits(x float64) float64 {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64)
	return rounded
}

// largest is the largest nominal size asked about, L.
func (s *Study) largest() float64 { return s.Sizes[len(s.Sizes)-1] }
