package gen

import (
	"testing"

	"tankodds/rainfall"
)

// invented returns n years of an invented temperate climate: a two-state
// chain with persistence, wetter in the first half-year, in tenths of a
// millimetre.
func invented(n int) *rainfall.Years {
	y := &rainfall.Years{Start: 10}
	rng := Source(7, 7, 7)
	wet := false
	for i := range n {
		rain := make([]float64, rainfall.DaysPerYear)
		for d := range rain {
			p := 0.2
			if wet {
				p = 0.5
			}
			if d < 180 {
				p += 0.1
			}
			if wet = rng.Float64() < p; wet {
				rain[d] = float64(1+rng.IntN(60)*rng.IntN(5)) / 10
			}
		}
		y.Label, y.Rain, y.Filled = append(y.Label, 1900+i), append(y.Rain, rain), append(y.Filled, 0)
	}
	return y
}

func BenchmarkFit(b *testing.B) {
	y := invented(150)
	for _, g := range All() {
		b.Run(g.Name, func(b *testing.B) {
			for b.Loop() {
				if _, err := g.Fit(y); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSample(b *testing.B) {
	y := invented(150)
	dst := make([]float64, 51*rainfall.DaysPerYear)
	for _, g := range All() {
		s, err := g.Fit(y)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(g.Name, func(b *testing.B) {
			rng := Source(1, 1, 1)
			for b.Loop() {
				s.Sample(dst, rng)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(dst)), "ns/day")
		})
	}
}
