package gen

import (
	"fmt"
	"math/rand/v2"

	"tankodds/rainfall"
)

// WaterYears resamples whole water years, each drawn evenly and on its own
// from the record: the plain bootstrap (Efron 1979) with a year as the unit.
// It keeps everything within a year and nothing between years; it can show no
// year that the record does not hold.
func WaterYears() Generator {
	return Generator{
		Name:   "years",
		What:   "whole water years of the record, drawn at random",
		Source: "Efron 1979, bootstrap with a water year as the unit",
		Fit: func(y *rainfall.Years) (Sampler, error) {
			if y.Len() == 0 {
				return nil, fmt.Errorf("no usable water year to resample")
			}
			return wholeYears{y.Rain}, nil
		},
	}
}

type wholeYears struct{ rain [][]float64 }

func (w wholeYears) Sample(dst []float64, rng *rand.Rand) { w.SampleDated(dst, nil, rng) }

func (w wholeYears) SampleDated(dst []float64, from []int32, rng *rand.Rand) {
	for i := 0; i < len(dst); i += rainfall.DaysPerYear {
		year := rng.IntN(len(w.rain))
		copy(dst[i:i+rainfall.DaysPerYear], w.rain[year])
		dated(from, i, rainfall.DaysPerYear, int32(year), 0)
	}
}
