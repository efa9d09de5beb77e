package backtest

import (
	"context"
	"math"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim"
	"tankodds/sim/internal/steady"
	"tankodds/sim/internal/store"
)

// Streams of random numbers, beside those of package sim.
const (
	streamBacktest = 4 // traces of a window's generator
	streamJudge    = 5 // the draws that make counts continuous
)

// The sizes that a window's solver begins with: in equal ratios between these
// shares of the inflow of an average year.
const (
	leastInflow = 0.001
	mostInflow  = 3.0
	firstSizes  = 61
	cuts        = 32 // of the bracket that holds a target's size
)

// judge makes the claims of one generator from one window and holds them
// against the years that follow.
func (b *Study) judge(ctx context.Context, rec Record, gen gen.Generator, w window) ([]Case, error) {
	v := b.view(rec.Years, w)
	sampler, err := gen.Fit(v.learn)
	if err != nil {
		return nil, err
	}
	traces, err := v.traces(ctx, sampler, b)
	if err != nil {
		return nil, err
	}
	coarse, fine, err := v.solve(ctx, traces, b)
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
		for k, target := range b.Targets {
			at := v.smallest(fine.totals, i, k*cuts, (k+1)*cuts, target)
			if at < 0 {
				continue // no tank up to mostInflow meets it
			}
			c := base
			c.Target = target
			cases = append(cases, v.claim(c, fine, i, at))
		}
		for k := range b.Tanks {
			cases = append(cases, v.claim(base, coarse, i, firstSizes+k))
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
	v.annual = sim.MeanDemand(b.Uses) * rainfall.DaysPerYear
	mean := 0.0
	for _, q := range inflowOf(v.learn, b.Roofs) {
		mean += q
	}
	mean /= float64(w.learn)
	for _, d := range b.Demands {
		v.scale = append(v.scale, v.annual/(d*mean))
	}
	v.study = b.study()
	v.ensemble = sim.NewEnsemble(v.study, v.learn.Start)
	return v
}

// inflowOf joins years and returns the inflow of the roofs, L a day.
func inflowOf(y *rainfall.Years, roofs []sim.Roof) []float64 {
	var rain []float64
	for _, r := range y.Rain {
		rain = append(rain, r...)
	}
	q := make([]float64, len(rain))
	sim.Inflow(q, rain, roofs)
	return q
}

// traces draws the window's traces and returns their inflow.
func (v *view) traces(ctx context.Context, from gen.Sampler, b *Study) ([][]float64, error) {
	sc := v.ensemble.Scratch()
	out := make([][]float64, (b.Years+sim.TraceYears-1)/sim.TraceYears)
	for k := range out {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		rng := gen.Source(b.Seed, streamBacktest, uint64(v.learn.Len())<<40|uint64(v.learn.Label[0])<<20|uint64(k))
		inflow, err := v.ensemble.Draw(sc, from, rng, sim.TraceYears)
		if err != nil {
			return nil, err
		}
		out[k] = append([]float64(nil), inflow...)
	}
	return out, nil
}

// sized is the totals of some rows of tanks.
type sized struct {
	rows   []sim.Row
	totals *sim.Totals
}

func (v *view) run(ctx context.Context, traces [][]float64, rows []sim.Row) (*sized, error) {
	e := v.ensemble.With(rows)
	lanes := e.Lanes()
	out := &sized{rows, &sim.Totals{Record: v.learn.Len()}}
	for _, q := range traces {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		t, err := e.Through(lanes, q)
		if err != nil {
			return nil, err
		}
		out.totals.Add(t)
	}
	return out, nil
}

// solve runs a row a demand: first sizes far apart and the tanks given, then,
// for each target, the bracket of two sizes cut fine, to 1 %.
func (v *view) solve(ctx context.Context, traces [][]float64, b *Study) (coarse, fine *sized, err error) {
	rows := make([]sim.Row, len(b.Demands))
	for i, d := range b.Demands {
		inflow := v.annual / d
		rows[i].Scale = v.scale[i]
		for k := range firstSizes {
			rows[i].Usable = append(rows[i].Usable, inflow*steady.InRatio(leastInflow, mostInflow, float64(k)/(firstSizes-1)))
		}
		for _, f := range b.Tanks {
			rows[i].Usable = append(rows[i].Usable, f*inflow)
		}
	}
	if coarse, err = v.run(ctx, traces, rows); err != nil {
		return nil, nil, err
	}
	cut := make([]sim.Row, len(rows))
	for i, r := range rows {
		cut[i].Scale = r.Scale
		for _, target := range b.Targets {
			k := v.smallest(coarse.totals, i, 0, firstSizes, target)
			if k < 0 {
				k = firstSizes - 1
			}
			low := r.Usable[k] / 64
			if k > 0 {
				low = r.Usable[k-1]
			}
			cut[i].Usable = append(cut[i].Usable, steady.Cuts(low, r.Usable[k], cuts)...)
		}
	}
	if len(b.Targets) == 0 {
		return coarse, nil, nil
	}
	fine, err = v.run(ctx, traces, cut)
	return coarse, fine, err
}

// smallest returns the first tank of a row from a to below z that meets a
// target, as sim.Size would say, −1 where none does.
func (v *view) smallest(t *sim.Totals, i, a, z int, target float64) int {
	s := *v.study
	s.Target = target
	for k := a; k < z; k++ {
		if s.Value(t, i, k) >= target {
			return k
		}
	}
	return -1
}

// claim fills in what is claimed of tank k in row i.
func (v *view) claim(c Case, of *sized, i, k int) Case {
	said := of.totals.Claim(i, k)
	c.Tank = of.rows[i].Usable[k]
	c.Size = c.Tank * c.Demand / v.annual
	c.Share = of.totals.MonteCarlo(sim.Annual, i, k, sim.DefaultLevel)
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
	q := append(inflowOf(v.learn, b.Roofs), inflowOf(v.judged, b.Roofs)...)
	demand := sim.TraceDemand(sim.RunIn+sim.TraceYears, v.learn.Start, b.Uses)
	need := make([]float64, len(demand))
	store.Need(need, demand)
	// One source a window, not a generator: no generator draws luckier.
	rng := gen.Source(b.Seed, streamJudge, uint64(w.record)<<48|uint64(w.learn)<<32|uint64(w.start))
	for i := range cases {
		c := &cases[i]
		lanes := store.NewLanes([]float64{c.Roof / sim.TotalArea(b.Roofs)}, []float64{c.Tank}, 0)
		for y := 0; y*year < len(q); y++ {
			// The demand of a trace is that of each of its years but for the
			// day of the week they begin on.
			at := y % (sim.RunIn + sim.TraceYears) * year
			lanes.Run(b.Rule, q[y*year:(y+1)*year], demand[at:at+year], need[at:at+year])
			if y >= c.Learn && lanes.Short[0] > float64(b.Allow) {
				c.Seen++
			}
		}
		c.PIT = PIT(c.Short, c.Seen, rng.Float64())
		c.Inside50, c.Inside80, c.Inside90 = Central(c.PIT, 0.5), Central(c.PIT, 0.8), Central(c.PIT, 0.9)
	}
}
