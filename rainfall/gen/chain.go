package gen

import (
	"math"
	"math/rand/v2"

	"tankodds/rainfall"
)

// Chain is the parametric generator: a two-state chain of wet and dry days,
// its probabilities by month, with gamma depths on wet days (Richardson 1981,
// Water Resour. Res. 17:182: from memory, unverified; gamma by Thom's
// estimate, see thom). A wet day has at least WetDay mm; what falls on the
// others is drawn from the month's own dry days.
//
// Such a chain with one set of parameters makes years too much alike, the
// overdispersion of Katz & Parlange 1998 (J. Climate 11:591). So the
// parameters are drawn anew each year (Chowdhury et al. 2017, Hydrol. Earth
// Syst. Sci. 21:6541): one year of the record is drawn, and the wet-day
// frequency and the mean wet-day depth of each month are multiplied by that
// year's ratio to the mean, shrunk so that only the spread beyond the chain's
// own sampling noise is left (see yearFactors). What lasts longer than a year
// is lost.
//
// Probabilities are held in units of 2⁻³² and depths are rounded to 0.1 mm:
// a last bit that gamma functions leave different on another processor does
// not reach the trace.
func Chain() Generator {
	return Generator{
		Name:   "chain",
		What:   "wet and dry days by a two-state chain, gamma depths, parameters new each year",
		Source: "Richardson 1981; Thom 1958; Katz & Parlange 1998; Chowdhury et al. 2017",
		Fit:    fromHistory(fitChain),
	}
}

type chain struct {
	*history
	month   [rainfall.DaysPerYear]uint8
	monthly [12]wetMonth
	yearly  [][12]yearMonth // [year]
}

// wetMonth is what all years share.
type wetMonth struct {
	wet, stay float64 // P(wet | dry yesterday), P(wet | wet yesterday)
	mean      float64 // of the wet-day depth less shift, mm
	shape     float64 // of its gamma distribution
	quantile  *gammaTable
	dry       []float64 // depths of the days that are not wet, mm
}

// yearMonth is a month of one year: chances in units of 2⁻³², and the scale
// of its depths, mm.
type yearMonth struct {
	wet, stay uint64
	scale     float64
}

func (s *chain) Sample(dst []float64, rng *rand.Rand) {
	wet := rng.Float64() < s.monthly[0].share()
	for t := 0; t < len(dst); t += rainfall.DaysPerYear {
		year := &s.yearly[s.any(rng)]
		for d := range rainfall.DaysPerYear {
			m := s.month[d]
			u := rng.Uint64()
			chance := year[m].wet
			if wet {
				chance = year[m].stay
			}
			wet = u>>32 < chance
			month := &s.monthly[m]
			if wet {
				dst[t+d] = month.depth(uint32(u), year[m].scale, rng)
			} else {
				dst[t+d] = month.dry[(u&math.MaxUint32)*uint64(len(month.dry))>>32]
			}
		}
	}
}

// shift is taken off a wet day's depth before the gamma distribution is
// fitted: half of the tenth of a millimetre that gauges are read to below
// WetDay, so that no logarithm is of zero.
const shift = rainfall.WetDay - 0.05

// depth turns 32 random bits into a wet day's depth, mm.
func (m *wetMonth) depth(u uint32, scale float64, rng *rand.Rand) float64 {
	return math.Round(10*(shift+float64(scale*m.quantile.at(u, rng)))) / 10
}

// Parameters returns the chain of each month of the water year, and how far
// years differ.
func (s *chain) Parameters() []Parameter {
	var out []Parameter
	for k, m := range s.monthly {
		name := rainfall.Calendar(s.start).Month(k).String()
		out = append(out,
			Parameter{name + " p01", m.wet, ""},
			Parameter{name + " p11", m.stay, ""},
			Parameter{name + " gamma shape", m.shape, ""},
			Parameter{name + " mean wet day", shift + m.mean, "mm"})
	}
	return out
}
