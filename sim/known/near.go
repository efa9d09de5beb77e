package known

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/near"
	"tankodds/sim"
	"tankodds/sim/internal/parallel"
)

// NearCase is what was said from one record for one target, by itself and with its
// neighbours, and the truth.
type NearCase struct {
	Region      *Region
	Near        *rainfall.Lending
	Alone, With Case
}

// Near asks records of every region with and without their neighbours.
func Near(ctx context.Context, s *Study, regions []Region) (out []NearCase, err error) {
	sites, err := s.sites(ctx)
	if err != nil {
		return nil, err
	}
	each := len(s.Lengths) * s.Records
	per := len(sites) * each
	err = parallel.InOrder(ctx, s.Workers, len(regions)*per, func() struct{} { return struct{}{} },
		func(_ struct{}, i int) ([]NearCase, error) {
			site := i % per / each
			return s.near(ctx, &regions[i/per], sites[site], site, s.Lengths[i%each/s.Records], i%s.Records)
		},
		func(i int, of []NearCase) error {
			out = append(out, of...)
			if s.Show != nil {
				s.Show(i+1, len(regions)*per)
			}
			return nil
		})
	return out, err
}

// streamRegion is that of the random numbers that regions are drawn with.
const streamRegion = 61

// near asks one record. Records of other sites of a climate share its weather.
func (s *Study) near(ctx context.Context, r *Region, p *site, number, usable, record int) (out []NearCase, err error) {
	rng := gen.Source(s.Seed, streamRegion, uint64(record)<<8|uint64(number/len(p.world.Share)))
	place, own := rng.Uint64(), rand.New(rand.NewPCG(rng.Uint64(), 1))
	worlds, most := []*World{p.world}, usable
	for _, n := range r.Lengths {
		worlds, most = append(worlds, r.neighbour(p.world, rand.New(rand.NewPCG(place, 1)), own)), max(most, n)
	}
	all := together(worlds, most, rng)
	last := func(y *rainfall.Years, n int) *rainfall.Years {
		var index []int
		for i := most - n; i < most; i++ {
			index = append(index, i)
		}
		return y.Pick(index)
	}
	var known []near.Station
	for k, n := range r.Lengths {
		if n == 0 {
			n = usable
		}
		known = append(known, near.Station{Name: fmt.Sprint("neighbour ", k+1), Years: last(all[k+1], n)})
	}
	series := Series(last(all[0], usable))
	lent := near.Borrow(series.Years, known)
	for _, with := range []*rainfall.Lending{nil, lent} {
		series.Near = with
		q, err := sim.Ask(series, s.Gen, p.study(s.Years, s.Seed+uint64(record)))
		if err != nil {
			return nil, err
		}
		run, err := q.Curves(ctx)
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
			judged := p.judge(Case{World: p.world, Demand: p.demand, Usable: usable, Record: record, Target: t, Answer: a})
			if with == nil {
				out = append(out, NearCase{Region: r, Near: lent, Alone: judged})
			} else {
				out[k].With = judged
			}
		}
	}
	return out, nil
}

// NearLine sums up cases of neighbours where something was borrowed.
type NearLine struct {
	Name        string
	Records     int     // asked
	Lent        float64 // share of them that borrowed
	Kept        float64 // share of the neighbours that lent
	Gain        float64 // mean
	Alone, With Line
	Errors      [2]float64 // root mean square of what was stated less the truth, alone and with
}

// SumNear sums up cases of one region and measure.
func SumNear(name string, cases []NearCase) NearLine {
	out := NearLine{Name: name}
	var alone, with []Case
	for i := range cases {
		c := &cases[i]
		out.Records++
		kept := 0
		for _, n := range c.Near.From {
			if n.Why == "" {
				kept++
			}
		}
		out.Kept += float64(kept) / float64(len(c.Near.From))
		if c.Near.Lent() {
			out.Lent++
			out.Gain += c.Near.Gain
			alone, with = append(alone, c.Alone), append(with, c.With)
		}
	}
	out.Gain /= out.Lent
	out.Lent, out.Kept = out.Lent/float64(out.Records), out.Kept/float64(out.Records)
	out.Alone, out.With = Sum(name, alone), Sum(name, with)
	out.Errors = [2]float64{rootMean(alone), rootMean(with)}
	return out
}

// rootMean is the root of the mean square of what was stated less the truth.
func rootMean(cases []Case) float64 {
	sum, n := 0.0, 0.0
	for i := range cases {
		if c := &cases[i]; !math.IsNaN(c.Answer.Tank) {
			off := c.Answer.Cell.Of(c.Measure).Estimate - c.True
			sum, n = sum+off*off, n+1
		}
	}
	return math.Sqrt(sum / n)
}

// NearTable sums up cases by measure, and within it by region and by climate; the
// traps stand by themselves.
func NearTable(cases []NearCase) []NearLine {
	var out []NearLine
	for m := sim.Annual; m <= sim.Volume; m++ {
		pick := func(name string, want func(*NearCase) bool) {
			var some []NearCase
			for i := range cases {
				if c := &cases[i]; c.Alone.Measure == m && want(c) {
					some = append(some, *c)
				}
			}
			if len(some) > 0 {
				out = append(out, SumNear(fmt.Sprintf("%v, %s", m, name), some))
			}
		}
		pick("one climate", func(c *NearCase) bool { return !c.Region.Trap })
		pick("traps", func(c *NearCase) bool { return c.Region.Trap })
		seen := map[string]bool{}
		for i := range cases {
			r, w := cases[i].Region.Name, cases[i].Alone.World.Name
			if !seen[r] {
				seen[r] = true
				pick(r, func(c *NearCase) bool { return c.Region.Name == r })
			}
			if !seen[w] {
				seen[w] = true
				pick("one climate, "+w, func(c *NearCase) bool { return !c.Region.Trap && c.Alone.World.Name == w })
			}
		}
	}
	return out
}
