package known

import (
	"fmt"
	"math"

	"tankodds/sim/backtest"
)

// Share is how often something held, and its standard error. Cases of one record
// say nearly the same: the records are what is independent.
type Share struct{ Value, Error float64 }

func (s Share) String() string {
	if math.IsNaN(s.Value) {
		return "–"
	}
	return fmt.Sprintf("%.2f ± %.2f", s.Value, s.Error)
}

// Line sums up cases.
type Line struct {
	Name   string
	Cases  int
	Held   Share   // the band of the reliability held the truth
	Sized  Share   // the band of sizes held the size needed
	Safe   Share   // the safe size met the target, where one was stated
	Stated float64 // share of cases with one
	Bias   float64 // mean of what was stated less the truth
	Width  float64 // mean width of the reliability's band
	Score  float64 // mean interval score of it
	Sizes  float64 // mean of the logarithm of the safe size over the lower end
}

// Sum sums up cases that belong together.
func Sum(name string, cases []Case) Line {
	out := Line{Name: name}
	var held, sized, safe shares
	stated := 0
	for i := range cases {
		c := &cases[i]
		if math.IsNaN(c.Answer.Tank) {
			continue // nothing is said
		}
		out.Cases++
		held.add(c, c.Held())
		sized.add(c, c.Sized())
		is := c.Answer.Cell.Of(c.Measure)
		out.Bias += is.Estimate - c.True
		out.Width += is.High - is.Low
		out.Score += backtest.Winkler(is.Low, is.High, c.True, 0.9)
		if !math.IsNaN(c.Safe) {
			stated++
			safe.add(c, c.Safe >= c.Share)
			out.Sizes += math.Log(c.Answer.Safe / c.Answer.Low)
		}
	}
	n := float64(out.Cases)
	out.Held, out.Sized, out.Safe = held.share(), sized.share(), safe.share()
	out.Stated, out.Sizes = float64(stated)/n, out.Sizes/float64(stated)
	out.Bias, out.Width, out.Score = out.Bias/n, out.Width/n, out.Score/n
	return out
}

// shares counts by record.
type shares map[string][2]float64

func (s *shares) add(c *Case, yes bool) {
	if *s == nil {
		*s = shares{}
	}
	key := fmt.Sprint(c.World.Name, c.Usable, c.Record)
	x := (*s)[key]
	x[1]++
	if yes {
		x[0]++
	}
	(*s)[key] = x
}

func (s shares) share() Share {
	yes, all := 0.0, 0.0
	for _, x := range s {
		yes, all = yes+x[0], all+x[1]
	}
	p, square := yes/all, 0.0
	for _, x := range s {
		square += (x[0] - p*x[1]) * (x[0] - p*x[1])
	}
	return Share{p, math.Sqrt(square) / all}
}

// Table sums up cases by target, and within it by climate and by length.
func Table(cases []Case) []Line {
	var out []Line
	pick := func(name string, want func(*Case) bool) {
		var some []Case
		for i := range cases {
			if want(&cases[i]) {
				some = append(some, cases[i])
			}
		}
		if len(some) > 0 {
			out = append(out, Sum(name, some))
		}
	}
	seen := map[Target]bool{}
	for i := range cases {
		t := cases[i].Target
		if seen[t] {
			continue
		}
		seen[t] = true
		name := fmt.Sprintf("%v %g", t.Measure, t.Share)
		pick(name, func(c *Case) bool { return c.Target == t })
		worlds, lengths := map[string]bool{}, map[int]bool{}
		for k := range cases {
			w, n := cases[k].World.Name, cases[k].Usable
			if !worlds[w] {
				worlds[w] = true
				pick(name+", "+w, func(c *Case) bool { return c.Target == t && c.World.Name == w })
			}
			if !lengths[n] {
				lengths[n] = true
				pick(fmt.Sprintf("%s, %d years", name, n), func(c *Case) bool { return c.Target == t && c.Usable == n })
			}
		}
	}
	return out
}
