package known

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/rainfall"
)

// Region is a place of a climate and gauges near by, whose climates are more or less
// the same.
type Region struct {
	Name    string
	Lengths []int // usable years of the neighbours' records; 0 for as many as the own has
	Trap    bool  // whether the neighbours are of another climate
	// neighbour makes the climate of one of that of the place. Draws of place are
	// the same for all neighbours: they are what the place itself is apart by.
	neighbour func(w *World, place, own *rand.Rand) *World
}

// Two gauges near by: what they share of the variance of a year's wetness, and of
// what makes a day wet and how much falls on it. Totals of months go together by 0.7
// to 0.8 then in the eight climates, of years by as much (24 years of De Bilt and
// Lelystad, 45 km apart: 0.89 and 0.91).
const (
	sharedYears = 0.85
	sharedDays  = 0.9
)

// Regions lists them: neighbours of the very same climate, of one nearly so, few and
// short ones, and traps.
func Regions() []Region {
	long := []int{60, 60, 60}
	apart := func(years, wet, shift float64) func(*World, *rand.Rand, *rand.Rand) *World {
		return func(w *World, place, own *rand.Rand) *World {
			by := func(sd float64) float64 { return sd * (place.NormFloat64() + own.NormFloat64()) }
			return w.twisted(math.Exp(by(years)), math.Exp(by(wet)), by(shift))
		}
	}
	other := func(years, wet, shift float64) func(*World, *rand.Rand, *rand.Rand) *World {
		return func(w *World, _, _ *rand.Rand) *World { return w.twisted(years, wet, shift) }
	}
	return []Region{
		{"the same climate", long, false, apart(0, 0, 0)},
		{"nearly the same", long, false, apart(0.06, 0.04, 4)},
		{"nearly, one neighbour", []int{60}, false, apart(0.06, 0.04, 4)},
		{"nearly, none longer", []int{0, 0, 0}, false, apart(0.06, 0.04, 4)},
		{"less alike", long, false, apart(0.12, 0.08, 8)},
		{"trap: years differ more", long, true, other(1.6, 1, 0)},
		{"trap: years differ less", long, true, other(1/1.6, 1, 0)},
		{"trap: a later season", long, true, other(1, 1, 45)},
		{"trap: fewer wet days", long, true, other(1, 0.7, 0)},
		{"trap: more wet days", long, true, other(1, 1.4, 0)},
	}
}

// twisted is a climate whose years differ so many times as much, with so many times
// as many wet days of the same rain a year, and whose seasons come so many days
// later.
func (w *World) twisted(years, wet, later float64) *World {
	out := *w
	out.years *= years
	for m := range out.wet {
		day := (float64(m)+0.5)*rainfall.DaysPerYear/12 - later
		out.wet[m] = w.season(&w.wet, day) * wet
		out.depth[m] = w.season(&w.depth, day) / wet
	}
	return &out
}

// quantiles of a gamma distribution with scale 1, at standard normal numbers from −6
// to 6.
type quantiles [1201]float64

func quantilesOf(shape float64) *quantiles {
	q, g := new(quantiles), distuv.Gamma{Alpha: shape, Beta: 1}
	for k := range q {
		q[k] = g.Quantile(min(distuv.UnitNormal.CDF(float64(k-600)/100), 1-1e-9))
	}
	return q
}

func (q *quantiles) at(z float64) float64 {
	x := max(0, min(1199.99, 100*z+600))
	k := int(x)
	return q[k] + (x-float64(k))*(q[k+1]-q[k])
}

// together draws n years of climates that share their weather. Each by itself is
// what World.Sample draws.
func together(worlds []*World, n int, rng *rand.Rand) []*rainfall.Years {
	out, z, rains, amount := make([]*rainfall.Years, len(worlds)), make([]float64, len(worlds)), make([]bool, len(worlds)), make([]*quantiles, len(worlds))
	for i, w := range worlds {
		out[i], z[i], amount[i] = &rainfall.Years{Start: w.Start}, rng.NormFloat64(), quantilesOf(w.shape)
	}
	partly := func(share, common float64) float64 {
		return math.Sqrt(share)*common + math.Sqrt(1-share)*rng.NormFloat64()
	}
	first := int(rainfall.Day(2001, worlds[0].Start, 1) - rainfall.Day(2001, 1, 1))
	factor, late := make([]float64, len(worlds)), make([]float64, len(worlds))
	for y := range n + spinUp {
		wetness, onset := rng.NormFloat64(), rng.NormFloat64()
		rain := make([][]float64, len(worlds))
		for i, w := range worlds {
			z[i] = w.persist*z[i] + math.Sqrt(1-w.persist*w.persist)*partly(sharedYears, wetness)
			late[i], factor[i] = w.onset*partly(sharedYears, onset), math.Exp(w.years*z[i]-w.years*w.years/2)
			rain[i] = make([]float64, rainfall.DaysPerYear)
		}
		for d := range rainfall.DaysPerYear {
			wet, deep := rng.NormFloat64(), rng.NormFloat64()
			for i, w := range worlds {
				day := float64(first+d) - late[i]
				p := w.season(&w.wet, day) * factor[i]
				if rains[i] {
					p += w.follow
				}
				u, v := partly(sharedDays, wet), partly(sharedDays, deep)
				if rains[i] = math.Erfc(-u/math.Sqrt2)/2 < min(p, 0.95); rains[i] {
					rain[i][d] = math.Round(10*w.season(&w.depth, day)*math.Sqrt(factor[i])/w.shape*amount[i].at(v)) / 10
				}
			}
		}
		for i := range worlds {
			if y >= spinUp {
				out[i].Label, out[i].Rain, out[i].Filled = append(out[i].Label, 1900+y-spinUp), append(out[i].Rain, rain[i]), append(out[i].Filled, 0)
			}
		}
	}
	return out
}
