package sim

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/rainfall/gen"
)

func TestBetaBinomial(t *testing.T) {
	// Beta(1, 1) makes every count as likely as another (COMP).
	assert.InDeltaSlice(t, []float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1}, betaBinomial(9, 1, 1), 1e-12)
	// n = 2, a = 1, b = 3: B(x+1, 5−x)/B(1, 3)·C(2, x) = 3/5, 3/10, 1/10
	// (COMP, exact fractions).
	assert.InDeltaSlice(t, []float64{0.6, 0.3, 0.1}, betaBinomial(2, 1, 3), 1e-12)
	// Against the formula in logarithms of the gamma function.
	lbeta := func(a, b float64) float64 {
		x, _ := math.Lgamma(a)
		y, _ := math.Lgamma(b)
		z, _ := math.Lgamma(a + b)
		return x + y - z
	}
	for _, c := range [][2]float64{{0.5, 30.5}, {3.5, 12.5}, {1e-3, 50}, {900, 0.5}, {4000, 5000}} {
		p := betaBinomial(50, c[0], c[1])
		assert.InDelta(t, 1, total(p), 1e-12)
		for x, got := range p {
			choose := -math.Log(51) - lbeta(float64(x+1), float64(50-x+1))
			want := math.Exp(choose + lbeta(float64(x)+c[0], float64(50-x)+c[1]) - lbeta(c[0], c[1]))
			assert.InDelta(t, want, got, 1e-9*want+1e-300, "a %g b %g x %d", c[0], c[1], x)
		}
	}
}

func TestBinomial(t *testing.T) {
	for _, q := range []float64{0, 0.03, 0.5, 0.999, 1} {
		b := distuv.Binomial{N: 40, P: q}
		for x, got := range binomial(40, q) {
			want := b.Prob(float64(x))
			if q == 0 || q == 1 {
				want = 0
				if float64(x) == 40*q {
					want = 1
				}
			}
			assert.InDelta(t, want, got, 1e-12)
		}
	}
}

// annualClaim is what is said of a share of good years that so many years, which
// do not depend on each other, show.
func annualClaim(p, years float64) Claim {
	w := &Weights{cluster: 1, caution: 1, level: 0.9}
	w.years[Annual] = years
	return w.claim(Annual, share{value: p}, p)
}

// The bounds are the quantiles that they are called, from records of two years
// to ten thousand and from no failure to nothing else.
func TestClaimInterval(t *testing.T) {
	for _, years := range []float64{2, 15, 150, 10000} {
		for _, p := range []float64{0, 0.01, 0.5, 0.9, 0.9999, 1} {
			c := annualClaim(p, years)
			b := distuv.Beta{Alpha: p*years + 0.5, Beta: (1-p)*years + 0.5}
			i := c.Interval
			if i.Low < p { // else cut at what the synthetic years show
				assert.InDelta(t, 0.05, b.CDF(i.Low), 1e-5, "%g years share %g", years, p)
			}
			assert.InDelta(t, 0.95, b.CDF(i.High), 1e-5, "%g years share %g", years, p)
			assert.LessOrEqual(t, i.Estimate, p)
		}
	}
}

// Of k failures in n years the claim expects (k + ½)/(n + 1), half-way between
// the two ends of the exact law of exceedances, and the next year is one trial
// of that chance. With no failure in 30 years the 95 % bound lies below the rule
// of three's exact form 1 − 0.05^(1/30) = 0.0950339 (COMP), which never covers
// too little.
func TestClaimExpects(t *testing.T) {
	for _, years := range []float64{20, 30} {
		for _, k := range []float64{0, 1, 4} {
			c := annualClaim(1-k/years, years)
			assert.InDelta(t, 1-(k+0.5)/(years+1), c.Estimate, 1e-9)
			assert.InDelta(t, 1-c.Estimate, c.Outlook(1)[1], 1e-9)
		}
	}
	i := annualClaim(1, 30).Interval
	assert.Less(t, 1-i.Low, 0.0950339)
	assert.Greater(t, 1-i.Low, 0.04)
	assert.Less(t, i.High, 1.0)
}

// Clusters: the count of the next years has the expected mean, and a variance
// that grows with the clusters and with the shortness of the record.
func TestOutlookSpread(t *testing.T) {
	moments := func(p []float64) (m, v float64) {
		for x, w := range p {
			m += w * float64(x)
		}
		for x, w := range p {
			v += w * (float64(x) - m) * (float64(x) - m)
		}
		return m, v
	}
	const q, h = 0.1, 30
	_, plain := moments(binomial(h, q))
	assert.InDelta(t, h*q*(1-q), plain, 1e-9)
	m, v := moments(chance(h, q, 2))
	assert.InDelta(t, h*q, m, 1e-9)
	assert.InDelta(t, 2*plain, v, 1e-9)
	before := plain
	for _, years := range []float64{1000, 100, 30, 15} {
		c := annualClaim(1-q, years)
		m, v := moments(c.Outlook(h))
		assert.InDelta(t, h*(1-c.Estimate), m, 1e-9)
		assert.Greater(t, v, before)
		before = v
	}
}

// Independent years of a known climate: the storage that a year needs is drawn
// afresh, the tank is the smallest that the record says meets the target, and
// the claim must hold in the years that follow.
func TestClaimHoldsInAKnownClimate(t *testing.T) {
	t.Parallel()
	const cases, horizon = 4000, 30
	levels := [3]float64{0.5, 0.8, 0.9}
	rng := gen.Source(11, 1, 1)
	for _, record := range []int{15, 30} {
		for _, target := range []float64{0.8, 0.9, 0.95} {
			var inside [3]float64
			bias := 0.0
			for range cases {
				// The chance that a year needs more than the k-th least of a
				// record is one minus the k-th least of as many even draws.
				needs := make([]float64, record)
				for i := range needs {
					needs[i] = rng.Float64()
				}
				slices.Sort(needs)
				needs = append(needs, 1)
				k := 0
				var c Claim
				for k = 1; k <= record; k++ {
					if c = annualClaim(float64(k)/float64(record), float64(record)); c.Estimate >= target {
						break
					}
				}
				// Any tank between this need and the next is as good by the
				// record; the generators that smooth stop between them.
				k = min(k, record)
				truth := (needs[k-1] + needs[k]) / 2
				x := 0
				for range horizon {
					if rng.Float64() > truth {
						x++
					}
				}
				claimed := c.Outlook(horizon)
				pit := total(claimed[:x]) + rng.Float64()*claimed[x]
				for l, level := range levels {
					if math.Abs(pit-0.5) <= level/2 {
						inside[l]++
					}
				}
				bias += c.Estimate - truth
			}
			for l, level := range levels {
				assert.InDelta(t, level, inside[l]/cases, 0.035, "record %d target %g level %g", record, target, level)
			}
			assert.InDelta(t, 0, bias/cases, 0.005, "record %d target %g", record, target)
		}
	}
}

func TestCountInterval(t *testing.T) {
	// cumulative 0.05, 0.55, 0.94, 1
	p := []float64{0.05, 0.5, 0.39, 0.06}
	for level, want := range map[float64][2]float64{0.9: {0, 3}, 0.5: {1, 2}} {
		low, high := CountInterval(p, level)
		assert.Equal(t, want, [2]float64{low, high})
	}
}
