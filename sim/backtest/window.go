package backtest

import (
	"context"
	"math"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim"
	"tankodds/sim/internal/store"
)

// Streams of random numbers, beside those of package sim.
const (
	streamBacktest = 4 // traces of a window's generator
	streamJudge    = 5 // the draws that make counts continuous
)

// mostInflow is the largest tank that is tried, a share of the inflow of an
// average year.
const mostInflow = 3.0

// judge makes the claims of one generator from one window and holds them
// against the years that follow.
func (b *Study) judge(ctx context.Context, rec Record, gen gen.Generator, w window) ([]Case, error) {
	v := b.view(rec.Years, w)
	sampler, err := gen.Fit(v.learn)
	if err != nil {
		return nil, err
	}
	run, err := v.simulate(ctx, sampler, b)
	if err != nil {
		return nil, err
	}
	var cases []Case
	for i, d := range b.Demands {
		base := Case{
			Record: rec.Name, Generator: gen.Name,
			LearnFrom: v.learn.Label[0], LearnTo: v.learn.Label[w.learn-1], Learn: w.learn,
			JudgeFrom: v.judged.Label[0], JudgeTo: v.judged.Label[v.judged.Len()-1], Judge: v.judged.Len(),
			Demand: d, Target: math.NaN(), Roof: v.scale[i] * sim.TotalArea(b.Roofs),
		}
		inflow, weights := v.annual/d, run.Weights(i)
		for _, target := range b.Targets {
			s := *v.study
			s.Target = target
			heeding := *weights
			heeding.Heed(s.Measure, target, s.Level, run.Evidence)
			size, ok := s.Smallest(run, &heeding, i, store.Units(mostInflow*inflow))
			if !ok {
				continue // no tank up to mostInflow meets it
			}
			c := base
			c.Target = target
			cases = append(cases, v.claim(c, run, &heeding, i, size))
		}
		for _, f := range b.Tanks {
			cases = append(cases, v.claim(base, run, weights, i, store.Units(f*inflow)))
		}
	}
	v.outcomes(b, w, cases)
	return cases, nil
}

// view is what a window sees: the years it learns from, and those that judge
// it, which only outcomes reads.
type view struct {
	learn, judged *rainfall.Years
	study         *sim.Study // the question, but for its target
	ensemble      *sim.Ensemble
	annual        float64   // demand of a year, L
	scale         []float64 // of the roofs, a demand
}

func (b *Study) view(years *rainfall.Years, w window) *view {
	span := func(from, to int) *rainfall.Years {
		var index []int
		for i := from; i < min(to, years.Len()); i++ {
			index = append(index, i)
		}
		return years.Pick(index)
	}
	end := w.start + w.learn
	v := &view{learn: span(w.start, end), judged: span(end, end+b.Judge)}
	v.annual = b.annual()
	mean := meanInflow(slices.Concat(v.learn.Rain...), b.Roofs)
	for _, d := range b.Demands {
		v.scale = append(v.scale, v.annual/(d*mean))
	}
	v.study = b.study()
	v.ensemble = sim.NewEnsemble(v.study, v.learn.Start)
	return v
}

// StorageYear is when stores are fullest, as sim.Study.StorageYear finds it, over
// so many years at the beginning of a record as the shortest window learns from:
// no window is cut by what only the years that judge it tell. The roofs are scaled
// to the demand that is the median.
func (b *Study) StorageYear(r *rainfall.Record) (time.Month, bool) {
	known := *r
	known.Depth = r.Depth[:min(len(r.Depth), slices.Min(b.Learn)*rainfall.DaysPerYear)]
	s := b.study()
	s.Roofs = slices.Clone(b.Roofs)
	mean := meanInflow(slices.DeleteFunc(slices.Clone(known.Depth), math.IsNaN), b.Roofs)
	demands := slices.Sorted(slices.Values(b.Demands))
	for i := range s.Roofs {
		s.Roofs[i].Area *= b.annual() / (demands[len(demands)/2] * mean)
	}
	return s.StorageYear(&known)
}

// annual is the demand of a year, L.
func (b *Study) annual() float64 { return sim.MeanDemand(b.Uses) * rainfall.DaysPerYear }

// meanInflow is what roofs give of days of rain, L a year.
func meanInflow(rain []float64, roofs []sim.Roof) float64 {
	q := make([]int64, len(rain))
	sim.Inflow(q, rain, roofs)
	sum := int64(0)
	for _, x := range q {
		sum += x
	}
	return store.Litres(sum) / float64(len(rain)) * rainfall.DaysPerYear
}

// inflowOf joins years and returns the inflow of the roofs, units a day.
func inflowOf(y *rainfall.Years, roofs []sim.Roof) []int64 {
	rain := slices.Concat(y.Rain...)
	q := make([]int64, len(rain))
	sim.Inflow(q, rain, roofs)
	return q
}

// simulate finds what the years of the window's traces need, a row a demand.
func (v *view) simulate(ctx context.Context, from gen.Sampler, b *Study) (*sim.Totals, error) {
	rows := make([]sim.Row, len(b.Demands))
	for i := range rows {
		rows[i].Scale = v.scale[i]
	}
	e := v.ensemble.With(rows...)
	sc, out := e.Scratch(), sim.NewTotals(rows, sim.Weigh(v.learn))
	for k := range (b.Years + sim.TraceYears - 1) / sim.TraceYears {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		rng := gen.Source(b.Seed, streamBacktest, uint64(v.learn.Len())<<40|uint64(v.learn.Label[0])<<20|uint64(k))
		t, err := e.Trace(sc, from, rng, sim.TraceYears)
		if err != nil {
			return nil, err
		}
		out.Add(t)
	}
	return out, nil
}

// claim fills in what is claimed of a tank of a usable size, units, in row i.
func (v *view) claim(c Case, run *sim.Totals, w *sim.Weights, i int, size int64) Case {
	said := run.ClaimAt(w, i, size)
	c.Tank = store.Litres(size)
	c.Size = c.Tank * c.Demand / v.annual
	c.Share = run.GoodYears(i, size, sim.DefaultLevel)
	c.Claim = said.Interval(sim.DefaultLevel)
	c.Short = said.Outlook(c.Judge)
	c.Low50, c.High50 = sim.CountInterval(c.Short, 0.5)
	c.Low80, c.High80 = sim.CountInterval(c.Short, 0.8)
	c.Low90, c.High90 = sim.CountInterval(c.Short, 0.9)
	c.None = c.Short[0]
	return c
}

// outcomes runs the real years through the tanks of the cases: first those
// learnt from, so that the tank holds on the first day judged what it would
// have held, then those that judge. Years that the record lacks between them
// are passed over.
func (v *view) outcomes(b *Study, w window, cases []Case) {
	const year = rainfall.DaysPerYear
	learn := v.learn.Len()
	needs := map[float64][]int64{} // of the years that judge, by roof area
	for _, c := range cases {
		if needs[c.Roof] != nil {
			continue
		}
		roofs := slices.Clone(b.Roofs)
		for i := range roofs {
			roofs[i].Area *= c.Roof / sim.TotalArea(b.Roofs)
		}
		q := append(inflowOf(v.learn, roofs), inflowOf(v.judged, roofs)...)
		sweep := store.NewSweep(b.Rule, 0)
		for y := 0; y*year < len(q); y++ {
			// The demand of a trace is that of each of its years but for the
			// day of the week they begin on.
			d := v.ensemble.Demand(y % (sim.RunIn + sim.TraceYears))
			if need := sweep.Run(q[y*year:(y+1)*year], d, b.Allow, nil); y >= learn {
				needs[c.Roof] = append(needs[c.Roof], need)
			}
		}
	}
	// One source a window, not a generator: no generator draws luckier.
	rng := gen.Source(b.Seed, streamJudge, uint64(w.record)<<48|uint64(w.learn)<<32|uint64(w.start))
	for i := range cases {
		c := &cases[i]
		for _, need := range needs[c.Roof] {
			if need > store.Units(c.Tank) {
				c.Seen++
			}
		}
		c.PIT = PIT(c.Short, c.Seen, rng.Float64())
		c.Inside50, c.Inside80, c.Inside90 = Central(c.PIT, 0.5), Central(c.PIT, 0.8), Central(c.PIT, 0.9)
	}
}
