package gen_test

import (
	"fmt"
	"log"
	"math"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// A generator is fitted to three years, and a year is drawn.
func ExampleGenerator() {
	years := &rainfall.Years{Start: time.October}
	for label := 2001; label <= 2003; label++ {
		rain := make([]float64, rainfall.DaysPerYear)
		for d := range rain {
			if d%4 == label%4 {
				wetter := float64(label - 2001)
				rain[d] = math.Round(80+20*wetter+60*math.Cos(2*math.Pi*float64(d)/rainfall.DaysPerYear)) / 10
			}
		}
		years.Label, years.Rain, years.Filled = append(years.Label, label), append(years.Rain, rain), append(years.Filled, 0)
	}
	sampler, err := gen.Guided().Fit(years)
	if err != nil {
		log.Fatal(err)
	}
	trace := make([]float64, rainfall.DaysPerYear)
	sampler.Sample(trace, gen.Source(1, 0, 0)) // seed, stream, trace
	total := 0.0
	for _, mm := range trace {
		total += mm
	}
	fmt.Printf("%.0f, %.0f and %.0f mm in the real years, %.0f mm in the synthetic one\n", years.Total(0), years.Total(1), years.Total(2), total)
	// Output:
	// 727, 908 and 1090 mm in the real years, 727 mm in the synthetic one
}
