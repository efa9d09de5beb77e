package near

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/rainfall"
)

// cascades are totals of years at nineteen gauges of the North Cascades: length,
// L-CV, L-skewness and L-kurtosis (Hosking & Wallis 1997, read as quoted by another;
// the last row from memory).
var cascades = [][4]float64{
	{98, 0.1209, 0.0488, 0.1433}, {59, 0.0915, 0.0105, 0.1569}, {90, 0.1124, 0.0614, 0.1541}, {61, 0.1032, 0.0417, 0.1429},
	{65, 0.0967, -0.0134, 0.1568}, {86, 0.1328, -0.0176, 0.1206}, {78, 0.1008, 0.0943, 0.1967}, {72, 0.1143, 0.0555, 0.1210},
	{67, 0.1107, 0.0478, 0.1371}, {99, 0.1179, 0.0492, 0.0900}, {49, 0.1308, 0.0940, 0.1273}, {61, 0.1119, -0.0429, 0.0927},
	{69, 0.1018, 0.0435, 0.1446}, {73, 0.1025, 0.0182, 0.1047}, {70, 0.1054, -0.0224, 0.1664}, {66, 0.1174, 0.0124, 0.1317},
	{59, 0.1115, -0.0346, 0.1032}, {74, 0.1003, 0.0446, 0.1450},
}

func region(rows [][4]float64) (labels [][]int, of []moments) {
	for _, r := range rows {
		var l []int
		for k := range int(r[0]) {
			l = append(l, 1900+k)
		}
		labels, of = append(labels, l), append(of, moments{1, r[1], r[2], r[3]})
	}
	return labels, of
}

// The book calls the region acceptably homogeneous: H is 0.6 or so with a kappa
// distribution (from memory, unverified). No gauge of it is very discordant.
func TestTheCascades(t *testing.T) {
	labels, of := region(cascades)
	h := heterogeneity(labels, of, 0)
	assert.InDelta(t, 0.6, h, 0.5)
	sum := 0.0
	for _, d := range discordancy(of) {
		sum += d
		assert.Less(t, d, 3.0)
	}
	assert.InEpsilon(t, float64(len(of)), sum, 1e-9, "D is 1 on average")
	// A gauge whose years differ twice as much is found by either.
	other := append(append([][4]float64(nil), cascades...), [4]float64{60, 0.2, 0.05, 0.14})
	labels, of = region(other)
	assert.Greater(t, heterogeneity(labels, of, 0), 3.0)
	assert.Equal(t, len(other)-1, worst(labels, of))
	assert.Greater(t, discordancy(of)[len(other)-1], 3.0)
	// Gauges that share their weather must be more alike than others.
	labels, of = region(cascades)
	assert.Greater(t, heterogeneity(labels, of, 0.8), h+1)
}

// The sample L-moments of numbers reckoned by hand, and those of the distribution
// fitted to them.
func TestLMoments(t *testing.T) {
	m := momentsOf([]float64{4, 1, 3, 2})
	assert.InDelta(t, 2.5, m.mean, 1e-12)
	assert.InDelta(t, (5.0/3)/2/2.5, m.cv, 1e-12, "half the mean difference of two of them")
	assert.InDelta(t, 0, m.skew, 1e-12)
	rng := rand.New(rand.NewPCG(6, 6))
	for _, want := range [][2]float64{{0.1, 0}, {0.12, 0.1}, {0.2, 0.2}, {0.1, -0.1}} {
		x, p := make([]float64, 200_000), pearsonOf(want[0], want[1])
		for k := range x {
			x[k] = p.at(rng.NormFloat64())
		}
		got := momentsOf(x)
		assert.InDelta(t, 1, got.mean, 0.003)
		assert.InEpsilon(t, want[0], got.cv, 0.02)
		assert.InDelta(t, want[1], got.skew, 0.01)
	}
}

// In homogeneous regions H is 0 on average, whether their gauges go together or not,
// and lets most pass.
func TestHOfHomogeneousRegions(t *testing.T) {
	t.Parallel()
	for _, rho := range []float64{0, 0.8} {
		rng, sum, passed := rand.New(rand.NewPCG(7, 7)), 0.0, 0.0
		const n = 24
		for range n {
			var labels [][]int
			var of []moments
			var common [40]float64
			for k := range common {
				common[k] = rng.NormFloat64()
			}
			for range 4 {
				x, l := make([]float64, len(common)), make([]int, len(common))
				for k := range x {
					x[k], l[k] = 1+0.2*(math.Sqrt(rho)*common[k]+math.Sqrt(1-rho)*rng.NormFloat64()), k
				}
				labels, of = append(labels, l), append(of, momentsOf(x))
			}
			h := heterogeneity(labels, of, rho)
			sum += h / n
			if h <= MostH {
				passed += 1.0 / n
			}
		}
		assert.InDelta(t, 0, sum, 0.45, "%g", rho)
		assert.Greater(t, passed, 0.75, "%g", rho)
	}
}

// A heterogeneous neighbour is left out by name, and of five or more a discordant
// one.
func TestFit(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	y := records(0.8, []int{30, 60, 60, 60, 60, 60}, rng)
	y[3] = times(y[3], 1, func(i, _ int, x float64) float64 { return x * (1 + 0.5*float64(i%2)) })
	c := &candidates{own: y[0], near: stations(y[1:])}
	for _, s := range c.near {
		c.pairs, c.from = append(c.pairs, compare(c.own, s.Years)), append(c.from, rainfall.Neighbour{})
	}
	left, h := c.fit([]int{0, 1, 2, 3, 4})
	assert.NotContains(t, left, 2)
	assert.Contains(t, []rainfall.Unfit{rainfall.Discordant, rainfall.Heterogeneous}, c.from[2].Why)
	assert.LessOrEqual(t, h, MostH)
	assert.Greater(t, c.from[2].D, 0.0)
}
