package near

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// simulated regions for H, and their stream of random numbers.
const (
	regions      = 300
	streamRegion = 70
)

// heterogeneity is H of Hosking & Wallis (1997, Regional Frequency Analysis, §4.3:
// from memory, unverified): how far the L-CVs of the years' totals spread beyond
// what they would in a region of one distribution, in standard deviations of that.
// Such regions are simulated, of the same years. Theirs is a kappa distribution and
// stations that do not depend on each other; here it is Pearson's type III, which
// needs no fit that may fail, and common years go together by rho: stations that
// share their weather look alike, and would pass whatever they are.
func heterogeneity(labels [][]int, of []moments, rho float64) float64 {
	n, cv, index := make([]float64, len(of)), make([]float64, len(of)), map[int]int{}
	all, regionCV, regionSkew := 0.0, 0.0, 0.0
	for i, m := range of {
		n[i], cv[i] = float64(len(labels[i])), m.cv
		all += n[i]
		regionCV += float64(n[i] * m.cv)
		regionSkew += float64(n[i] * m.skew)
		for _, label := range labels[i] {
			if _, ok := index[label]; !ok {
				index[label] = len(index)
			}
		}
	}
	dist, rng := pearsonOf(regionCV/all, regionSkew/all), gen.Source(1, streamRegion, 0)
	own, shared := math.Sqrt(1-rho), math.Sqrt(rho)
	common, made := make([]float64, len(index)), make([]float64, len(of))
	sum, square := 0.0, 0.0
	for range regions {
		for k := range common {
			common[k] = rng.NormFloat64()
		}
		for i := range of {
			x := make([]float64, len(labels[i]))
			for k, label := range labels[i] {
				x[k] = dist.at(float64(shared*common[index[label]]) + float64(own*rng.NormFloat64()))
			}
			made[i] = momentsOf(x).cv
		}
		v := spread(made, n)
		sum += v / regions
		square += float64(v*v) / regions
	}
	off := spread(cv, n) - sum
	if math.Abs(off) < 1e-9 { // records that are the same
		return 0
	}
	return off / math.Sqrt(max(0, square-float64(sum*sum)))
}

// spread is the standard deviation of L-CVs, weighted by the lengths of records.
func spread(cv, n []float64) float64 {
	all, at, v := 0.0, 0.0, 0.0
	for i := range cv {
		all += n[i]
		at += float64(n[i] * cv[i])
	}
	at /= all
	for i := range cv {
		v += float64(n[i] * (cv[i] - at) * (cv[i] - at))
	}
	return math.Sqrt(v / all)
}

// worst is the neighbour whose L-CV lies farthest from that of all others, their
// lengths weighed; 0, the place itself, is none.
func worst(labels [][]int, of []moments) (out int) {
	most := -1.0
	for i := 1; i < len(of); i++ {
		rest, n := 0.0, 0.0
		for k, m := range of {
			if k != i {
				rest += float64(float64(len(labels[k])) * m.cv)
				n += float64(len(labels[k]))
			}
		}
		off := of[i].cv - rest/n
		if d := float64(off*off) * float64(len(labels[i])); d > most {
			most, out = d, i
		}
	}
	return out
}

// discordancy is D of Hosking & Wallis (§3.2: from memory, unverified) of each of
// five stations or more: how far its L-CV, L-skewness and L-kurtosis lie from the
// mean of all, their own spread being the measure. It is 1 on average.
func discordancy(of []moments) []float64 {
	n := float64(len(of))
	var at [3]float64
	row := func(m moments) [3]float64 { return [3]float64{m.cv, m.skew, m.kurtosis} }
	for _, m := range of {
		for k, x := range row(m) {
			at[k] += x / n
		}
	}
	a := mat.NewSymDense(3, nil)
	off := make([]*mat.VecDense, len(of))
	for i, m := range of {
		u := row(m)
		for k := range u {
			u[k] -= at[k]
		}
		off[i] = mat.NewVecDense(3, u[:])
		a.SymRankOne(a, 1, off[i])
	}
	out := make([]float64, len(of))
	var inverse mat.Dense
	if inverse.Inverse(a) != nil { // all alike in one of them: nothing is discordant
		return out
	}
	for i, u := range off {
		out[i] = n / 3 * mat.Inner(u, &inverse, u)
	}
	return out
}

// mostDiscordant is the largest D of a station that belongs to a region of five and
// more, by their number; 3 from fifteen on (Hosking & Wallis 1997, table 3.1: read
// as quoted by another).
var mostDiscordant = []float64{1.333, 1.648, 1.917, 2.140, 2.329, 2.491, 2.632, 2.757, 2.869, 2.971, 3}

// fit leaves out neighbours with whom the place makes no homogeneous region, one
// after the other, and returns those left and their H.
func (c *candidates) fit(in []int) (left []int, h float64) {
	for len(in) > 0 {
		labels, of, rho := [][]int{c.own.Label}, []moments{momentsOf(totals(c.own))}, 0.0
		for _, i := range in {
			labels, of = append(labels, c.near[i].Years.Label), append(of, momentsOf(totals(c.near[i].Years)))
			rho += c.pairs[i].years / float64(len(in))
		}
		out, why := 0, rainfall.Heterogeneous
		if len(of) >= 5 {
			limit := mostDiscordant[min(len(of)-5, len(mostDiscordant)-1)]
			for k, d := range discordancy(of) {
				if k == 0 {
					continue
				}
				c.from[in[k-1]].D = rounded(d)
				if d > limit && (out == 0 || d > c.from[in[out-1]].D) {
					out, why = k, rainfall.Discordant
				}
			}
		}
		if out == 0 {
			if h = rounded(heterogeneity(labels, of, rho)); h <= MostH {
				return in, h
			}
			out = worst(labels, of)
		}
		c.from[in[out-1]].Why = why
		in = slices.Delete(slices.Clone(in), out-1, out)
	}
	return nil, 0
}
