package sim

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/sim/internal/steady"
)

// Claim is what a record lets be said of one measure of one tank in years that
// it has not seen: a beta distribution of the share that fails, and how much
// short years come together.
//
// The synthetic years say what the share is if the years of the record were the
// whole truth. They are not. What they tell too is how much the share differs
// from one stretch of years to the next, and so how far a record of n years may
// be from the truth (see Weights for n). For good years, p their share among
// the synthetic ones, with Jeffreys' prior (Jeffreys 1946, Proc. R. Soc. A
// 186:453; as an interval for a share: Brown, Cai & DasGupta 2001, Stat. Sci.
// 16:101) the share of short years is
//
//	Beta((1 − p)·n + ½, p·n + ½)
//
// Three faults of resampling alone are so mended. A record without a failure
// does not show that none can come: the half year added on either side stands
// for it. A tank chosen by its record is flattered by it: of the tanks that
// fail k of L years the smallest fails the next with chance (k + 1)/(L + 1) and
// the largest with k/(L + 1), whatever the climate (Gumbel & von Schelling 1950,
// Ann. Math. Stat. 21:247, the distribution of the number of exceedances), and
// (k + ½)/(L + 1) lies half-way. And resampled years spread by (L − 1)/L too
// little.
//
// The failed share f of days or of water is a sum over short years, each of
// which fails by some share of itself. With σ² the variance of one year's, and
// one short year of the usual depth d added for those not seen,
//
//	mean  (f·n + d)/(n + 1),  first parameter  f²(1 − f)·n/σ² + w
//
// w being what one short year adds to the first term. If every short year failed
// as a whole this would be the claim for good years, but for what is added.
// Weights reads it at the steps of a ladder of sizes and between them from f, so
// that what is said of a tank rises with its size, whatever sizes are listed.
//
// Sources from memory, unverified; the compound form is our own, held against
// climates whose truth is known (package known).
type Claim struct {
	Interval            // what is stated, and bounds that hold the share at the study's level
	seen        float64 // of the synthetic years
	held        float64 // what a target is held against, see Heed
	short, good float64 // of the beta distribution
	cluster     float64 // φ of short years
}

// Held is the share that a target is held against: what is stated, but for a
// record so short that no tank could be said to meet the target that was heeded.
func (c Claim) Held() float64 { return c.held }

// bounded fills in the bounds from the beta distribution. What is stated is what
// is expected, and never more than the synthetic years show: what is added for a
// failure not yet seen is caution, and the half year for a success not yet seen,
// at a tank that hardly ever has a good year, would be hope.
func (c *Claim) bounded(level float64) {
	b := distuv.Beta{Alpha: c.good, Beta: c.short}
	c.Low = min(c.Estimate, steady.Round(b.Quantile((1-level)/2)))
	c.High = max(c.Estimate, steady.Round(b.Quantile((1+level)/2)))
}

// Fails is the mean and the variance of the share that fails, by the
// distribution claimed.
func (c Claim) Fails() (mean, variance float64) {
	sum := c.short + c.good
	mean = c.short / sum
	return mean, mean * (1 - mean) / (sum + 1)
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
	q := 1 - c.Estimate
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
