package backtest

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/near"
	"tankodds/sim"
	"tankodds/sim/internal/store"
)

// Streams of random numbers, beside those of package sim.
const (
	streamBacktest = 4 // traces of a window's generator
	streamJudge    = 5 // the draws that make counts continuous
)

// mostInflow is the largest tank that is tried, a share of the inflow of an
// average year, and step the ratio of those that are: so few that they go through
// the days side by side.
const (
	mostInflow = 3.0
	step       = 1.075
)

// judge makes the claims of one generator from one window and holds them
// against the years that follow.
func (b *Study) judge(ctx context.Context, rec Record, gen gen.Generator, w window) ([]Case, error) {
	v := b.view(rec.Years, w)
	lent := v.borrow(rec.Near).Lent()
	sampler, err := gen.Fit(v.learnt)
	if err != nil {
		return nil, err
	}
	run, err := v.simulate(ctx, sampler, b)
	if err != nil {
		return nil, err
	}
	var cases []Case
	for i, d := range b.Demands {
		t := &tanks{view: v, run: run, row: i, weights: run.Weights(i, sim.DefaultLevel), past: v.past(b, i)}
		base := Case{
			Record: rec.Name, Generator: gen.Name,
			LearnFrom: v.learn.Label[0], LearnTo: v.learn.Label[w.learn-1], Learn: w.learn,
			JudgeFrom: v.judged.Label[0], JudgeTo: v.judged.Label[v.judged.Len()-1], Judge: v.judged.Len(),
			Lent: lent, Demand: d, Target: math.NaN(), Roof: v.scale[i] * sim.TotalArea(b.Roofs),
			Least: math.NaN(), Safe: math.NaN(), Chance: math.NaN(), Needs: math.NaN(),
		}
		for _, g := range b.goals() {
			if c, ok := t.sized(base, g); ok { // else no tank that is tried meets it
				cases = append(cases, c)
			}
		}
		for _, f := range b.Tanks {
			for m := sim.Annual; m <= sim.Volume; m++ {
				c := base
				c.Measure = m
				cases = append(cases, t.claim(c, t.weights, v.sizes.At(f*v.annual/d)))
			}
		}
	}
	// One source a window, not a generator: no generator draws luckier.
	rng := rngOf(b, w)
	for i := range cases {
		c := &cases[i]
		c.PIT = c.ahead.pit(c.Failed, rng.Float64())
		c.Inside50, c.Inside80, c.Inside90 = Central(c.PIT, 0.5), Central(c.PIT, 0.8), Central(c.PIT, 0.9)
	}
	return cases, nil
}

func rngOf(b *Study, w window) *rand.Rand {
	return gen.Source(b.Seed, streamJudge, uint64(w.record)<<48|uint64(w.learn)<<32|uint64(w.start))
}

// view is what a window sees: the years it learns from, and those that judge
// it, which only outcomes reads.
type view struct {
	learn, judged *rainfall.Years
	learnt        *rainfall.Years // with what neighbours lend
	evidence      sim.Evidence
	study         *sim.Study // the question, but for its target
	ensemble      *sim.Ensemble
	sizes         *sim.Sizes
	ladder        []int     // of them, what is tried for a target
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
	ladder := v.study.Ladder(mostInflow/slices.Min(b.Demands), step)
	var given []float64
	for _, f := range b.Tanks {
		for _, d := range b.Demands {
			given = append(given, f*v.annual/d)
		}
	}
	v.sizes = v.study.NewSizes(ladder, given...)
	v.ladder = v.sizes.Places(ladder)
	return v
}

// borrow lets neighbours lend what they knew before the years that judge.
func (v *view) borrow(from []near.Station) (lent *rainfall.Lending) {
	v.learnt, v.evidence = v.learn, sim.Weigh(v.learn)
	if v.learn.Len() < near.LeastOwn {
		return nil
	}
	var known []near.Station
	for _, s := range from {
		var index []int
		for i, label := range s.Years.Label {
			if label < v.judged.Label[0] {
				index = append(index, i)
			}
		}
		if s.Years = s.Years.Pick(index); s.Years.Len() >= near.LeastYears {
			known = append(known, s)
		}
	}
	if lent = near.Borrow(v.learn, known); lent.Lent() {
		v.learnt, v.evidence = lent.Years, v.evidence.With(lent)
	}
	return lent
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

// simulate takes tanks through the window's traces, a row a demand.
func (v *view) simulate(ctx context.Context, from gen.Sampler, b *Study) (*sim.Totals, error) {
	rows := make([]sim.Row, len(b.Demands))
	for i := range rows {
		rows[i] = sim.Row{Scale: v.scale[i], Sizes: v.sizes, Ladder: v.ladder}
	}
	e := v.ensemble.With(rows...)
	sc, out := e.Scratch(), sim.NewTotals(rows, v.evidence)
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

// tanks are those of one demand.
type tanks struct {
	*view
	run     *sim.Totals
	row     int
	weights *sim.Weights
	past    *past
}

// sized is the case of the tank that meets a goal, by what the window lets be
// said; ok says whether there is one.
func (t *tanks) sized(c Case, g goal) (_ Case, ok bool) {
	w := *t.weights
	w.Heed(g.measure, g.share, t.run.Evidence)
	// What is claimed of tanks, and what they do, rises with their size.
	first := func(ok func(size int) bool) int {
		return sort.Search(len(t.ladder), func(k int) bool { return ok(t.ladder[k]) })
	}
	at := first(func(size int) bool { return t.run.Claim(&w, g.measure, t.row, size).Held() >= g.share })
	if at == len(t.ladder) || t.sizes.Nominal[t.ladder[at]] > mostInflow*t.annual/c.Demand {
		return c, false
	}
	c.Measure, c.Target = g.measure, g.share
	c = t.claim(c, &w, t.ladder[at])
	is := func(size int) sim.Interval {
		return t.run.Claim(&w, g.measure, t.row, size).Interval
	}
	c.Least = t.sizes.Nominal[t.ladder[min(at, first(func(size int) bool { return is(size).High >= g.share }))]]
	if k := first(func(size int) bool { return is(size).Low >= g.share }); k < len(t.ladder) && w.Shows(g.measure, t.run.Evidence) {
		size := t.ladder[max(k, at)]
		c.Safe = t.sizes.Nominal[size]
		c.Chance = t.ahead(c, &w, size).atMost(1 - g.share)
		c.SafeMet = t.past.fails(g.measure, c.Safe) <= 1-g.share
	}
	met := first(func(size int) bool { return t.past.fails(g.measure, t.sizes.Nominal[size]) <= 1-g.share })
	if met < len(t.ladder) {
		c.Needs = t.sizes.Nominal[t.ladder[met]]
	}
	c.Sized = c.Least <= c.Needs && !(c.Needs > c.Safe) || math.IsNaN(c.Needs) && math.IsNaN(c.Safe)
	return c, true
}

// claim fills in what is claimed of a tank, and what came.
func (t *tanks) claim(c Case, w *sim.Weights, size int) Case {
	c.Tank = t.sizes.Nominal[size]
	c.Size = c.Tank * c.Demand / t.annual
	c.Share = t.run.MonteCarlo(c.Measure, t.row, size, sim.DefaultLevel)
	c.Claim = t.run.Claim(w, c.Measure, t.row, size).Interval
	c.ahead = t.ahead(c, w, size)
	c.Low50, c.High50 = c.ahead.interval(0.5)
	c.Low80, c.High80 = c.ahead.interval(0.8)
	c.Low90, c.High90 = c.ahead.interval(0.9)
	c.None = c.ahead.none
	c.NaiveLow, c.NaiveHigh = t.naive(c, size).interval(0.9)
	c.Short = t.past.short(c.Tank)
	c.Failed = t.past.fails(c.Measure, c.Tank)
	return c
}

// ahead is what a claim says of the years that judge: the record's error and
// chance together.
func (t *tanks) ahead(c Case, w *sim.Weights, size int) ahead {
	years := t.run.Claim(w, sim.Annual, t.row, size).Outlook(c.Judge)
	if c.Measure == sim.Annual {
		return counted(years)
	}
	none := years[0]
	if t.study.Allow > 0 { // a year without a short year has short days
		none = 0
	}
	mean, variance := t.run.Claim(w, c.Measure, t.row, size).Fails()
	return mixed(none, mean, variance+t.run.Chance(c.Measure, t.row, size, c.Judge))
}

// naive is ahead were the synthetic years the truth.
func (t *tanks) naive(c Case, size int) ahead {
	is := 1 - c.Share.Estimate
	if c.Measure == sim.Annual {
		p := make([]float64, c.Judge+1)
		for x := range p {
			p[x] = distuv.Binomial{N: float64(c.Judge), P: is}.Prob(float64(x))
		}
		return counted(p)
	}
	short := 1 - t.run.MonteCarlo(sim.Annual, t.row, size, sim.DefaultLevel).Estimate
	return mixed(math.Pow(1-short, float64(c.Judge)), is, t.run.Chance(c.Measure, t.row, size, c.Judge))
}

// past is what the real years do with tanks of one demand: first those learnt
// from, so that the tank holds on the first day judged what it would have held,
// then those that judge. Years that the record lacks between them are passed
// over.
type past struct {
	rule   sim.Rule
	allow  int
	learn  int     // years
	inflow []int64 // of every day, units
	demand []int64
	known  map[float64]outcome // by size
}

// outcome is what the years that judge lack with a tank.
type outcome struct {
	years, short, days int
	wanted, supplied   int64
}

func (v *view) past(b *Study, row int) *past {
	roofs := slices.Clone(b.Roofs)
	for i := range roofs {
		roofs[i].Area *= v.scale[row]
	}
	p := &past{rule: b.Rule, allow: b.Allow, learn: v.learn.Len(), known: map[float64]outcome{}}
	p.inflow = append(inflowOf(v.learn, roofs), inflowOf(v.judged, roofs)...)
	for y := range v.learn.Len() + v.judged.Len() {
		// The demand of a trace is that of each of its years but for the day of
		// the week they begin on.
		p.demand = append(p.demand, v.ensemble.Demand(y%(sim.RunIn+sim.TraceYears))...)
	}
	return p
}

// of runs them, a day at a time.
func (p *past) of(size float64) outcome {
	if out, ok := p.known[size]; ok {
		return out
	}
	out, held, usable, short := outcome{}, int64(0), store.Units(size), 0
	for t, q := range p.inflow {
		var yield int64
		d := p.demand[t]
		if yield, _, held = p.rule.Day(usable, held, q, d); t < p.learn*rainfall.DaysPerYear {
			continue
		}
		out.wanted += d
		out.supplied += yield
		if yield < d {
			short++
		}
		if (t+1)%rainfall.DaysPerYear == 0 {
			out.years++
			out.days += short
			if short > p.allow {
				out.short++
			}
			short = 0
		}
	}
	p.known[size] = out
	return out
}

func (p *past) short(size float64) int { return p.of(size).short }

// fails is the share that failed.
func (p *past) fails(m sim.Measure, size float64) float64 {
	x := p.of(size)
	switch m {
	case sim.Time:
		return float64(x.days) / float64(x.years*rainfall.DaysPerYear)
	case sim.Volume:
		return 1 - float64(x.supplied)/float64(x.wanted)
	}
	return float64(x.short) / float64(x.years)
}
