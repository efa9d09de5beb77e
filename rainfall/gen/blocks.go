package gen

import (
	"math"
	"math/rand/v2"

	"tankodds/rainfall"
)

// Blocks is the stationary bootstrap (Politis & Romano 1994, J. Am. Stat.
// Assoc. 89:1303) of the daily record, block by block from years drawn evenly
// at the same place in the calendar. The mean of the geometric block length
// is the automatic choice of Politis & White 2004 (Econom. Rev. 23:53) as
// corrected by Patton, Politis & White 2009 (Econom. Rev. 28:372), for the
// daily series less its mean and over its standard deviation by calendar day,
// both smoothed over seasonWindow days; a block ends with the water year at
// the latest. It keeps the season and dependence
// over days; what lasts longer than a block is lost.
func Blocks() Generator {
	return Generator{
		Name:   "blocks",
		What:   "short blocks of days from any year, same place in the calendar",
		Source: "Politis & Romano 1994; block length: Politis & White 2004, Patton et al. 2009",
		Fit: fromHistory(func(h *history) Sampler {
			mean := AutoBlock(deseasonalised(h)).Stationary
			return &blocks{h, mean, newGeometric(mean, rainfall.DaysPerYear)}
		}),
	}
}

type blocks struct {
	*history
	mean   float64
	length *geometric // days
}

// seasonWindow is the width over which a calendar day's mean and variance are
// smoothed, days: 30 years have then some 900 values for each.
const seasonWindow = 31

// deseasonalised returns the years end to end, each day less its
// calendar day's mean and over its standard deviation; 0 where it never
// rains.
func deseasonalised(h *history) []float64 {
	var one, two [rainfall.DaysPerYear]float64
	w := 1 / float64(len(h.rain))
	for _, rain := range h.rain {
		for d, x := range rain {
			one[d] += float64(w * x)
			two[d] += float64(w * float64(x*x))
		}
	}
	first, second := centredSums(one[:], seasonWindow), centredSums(two[:], seasonWindow)
	var centre, scale [rainfall.DaysPerYear]float64
	for d := range centre {
		centre[d] = first[d] / seasonWindow
		v := second[d]/seasonWindow - float64(centre[d]*centre[d])
		if v > 0 {
			scale[d] = 1 / math.Sqrt(v)
		}
	}
	z := make([]float64, 0, len(h.rain)*rainfall.DaysPerYear)
	for _, rain := range h.rain {
		for d, x := range rain {
			z = append(z, (x-centre[d])*scale[d])
		}
	}
	return z
}

// centredSums returns, for each day of a year, the sum of the width days
// about it, the year taken as a ring; width is odd.
func centredSums(x []float64, width int) []float64 {
	n := len(x)
	out := make([]float64, n)
	for d := range out {
		for j := -(width / 2); j <= width/2; j++ {
			out[d] += x[(d+j+n)%n]
		}
	}
	return out
}

func (s *blocks) Sample(dst []float64, rng *rand.Rand) { s.SampleDated(dst, nil, rng) }

func (s *blocks) SampleDated(dst []float64, from []int32, rng *rand.Rand) {
	for t := 0; t < len(dst); {
		d := t % rainfall.DaysPerYear
		n := min(s.length.draw(rng), rainfall.DaysPerYear-d)
		year := s.any(rng)
		copy(dst[t:t+n], s.rain[year][d:])
		dated(from, t, n, year, d)
		t += n
	}
}

// Parameters returns the block length.
func (s *blocks) Parameters() []Parameter {
	return []Parameter{{"mean block", s.mean, "days"}}
}
