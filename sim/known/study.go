package known

import (
	"context"
	"math"
	"math/rand/v2"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim"
	"tankodds/sim/internal/parallel"
)

// Study is what is asked of every climate: records of each length are drawn from
// it, a tank is sized from each for every target, and what is said of it is held
// against the climate's own truth.
type Study struct {
	Worlds  []*World
	Lengths []int         // of the records, usable years
	Records int           // of each length
	Targets []Target      // each asked of each record
	Years   int           // synthetic years a record
	Truth   int           // years that the truth is taken from
	Gen     gen.Generator // that learns from the records
	Seed    uint64
	Workers int
	Show    func(done, total int) // may be nil
}

// Target is a measure and the share of it to be met.
type Target struct {
	Measure sim.Measure
	Share   float64
}

// NewStudy returns what is taken where nothing is said.
func NewStudy() *Study {
	return &Study{
		Worlds: Worlds(), Lengths: []int{15, 30, 60}, Records: 40,
		Targets: []Target{{sim.Annual, 0.8}, {sim.Annual, 0.9}, {sim.Annual, 0.95}, {sim.Time, 0.95}, {sim.Time, 0.99}, {sim.Volume, 0.8}, {sim.Volume, 0.95}},
		Years:   10_000, Truth: 200_000, Gen: gen.All()[0], Seed: 1,
	}
}

// Case is what was said from one record for one target, and the truth.
type Case struct {
	World  *World
	Demand float64 // share of the mean inflow
	Usable int
	Record int // its number
	Target
	Answer sim.Answer
	True   float64 // what the tank of the answer reaches
	Needs  float64 // nominal size that the target needs, L; +Inf where none is enough
	Safe   float64 // what the safe size reaches, NaN where none is stated
}

// Held says whether the band of the reliability holds the truth.
func (c *Case) Held() bool {
	x := c.Answer.Cell.Of(c.Measure)
	return x.Low <= c.True && c.True <= x.High
}

// Sized says whether the band of sizes holds the size needed; it is open where
// the record states no upper end.
func (c *Case) Sized() bool {
	return c.Answer.Low <= c.Needs && (c.Needs <= c.Answer.High || math.IsNaN(c.Answer.High))
}

// site is a roof and a use in a climate.
type site struct {
	world  *World
	demand float64
	roof   float64
	truth  *sim.Curves
}

// study is the question that every record of a site is asked.
func (p *site) study(years int, seed uint64) *sim.Study {
	s := sim.Defaults()
	s.Roofs, s.Areas, s.Uses = []sim.Roof{sim.NewRoof(p.roof)}, []float64{p.roof}, []sim.Use{{Name: "all uses", Daily: 100}}
	s.Sizes = []float64{1000, 10_000, 100_000}
	s.Measure, s.Target, s.Years, s.Seed, s.Workers = sim.Time, 0.95, years, seed, 1
	return s
}

// ask runs the main run of a record.
func (p *site) ask(ctx context.Context, y *rainfall.Years, g gen.Generator, years int, seed uint64) (*sim.Question, *sim.Curves, error) {
	q, err := sim.Ask(Series(y), g, p.study(years, seed))
	if err != nil {
		return nil, nil, err
	}
	c, err := q.Curves(ctx)
	return q, c, err
}

// Series is the record of some years without a hole.
func Series(y *rainfall.Years) *rainfall.Series {
	var depth []float64
	for _, rain := range y.Rain {
		depth = append(depth, rain...)
	}
	return &rainfall.Series{First: rainfall.Day(y.Label[0], y.Start, 1), Depth: depth, Mark: make([]rainfall.Mark, len(depth)), Years: y}
}

// itself is a generator that knows the climate.
func (w *World) itself() gen.Generator {
	return gen.Generator{Name: w.Name, What: w.What, Source: "invented", Fit: func(*rainfall.Years) (gen.Sampler, error) { return w, nil }}
}

// streamRecord is that of the random numbers that records are drawn with.
const streamRecord = 60

// sites finds the truth of every climate and demand.
func (s *Study) sites(ctx context.Context) (out []*site, err error) {
	for _, w := range s.Worlds {
		rain := make([]float64, 2000*rainfall.DaysPerYear)
		w.Sample(rain, gen.Source(s.Seed, streamRecord, 0))
		inflow, sum := make([]int64, len(rain)), 0.0
		sim.Inflow(inflow, rain, []sim.Roof{sim.NewRoof(100)})
		for _, q := range inflow {
			sum += float64(q) / 100 // units of 10 mL
		}
		for _, share := range w.Share {
			out = append(out, &site{world: w, demand: share, roof: math.Round(100 * 100 * 2000 * rainfall.DaysPerYear / (share * sum))})
		}
	}
	err = parallel.InOrder(ctx, s.Workers, len(out), func() struct{} { return struct{}{} },
		func(_ struct{}, i int) (*sim.Curves, error) {
			p := out[i]
			_, c, err := p.ask(ctx, p.world.Years(2, gen.Source(s.Seed, streamRecord, 1)), p.world.itself(), s.Truth, s.Seed)
			return c, err
		},
		func(i int, c *sim.Curves) error { out[i].truth = c; return nil })
	return out, err
}

// Run runs the study.
func Run(ctx context.Context, s *Study) (cases []Case, err error) {
	sites, err := s.sites(ctx)
	if err != nil {
		return nil, err
	}
	each := len(s.Lengths) * s.Records
	err = parallel.InOrder(ctx, s.Workers, len(sites)*each, func() struct{} { return struct{}{} },
		func(_ struct{}, i int) ([]Case, error) {
			p, usable, record := sites[i/each], s.Lengths[i%each/s.Records], i%s.Records
			return s.record(ctx, p, usable, record)
		},
		func(i int, of []Case) error {
			cases = append(cases, of...)
			if s.Show != nil {
				s.Show(i+1, len(sites)*each)
			}
			return nil
		})
	return cases, err
}

// Rain is the source that record number k of so many years is drawn with. The
// first years of a longer record are those of a shorter one.
func (s *Study) Rain(k int) *rand.Rand { return gen.Source(s.Seed, streamRecord, uint64(k)+2) }

// record asks one.
func (s *Study) record(ctx context.Context, p *site, usable, record int) ([]Case, error) {
	q, run, err := p.ask(ctx, p.world.Years(usable, s.Rain(record)), s.Gen, s.Years, s.Seed+uint64(record))
	if err != nil {
		return nil, err
	}
	var out []Case
	for _, t := range s.Targets {
		q, c := q.Aim(run, t.Measure, t.Share)
		sizes, err := q.Solve(ctx, c)
		if err != nil {
			return nil, err
		}
		a := q.Answer(sizes, q.Claim(c, sizes))[0]
		out = append(out, p.judge(Case{World: p.world, Demand: p.demand, Usable: usable, Record: record, Target: t, Answer: a}))
	}
	return out, nil
}

// Swing is how far sizes lie apart, largest over smallest, that seeds alone give
// for one record and target.
type Swing struct {
	World  *World
	Demand float64
	Target
	Tank, Safe float64 // NaN where some seeds give one and others none
}

// Swings asks one record of so many years of each climate with so many seeds.
func (s *Study) Swings(ctx context.Context, usable, seeds int) (out []Swing, err error) {
	sites, err := s.sites(ctx)
	if err != nil {
		return nil, err
	}
	err = parallel.InOrder(ctx, s.Workers, len(sites), func() struct{} { return struct{}{} },
		func(_ struct{}, i int) ([]Swing, error) {
			var of []Swing
			p := sites[i]
			for _, t := range s.Targets {
				of = append(of, Swing{World: p.world, Demand: p.demand, Target: t})
			}
			least, most := make([][2]float64, len(of)), make([][2]float64, len(of))
			for seed := range seeds {
				q, run, err := p.ask(ctx, p.world.Years(usable, s.Rain(0)), s.Gen, s.Years, uint64(seed+1))
				if err != nil {
					return nil, err
				}
				for k, t := range s.Targets {
					q, c := q.Aim(run, t.Measure, t.Share)
					sizes, err := q.Solve(ctx, c)
					if err != nil {
						return nil, err
					}
					a := q.Answer(sizes, q.Claim(c, sizes))[0]
					for j, x := range []float64{a.Tank, a.Safe} {
						if seed == 0 {
							least[k][j], most[k][j] = x, x
						}
						least[k][j], most[k][j] = min(least[k][j], x), max(most[k][j], x)
					}
				}
			}
			for k := range of {
				of[k].Tank, of[k].Safe = most[k][0]/least[k][0], most[k][1]/least[k][1]
			}
			return of, nil
		},
		func(_ int, of []Swing) error { out = append(out, of...); return nil })
	return out, err
}

// judge holds a case against the truth.
func (p *site) judge(c Case) Case {
	reaches := func(nominal float64) float64 { return p.truth.Seen(c.Measure, 0, nominal) }
	c.Needs, c.Safe, c.True = math.Inf(1), math.NaN(), math.NaN()
	for _, x := range p.truth.Rungs {
		if reaches(x) >= c.Share {
			c.Needs = x
			break
		}
	}
	c.True = reaches(c.Answer.Cell.Tank)
	if !math.IsNaN(c.Answer.Safe) {
		c.Safe = reaches(c.Answer.Safe)
	}
	return c
}
