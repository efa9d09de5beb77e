// Package near asks what records of other gauges near by tell of a place whose own
// record is short, and joins those that are of one climate with it.
//
// The years of a neighbour, its rain scaled to the place's, stand for years that the
// place has not seen: the index-flood way (Hosking & Wallis 1997, Regional Frequency
// Analysis, after Dalrymple 1960: from memory, unverified). A generator learns from
// the own years and the borrowed ones together. What they are worth is less than
// their number: common years share their droughts, the scale is not known exactly,
// and two places are never of one climate altogether (see gain).
//
// What is chosen here was chosen in invented climates (package known) and then held
// against real records that nobody chose by (see DEVELOPERS.md).
package near

import (
	"math"

	"tankodds/rainfall"
)

// Station is a neighbour's record.
type Station struct {
	File, SHA256, Name string
	Years              *rainfall.Years // its usable years, beginning in the same month as the place's
}

// Bounds of what may be borrowed.
const (
	LeastOwn    = 10   // usable years of the place's record
	LeastYears  = 10   // usable years of a neighbour's record
	LeastCommon = 5    // usable years that both have
	MostH       = 1.0  // acceptably homogeneous below (Hosking & Wallis 1997: from memory, unverified)
	LeastGain   = 1.23 // below, a band would become narrower by less than a tenth
	MostWet     = 1.22 // the ratio of wet days, or its inverse
	mostSpread  = 1.7  // Pitman–Morgan t: one in ten that are alike is refused
	mostShifted = 0.05 // of the year's rain in other months, beside half as much again as chance shows
)

// candidates are the neighbours of a place.
type candidates struct {
	own   *rainfall.Years
	near  []Station
	pairs []pair
	from  []rainfall.Neighbour
}

// Borrow decides what a place borrows of its neighbours. The own record has LeastOwn
// usable years or more, each neighbour's LeastYears.
func Borrow(own *rainfall.Years, near []Station) *rainfall.Lending {
	c := &candidates{own: own, near: near}
	var in []int
	for i, s := range near {
		p := compare(own, s.Years)
		n := c.look(s, p)
		c.pairs, c.from = append(c.pairs, p), append(c.from, n)
		if n.Why == "" {
			in = append(in, i)
		}
	}
	in, h := c.fit(in)
	out := &rainfall.Lending{Gain: 1, From: c.from, H: h}
	if len(in) == 0 {
		return out
	}
	at, off := c.scale(in)
	if gain := rounded(c.gain(in, off)); gain >= LeastGain {
		out.Gain, out.Years = gain, c.join(in, at)
		return out
	}
	for _, i := range in {
		c.from[i].Why = rainfall.TooLittleToLend
	}
	return out
}

// look lays a neighbour beside the place.
func (c *candidates) look(s Station, p pair) rainfall.Neighbour {
	share, chance := shifted(c.own, s.Years)
	by := mean(totals(c.own)) / mean(totals(s.Years))
	n := rainfall.Neighbour{
		File: s.File, SHA256: s.SHA256, Name: s.Name, Usable: s.Years.Len(), Common: p.common,
		Years: rounded(p.years), Months: rounded(p.months), Shifted: rounded(share),
		Wet: rounded(wetDays(s.Years, by) / wetDays(c.own, 1)), Spread: rounded(p.spread), CV: rounded(momentsOf(totals(s.Years)).cv),
		Factor: math.NaN(),
	}
	switch {
	case p.common < LeastCommon:
		n.Years, n.Why = math.NaN(), rainfall.FewCommonYears
	case !(p.months >= rainfall.LeastAlike):
		n.Why = rainfall.OtherMonths
	case !(share <= mostShifted+float64(1.5*chance)):
		n.Why = rainfall.OtherSeason
	case !(n.Wet <= MostWet && n.Wet >= 1/MostWet):
		n.Why = rainfall.OtherWetDays
	case math.Abs(p.spread) > mostSpread:
		n.Why = rainfall.OtherSpread
	}
	return n
}

// scale is the mean rain of a year that the neighbours' records are scaled to, and
// the variance of its logarithm over that of one year's. The own record's mean is
// mended by what the neighbours' long records say of its years: were these wet or
// dry ones? A neighbour's word counts as far as their years go together: the
// regression of one mean on another over common years.
func (c *candidates) scale(in []int) (mm, variance float64) {
	own, log, weight := float64(c.own.Len()), 0.0, 0.0
	for _, i := range in {
		p, n := c.pairs[i], float64(c.near[i].Years.Len())
		common := float64(p.common) / own
		log += float64(n * p.years * common * math.Log(mean(totals(c.near[i].Years))/p.b))
		variance += n * (1 - float64(p.years*p.years*common*(1-float64(p.common)/n))) / own
		weight += n
	}
	return mean(totals(c.own)) * math.Exp(log/weight), variance / weight
}

// What a share of failing years of a record is off by has two parts: the error of
// its mean, and that of how its years lie about the mean. Of years that fail one in
// five to one in ten the mean is some two fifths: φ(z)²/(q(1 − q)) is 0.49 and 0.34
// where totals are normal.
const meanPart = 0.4

// differ is the variance of a share of failing years between two places of one
// climate, as of one year's: a neighbour's record tells no more than a hundred years
// would, however long it is.
const differ = 0.01

// gain is how many own years a year of the record is worth with those borrowed: the
// variance of a share of failing years counted in the own record over that of one
// counted in all of them.
//
//	V(i, j) = (1 − k)·r²·common/(Lᵢ·Lⱼ) + k·M + T
//
// is the covariance of two records' shares, one year's being 1: k is meanPart, r the
// correlation of the years' totals, whose square is about that of whether they fail
// (0.53 where r is 0.8 and one year in ten fails, by the normal distribution), M that
// of the mean and T what the places differ by, half of which is the place's own doing
// and common to all neighbours.
func (c *candidates) gain(in []int, off float64) float64 {
	of := []*rainfall.Years{c.own}
	for _, i := range in {
		of = append(of, c.near[i].Years)
	}
	all, sum := 0.0, 0.0
	for i, a := range of {
		all += float64(a.Len())
		for j, b := range of {
			common, r, m, t := float64(a.Len()), 1.0, off, differ
			switch {
			case i == j:
			case i == 0 || j == 0:
				p := c.pairs[in[max(i, j)-1]]
				common, r, t = float64(p.common), p.years, 0
			default:
				p := compare(a, b)
				common, r, t = float64(p.common), p.years, differ/2
			}
			if i == 0 && j == 0 {
				m, t = 1/float64(a.Len()), 0
			}
			// times Lᵢ·Lⱼ, which is how much of all years they are
			sum += float64((1-meanPart)*r*r*common) + float64((float64(meanPart*m)+t)*float64(a.Len()*b.Len()))
		}
	}
	return all * all / sum / float64(c.own.Len())
}

// apart keeps the labels of one record's years from following another's.
const apart = 100_000

// join puts the borrowed years behind the own ones.
func (c *candidates) join(in []int, mm float64) *rainfall.Years {
	all := make([]int, c.own.Len())
	for i := range all {
		all[i] = i
	}
	out := c.own.Pick(all)
	for k, i := range in {
		y := c.near[i].Years
		by := mm / mean(totals(y))
		c.from[i].Factor = rounded(by)
		for t, rain := range y.Rain {
			scaled := make([]float64, len(rain))
			for d, x := range rain {
				scaled[d] = x * by
			}
			out.Label, out.Rain, out.Filled = append(out.Label, y.Label[t]+(k+1)*apart), append(out.Rain, scaled), append(out.Filled, y.Filled[t])
		}
	}
	return out
}

// rounded keeps six digits behind the point: processors agree on them.
func rounded(x float64) float64 { return math.Round(x*1e6) / 1e6 }
