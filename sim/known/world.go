// Package known holds invented climates whose truth can be had to any number of
// digits: as many years as one likes can be drawn from them. What package sim
// claims from a record of a few of those years is held against it. The climates
// share nothing with the generators of package gen, and none is a real place.
package known

import (
	"math"
	"math/rand/v2"
	"time"

	"tankodds/rainfall"
)

// World is a climate: a chain of wet and dry days whose chances, and depths that
// are gamma distributed, follow the season, and years that differ from each
// other beyond chance.
type World struct {
	Name  string
	What  string
	Start time.Month // in which its water years begin, stores being full
	Share []float64  // the year's demand, a share of the mean inflow, each a site

	wet     [12]float64 // the chance of rain on a day after a dry one, by calendar month
	follow  float64     // added to it on a day after a wet one
	depth   [12]float64 // mean depth of a wet day, mm
	shape   float64     // of the gamma distribution of depths
	years   float64     // how much years differ: the standard deviation of the logarithm of both
	persist float64     // lag-1 correlation of that from year to year
	onset   float64     // standard deviation of when the seasons come, days
}

// Sample draws consecutive water years, as gen.Sampler does.
func (w *World) Sample(dst []float64, rng *rand.Rand) {
	first := rainfall.Day(2001, w.Start, 1) - rainfall.Day(2001, time.January, 1)
	z, late, rains := rng.NormFloat64(), 0.0, false
	for t := range dst {
		if t%rainfall.DaysPerYear == 0 {
			z = float64(w.persist*z) + float64(math.Sqrt(1-w.persist*w.persist)*rng.NormFloat64())
			late = w.onset * rng.NormFloat64()
		}
		factor := math.Exp(w.years*z - w.years*w.years/2)
		day := float64(int(first)+t%rainfall.DaysPerYear) - late
		p := w.season(&w.wet, day) * factor
		if rains {
			p += w.follow
		}
		rains = rng.Float64() < min(p, 0.95)
		dst[t] = 0
		if rains {
			dst[t] = math.Round(10*w.season(&w.depth, day)*math.Sqrt(factor)/w.shape*gamma(w.shape, rng)) / 10
		}
	}
}

// season reads a list of months at a day of the year, straight between the
// middles of the months.
func (w *World) season(by *[12]float64, day float64) float64 {
	x := day/(rainfall.DaysPerYear/12.0) - 0.5
	k := math.Floor(x)
	at := func(k int) float64 { return by[((k%12)+12)%12] }
	return at(int(k)) + (x-k)*(at(int(k)+1)-at(int(k)))
}

// gamma draws a number of a gamma distribution with scale 1 (Marsaglia & Tsang
// 2000, ACM Trans. Math. Softw. 26:363: from memory, unverified).
func gamma(shape float64, rng *rand.Rand) float64 {
	if shape < 1 {
		return gamma(shape+1, rng) * math.Pow(rng.Float64(), 1/shape)
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := rng.NormFloat64()
		v := 1 + c*x
		if v = v * v * v; v > 0 && math.Log(1-rng.Float64()) < x*x/2+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}

// Years draws a record of so many water years, without a hole.
func (w *World) Years(n int, rng *rand.Rand) *rainfall.Years {
	y := &rainfall.Years{Start: w.Start}
	all := make([]float64, (n+spinUp)*rainfall.DaysPerYear)
	w.Sample(all, rng)
	for i := range n {
		from := (i + spinUp) * rainfall.DaysPerYear
		y.Label = append(y.Label, 1900+i)
		y.Rain = append(y.Rain, all[from:from+rainfall.DaysPerYear])
		y.Filled = append(y.Filled, 0)
	}
	return y
}

const spinUp = 3 // years

// Worlds lists them: four climates, each with years that do not depend on each
// other and with years that do.
func Worlds() []*World {
	even := World{
		Name: "humid", What: "rain on one day in three all year", Start: time.March, Share: []float64{0.5, 0.75},
		wet:    [12]float64{.30, .28, .26, .24, .24, .22, .20, .20, .22, .26, .30, .30},
		follow: 0.22, depth: [12]float64{6, 6, 6, 6, 7, 7, 8, 8, 7, 7, 6, 6}, shape: 0.7, years: 0.12, onset: 10,
	}
	winter := World{
		Name: "winter-wet", What: "wet winters, dry summers", Start: time.April, Share: []float64{0.35, 0.6},
		wet:    [12]float64{.28, .26, .22, .14, .08, .03, .01, .01, .04, .12, .22, .28},
		follow: 0.30, depth: [12]float64{8, 8, 7, 6, 5, 5, 5, 6, 8, 9, 9, 9}, shape: 0.7, years: 0.25, onset: 15,
	}
	monsoon := World{
		Name: "monsoon", What: "four wet months, hardly a shower in the others", Start: time.October, Share: []float64{0.3, 0.55},
		wet:    [12]float64{.02, .02, .03, .04, .06, .25, .45, .45, .28, .07, .03, .02},
		follow: 0.25, depth: [12]float64{5, 5, 5, 6, 8, 13, 15, 15, 13, 8, 6, 5}, shape: 0.6, years: 0.22, onset: 12,
	}
	arid := World{
		Name: "arid", What: "a few storms a year, in two short seasons", Start: time.March, Share: []float64{0.3, 0.5},
		wet:    [12]float64{.06, .06, .05, .02, .01, .01, .06, .08, .05, .03, .03, .05},
		follow: 0.15, depth: [12]float64{6, 6, 6, 5, 5, 6, 8, 9, 9, 8, 6, 6}, shape: 0.55, years: 0.35, onset: 15,
	}
	var out []*World
	for _, w := range []World{even, winter, monsoon, arid} {
		again := w
		again.Name += ", persistent"
		again.persist = 0.35
		out = append(out, &w, &again)
	}
	return out
}
