package gen

import (
	"math"

	"tankodds/rainfall"
)

func fitChain(h *history) Sampler {
	s := &chain{history: h, month: rainfall.Calendar(h.start).Nth()}
	months := countMonths(h, &s.month)
	all := monthCount{}
	for k := range months {
		all.add(&months[k])
	}
	allShape := all.shape(1)
	for k := range s.monthly {
		m, c := &s.monthly[k], &months[k]
		m.wet, m.stay = c.chances()
		m.shape = c.shape(allShape)
		m.mean = c.mean()
		m.dry = c.dry
		if len(m.dry) == 0 {
			m.dry = []float64{0}
		}
		m.quantile = newGammaTable(m.shape)
	}
	f := yearFactors(h, &s.month, s.monthly)
	s.yearly = make([][12]yearMonth, len(h.rain))
	for i := range s.yearly {
		for k := range s.yearly[i] {
			m := &s.monthly[k]
			persistence := m.stay - m.wet
			share := math.Min(1, m.share()*f[i][k].wet)
			wet := clamp01(share * (1 - persistence))
			s.yearly[i][k] = yearMonth{
				wet:   uint64(math.Round(wet * (1 << 32))),
				stay:  uint64(math.Round(clamp01(wet+persistence) * (1 << 32))),
				scale: math.Round(m.mean*f[i][k].depth*1e6) / 1e6,
			}
		}
	}
	return s
}

func clamp01(x float64) float64 { return math.Max(0, math.Min(1, x)) }

// share returns the share of days that are wet in the long run,
// p01/(1 + p01 − p11).
func (m *wetMonth) share() float64 {
	if m.wet == 0 {
		return 0
	}
	return m.wet / (1 + m.wet - m.stay)
}

// monthCount is what a month of all years holds; years count as often as the
// record lists them.
type monthCount struct {
	from [2]float64 // days that follow a dry [0] or a wet [1] one
	to   [2]float64 // those of them that are wet
	n    float64    // wet days
	sum  float64    // of their depths less shift, mm
	log  float64    // of the logarithms of those
	dry  []float64  // depths of the other days
}

func (c *monthCount) add(o *monthCount) {
	c.n += o.n
	c.sum += o.sum
	c.log += o.log
}

func countMonths(h *history, month *[rainfall.DaysPerYear]uint8) [12]monthCount {
	var out [12]monthCount
	for k, rain := range h.rain {
		yesterday := -1.0 // mm; below 0 where not known
		if b := h.prev[k]; b >= 0 {
			yesterday = h.rain[b][rainfall.DaysPerYear-1]
		}
		for d, x := range rain {
			c := &out[month[d]]
			wet, was := x >= rainfall.WetDay, 0
			if yesterday >= rainfall.WetDay {
				was = 1
			}
			if yesterday >= 0 {
				c.from[was]++
				if wet {
					c.to[was]++
				}
			}
			yesterday = x
			if !wet {
				c.dry = append(c.dry, x)
				continue
			}
			c.n++
			c.sum += x - shift
			c.log += math.Log(x - shift)
		}
	}
	return out
}

// chances returns P(wet | dry) and P(wet | wet), the maximum-likelihood
// shares. A state never seen takes the other's chance: no dependence is
// known.
func (c *monthCount) chances() (wet, stay float64) {
	switch {
	case c.from[0] == 0 && c.from[1] == 0:
		return 0, 0
	case c.from[0] == 0:
		return c.to[1] / c.from[1], c.to[1] / c.from[1]
	case c.from[1] == 0:
		return c.to[0] / c.from[0], c.to[0] / c.from[0]
	}
	return c.to[0] / c.from[0], c.to[1] / c.from[1]
}

func (c *monthCount) mean() float64 {
	if c.n == 0 {
		return 0
	}
	return c.sum / c.n
}

// fewWetDays is the number of wet days below which a month takes the whole
// year's shape: a shape from fewer is mostly noise (common practice, no
// source).
const fewWetDays = 20

func (c *monthCount) shape(fallback float64) float64 {
	if c.n < fewWetDays {
		return fallback
	}
	return thom(c.sum/c.n, c.log/c.n)
}

// thom returns the gamma shape from the mean of the depths and the mean of
// their logarithms by Thom's approximation to maximum likelihood (Thom 1958,
// Mon. Weather Rev. 86:117), A = ln(mean) − mean(ln x),
//
//	shape = (1 + sqrt(1 + 4A/3)) / (4A)
//
// as Edwards & McKee 1997 print it. Depths that hardly vary have a large
// shape; it is cut at 100.
func thom(mean, meanLog float64) float64 {
	const most = 100
	a := math.Log(mean) - meanLog
	if !(a > 1/(2.0*most)) {
		return most
	}
	return (1 + math.Sqrt(1+4*a/3)) / (4 * a)
}
