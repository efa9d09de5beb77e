package sim

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/sim/internal/steady"
)

// Claim is what a record lets be said of the share of short years at one
// tank, in years it has not seen: a beta distribution, and how much short
// years come together.
//
// The synthetic years say what the share p of good years is if the years of
// the record were the whole truth. They are not. A record of L years says of
// such a share as much as p·L good years in L draws; with Jeffreys' prior
// (Jeffreys 1946, Proc. R. Soc. A 186:453; as an interval for a share: Brown,
// Cai & DasGupta 2001, Stat. Sci. 16:101) the share of short years is then
//
//	Beta((1 − p)·n + ½, p·n + ½),  n = L/φ
//
// Three faults of resampling alone are so mended without a number to choose.
// A record without a failure does not show that none can come: the half year
// added on either side stands for it. A tank chosen by its record is flattered
// by it: of the tanks that fail k of L years the smallest fails the next with
// chance (k + 1)/(L + 1) and the largest with k/(L + 1), whatever the climate
// (Gumbel & von Schelling 1950, Ann. Math. Stat. 21:247, the distribution of
// the number of exceedances), and (k + ½)/(L + 1) lies half-way. And resampled
// years spread by (L − 1)/L too little.
//
// φ ≥ 1 is the variance of the number of short years in a trace over that of
// independent years (the design effect of Kish 1965, Survey Sampling): a tank
// that carries water over has its short years in clusters, and clusters are
// what is counted. So have years that depend on each other (see spreading). A
// generator that smooths may know p better than L years tell; that is not
// claimed.
//
// Sources from memory, unverified.
type Claim struct {
	seen        float64 // p, of the synthetic years
	short, good float64 // of the beta distribution
	cluster     float64 // φ
}

// newClaim makes the claim of a tank whose share of good years, with its
// variance between traces, comes from so many synthetic years, learnt from a
// record of so many real ones. Both errors, the record's and the smaller one
// of the simulation, count: L is the years of a record that would have them
// together.
func newClaim(p share, synthetic, record float64) Claim {
	c := Claim{seen: p.value, cluster: 1}
	if p.value > 0 && p.value < 1 {
		c.cluster = max(1, p.variance*synthetic/(p.value*(1-p.value)))
	}
	n := record * synthetic / (record + synthetic) / c.cluster
	c.short, c.good = float64((1-p.value)*n)+0.5, float64(p.value*n)+0.5
	return c
}

// Expected returns the chance that a year not seen is good.
func (c Claim) Expected() float64 { return c.good / (c.short + c.good) }

// Stated is the share of good years that is claimed: what is expected, and
// never more than the synthetic years show. The half year that stands for a
// failure not yet seen is caution; the one for a success not yet seen, at a
// tank that hardly ever has a good year, would be hope.
func (c Claim) Stated() float64 { return min(c.Expected(), c.seen) }

// Interval returns the share of good years: what is stated, and bounds that
// hold the share at a level.
func (c Claim) Interval(level float64) Interval {
	b := distuv.Beta{Alpha: c.good, Beta: c.short}
	return Interval{c.Stated(), min(c.seen, steady.Round(b.Quantile((1-level)/2))), steady.Round(b.Quantile((1 + level) / 2))}
}

// above says whether the share of good years is above x with a probability p at
// least, by the bounds that Interval gives.
func (c Claim) above(x, p float64) bool {
	b := distuv.Beta{Alpha: c.good, Beta: c.short}
	return b.Survival(x) >= p && (p < 0.5 || c.seen >= x)
}

// spreading returns the claim with its clusters as large as make it spread like
// the shares that resampled records gave, noise being the Monte Carlo variance
// of each: for a record whose years depend on each other and that was
// resampled in blocks. It is never the narrower claim.
func (c Claim) spreading(shares, noise []float64, record int) Claim {
	p := c.seen
	if record < 2 || p <= 0 || p >= 1 {
		return c
	}
	moved := deviations(shares, noise, record)
	square := 0.0
	for _, d := range moved {
		square += float64(d * d)
	}
	n := c.short + c.good - 1
	cluster := n * c.cluster * square / float64(len(moved)-1) / (p * (1 - p))
	if !(cluster > c.cluster) {
		return c
	}
	n *= c.cluster / cluster
	return Claim{seen: p, short: float64((1-p)*n) + 0.5, good: float64(p*n) + 0.5, cluster: cluster}
}

// Outlook returns the probabilities of 0 … h short years in the next h: the
// record's error and chance together. The variance of the count is that of a
// beta-binomial whose years go together for two reasons, the share common to
// all of them, not known, and the clusters:
//
//	ρ = ρ₁ + ρ₂ − ρ₁ρ₂,  ρ₁ = 1/(short + good + 1),  ρ₂ = (φ − 1)/(h − 1)
//
// and the beta-binomial with that ρ and the expected share is taken.
func (c Claim) Outlook(h int) []float64 {
	rho := 1 / (c.short + c.good + 1)
	if h > 1 {
		rho = together(rho, (c.cluster-1)/float64(h-1))
	}
	q := 1 - c.Stated()
	if q >= 1 {
		return binomial(h, q)
	}
	return clustered(h, q, rho)
}

// chance returns what Outlook does for a share of short years known to be q,
// whose years go together by φ.
func chance(h int, q, cluster float64) []float64 {
	if q <= 0 || q >= 1 || h < 2 || cluster <= 1 {
		return binomial(h, q)
	}
	return clustered(h, q, together(0, (cluster-1)/float64(h-1)))
}

// mostTogether keeps the parameters of the beta-binomial above 0.
const mostTogether = 0.99

// together joins two reasons for the years of a count to be alike.
func together(a, b float64) float64 {
	b = min(b, mostTogether)
	return min(a+b-float64(a*b), mostTogether)
}

// clustered is the beta-binomial of mean share q whose trials correlate by
// rho, 0 < rho < 1.
func clustered(n int, q, rho float64) []float64 {
	s := 1/rho - 1
	return betaBinomial(n, q*s, (1-q)*s)
}

// betaBinomial returns the probabilities of 0 … n successes where the chance
// of one is drawn from Beta(a, b), a and b above 0 (Skellam 1948, J. R. Stat.
// Soc. B 10:257: from memory, unverified).
//
//	P(x) = C(n, x)·B(x + a, n − x + b)/B(a, b)
//
// It is built from the ratios of neighbouring terms alone: no gamma function,
// whose last bit may differ between processors.
func betaBinomial(n int, a, b float64) []float64 {
	return fromRatios(n, func(x int) float64 {
		return float64(n-x+1) / float64(x) * (float64(x-1) + a) / (float64(n-x) + b)
	})
}

// binomial returns the probabilities of 0 … n successes of chance q.
func binomial(n int, q float64) []float64 {
	if q >= 1 {
		p := make([]float64, n+1)
		p[n] = 1
		return p
	}
	odds := q / (1 - q)
	return fromRatios(n, func(x int) float64 { return float64(n-x+1) / float64(x) * odds })
}

// fromRatios returns probabilities of 0 … n of which ratio(x) is that of x to
// that of x − 1.
func fromRatios(n int, ratio func(x int) float64) []float64 {
	const large = 1 << 500
	p := make([]float64, n+1)
	p[0] = 1
	for x := 1; x <= n; x++ {
		p[x] = p[x-1] * ratio(x)
		if p[x] > large { // keep the terms within what a float64 holds
			for k := range p[:x+1] {
				p[k] = math.Ldexp(p[k], -500)
			}
		}
	}
	sum := 0.0
	for _, w := range p {
		sum += w
	}
	for x := range p {
		p[x] /= sum
	}
	return p
}

// CountInterval returns the central interval of a count at a level: the first
// counts whose cumulative probability reaches (1 − level)/2 and (1 + level)/2.
func CountInterval(p []float64, level float64) (low, high float64) {
	return countQuantile(p, (1-level)/2), countQuantile(p, (1+level)/2)
}

// countQuantile returns the first count whose cumulative probability reaches
// q, less rounding.
func countQuantile(p []float64, q float64) float64 {
	const rounding = 1e-9
	sum := 0.0
	for x, w := range p {
		if sum += w; sum >= q-rounding {
			return float64(x)
		}
	}
	return float64(len(p) - 1)
}
