package gen

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"tankodds/testdata"
)

// bootstrapMeanSE returns the standard error, in x's unit, of the mean of x
// under the stationary bootstrap with mean block length block (steps, ≥ 1):
// what resampling for ever would give, in closed form (Politis & Romano 1994,
// J. Am. Stat. Assoc. 89:1303). With p = 1/block and R as in Autocov,
//
//	n·SE² = R(0) + 2 Σ [(1−i/n)(1−p)^i + (i/n)(1−p)^(n−i)] R(i),  i = 1 … n−1
//
// A block of 1 is the plain bootstrap: SE = sqrt(R(0)/n).
func bootstrapMeanSE(x []float64, block float64) float64 {
	n := len(x)
	if n == 0 || !(block >= 1) {
		return math.NaN()
	}
	r := Autocov(x, n-1)
	stay := powers(1-1/block, n)
	sum := r[0]
	for i := 1; i < n; i++ {
		share := float64(i) / float64(n)
		weight := float64((1-share)*stay[i]) + float64(share*stay[n-i])
		sum += float64(2 * weight * r[i])
	}
	return math.Sqrt(sum / float64(n))
}

// powers returns x⁰ … xⁿ.
func powers(x float64, n int) []float64 {
	p := make([]float64, n+1)
	p[0] = 1
	for i := 1; i <= n; i++ {
		p[i] = p[i-1] * x
	}
	return p
}

// TestBootstrapMeanSE: the Nile with p = 0.1 has n·SE² = 124338.61213724119,
// so SE = 35.26168 against 16.83792 of the plain bootstrap (formula from
// memory, DERIV; numbers COMP from READ data).
func TestBootstrapMeanSE(t *testing.T) {
	x := testdata.Column(t, "nile.csv", "flow")
	se := bootstrapMeanSE(x, 10)
	assert.InEpsilon(t, 124338.61213724119, 100*se*se, 1e-12)
	assert.InDelta(t, 35.26168, se, 5e-6)
	assert.InDelta(t, 16.83792, bootstrapMeanSE(x, 1), 5e-6)
	assert.True(t, math.IsNaN(bootstrapMeanSE(nil, 10)))
	assert.True(t, math.IsNaN(bootstrapMeanSE(x, 0.5)))
}

// TestBootstrapMeanSEByResampling draws the stationary bootstrap with the
// generators' own block lengths and compares. 40,000 resamples know a standard
// error to about 1/sqrt(80,000) = 0.35 %; four of those are allowed.
func TestBootstrapMeanSEByResampling(t *testing.T) {
	x := testdata.Column(t, "nile.csv", "flow")
	n := len(x)
	const resamples = 40000
	for _, block := range []float64{1, 10, 25} {
		length := newGeometric(block, n) // cut at n: no longer block is ever needed
		rng := rand.New(rand.NewPCG(1994, uint64(block)))
		means := make([]float64, resamples)
		for i := range means {
			sum := 0.0
			for t := 0; t < n; {
				at := rng.IntN(n)
				for range min(length.draw(rng), n-t) {
					sum += x[at%n]
					at++
					t++
				}
			}
			means[i] = sum / float64(n)
		}
		assert.InEpsilon(t, bootstrapMeanSE(x, block), stat.StdDev(means, nil), 0.014, "block %g", block)
		assert.InDelta(t, 919.35, stat.Mean(means, nil), 4*bootstrapMeanSE(x, block)/math.Sqrt(resamples))
	}
}

// ar1 returns the first n autocovariances of an AR(1) series with unit
// variance.
func ar1(r float64, n int) []float64 { return powers(r, n) }

// TestBlockLengthOfAR1: with an AR(1)'s own autocovariances and every lag let
// in, the stationary block is (n·(2r/(1−r²))²)^(1/3): r = .3, n = 10,000:
// 16.32074 (circular 18.68259); r = .5, n = 1,000: 12.11414. COMP.
func TestBlockLengthOfAR1(t *testing.T) {
	const lags = 1 << 20 // so many that the taper is flat where the covariances live
	assert.InDelta(t, 16.32074, blockFrom(ar1(0.3, lags), lags, 10000, 2), 5e-6)
	assert.InDelta(t, 18.68259, blockFrom(ar1(0.3, lags), lags, 10000, 4.0/3), 5e-6)
	assert.InDelta(t, 12.11414, blockFrom(ar1(0.5, lags), lags, 1000, 2), 5e-6)
}

// TestBlockLengthRatio: circular over stationary is 1.5^(1/3). A published
// test pair, 13.635665 and 15.60894, has it (READ, documentation of a
// bootstrap library).
func TestBlockLengthRatio(t *testing.T) {
	want := math.Cbrt(1.5)
	assert.InDelta(t, want, 15.60894/13.635665, 1e-6)
	rng := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		x := simulateAR1(rng, 0.6, 300)
		b := AutoBlock(x)
		if b.Circular < 51 && b.Stationary > 1 { // neither bound met
			assert.InEpsilon(t, want, b.Circular/b.Stationary, 1e-12)
		}
	}
	b := AutoBlock(testdata.Column(t, "nile.csv", "flow"))
	assert.InEpsilon(t, want, b.Circular/b.Stationary, 1e-12)
}

func simulateAR1(rng *rand.Rand, r float64, n int) []float64 {
	x := make([]float64, n)
	v := rng.NormFloat64() / math.Sqrt(1-r*r)
	for i := range x {
		x[i] = v
		v = r*v + rng.NormFloat64()
	}
	return x
}

// TestAutoBlockFindsDependence: over many AR(1) series the median choice is
// near the exact one, and white noise gets far shorter blocks.
func TestAutoBlockFindsDependence(t *testing.T) {
	rng := rand.New(rand.NewPCG(2004, 2009))
	median := func(r float64) float64 {
		var b []float64
		for range 41 {
			b = append(b, AutoBlock(simulateAR1(rng, r, 10000)).Stationary)
		}
		sort.Float64s(b)
		return stat.Quantile(0.5, stat.Empirical, b, nil)
	}
	assert.InEpsilon(t, 16.32074, median(0.3), 0.15)
	assert.Less(t, median(0), 6.0)
}

func TestAutoBlockEdges(t *testing.T) {
	for _, x := range [][]float64{nil, {1, 2, 3}, make([]float64, 50)} {
		assert.Equal(t, BlockLength{1, 1, 0}, AutoBlock(x))
	}
	// a straight line depends on itself as far as can be seen: the bound holds
	line := make([]float64, 90)
	for i := range line {
		line[i] = float64(i)
	}
	b := AutoBlock(line)
	require.LessOrEqual(t, b.Circular, 29.0)
	require.Greater(t, b.Circular, 10.0)
	// shifting and stretching a series changes nothing
	x := testdata.Column(t, "nile.csv", "flow")
	y := make([]float64, len(x))
	for i := range x {
		y[i] = 3*x[i] + 70
	}
	assert.InEpsilon(t, AutoBlock(x).Stationary, AutoBlock(y).Stationary, 1e-9)
	assert.Equal(t, AutoBlock(x).Lags, AutoBlock(y).Lags)
}

// TestBandwidth reads M off correlograms made for it: n = 1000, so the limit
// is 0.1095 and five quiet lags in a row end the search.
func TestBandwidth(t *testing.T) {
	correlogram := func(loud ...int) []float64 {
		r := make([]float64, 38)
		r[0] = 1
		for _, k := range loud {
			r[k] = -0.2
		}
		return r
	}
	assert.Equal(t, 2, bandwidth(correlogram(), 1000, 5))
	assert.Equal(t, 2, bandwidth(correlogram(1), 1000, 5))
	assert.Equal(t, 6, bandwidth(correlogram(1, 2, 3), 1000, 5))
	assert.Equal(t, 14, bandwidth(correlogram(1, 4, 7), 1000, 5)) // gaps of two are not quiet
	assert.Equal(t, 2, bandwidth(correlogram(1, 7), 1000, 5))     // five quiet lags first
	assert.Equal(t, 37, bandwidth(correlogram(4, 8, 12, 16, 20, 24, 28, 32, 36), 1000, 5))
}
