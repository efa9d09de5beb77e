package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"tankodds/sim/internal/steady"
)

// Definition 7 of Hyndman & Fan 1996, the default of R's quantile: at
// 1 + (n−1)p between the order statistics (COMP, by hand).
func TestQuantile(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct{ x, at, want []float64 }{
		{[]float64{1, 2, 4, 8, 16}, []float64{0, 0.05, 0.1, 0.25, 0.5, 0.6, 0.75, 0.95, 1}, []float64{1, 1.2, 1.4, 2, 4, 5.6, 8, 14.4, 16}},
		{[]float64{3, 7, 9, 20}, []float64{0.05, 0.5, 0.95}, []float64{3.6, 8, 18.35}}, // as R's quantile has it
		{[]float64{5}, []float64{0.95}, []float64{5}},
		{[]float64{1, 2, inf}, []float64{0.5, 0.51}, []float64{2, inf}}, // the last finite value itself
		{[]float64{1, inf, inf}, []float64{0.75}, []float64{inf}},
	} {
		for k, p := range c.at {
			near(t, c.want[k], quantile(c.x, p), 1e-12, "%v at %g", c.x, p)
		}
	}
	x := []float64{16, 1, 8, 2, 4}
	low, high := spread(x, 0.9)
	near(t, []float64{1.2, 14.4}, []float64{low, high}, 1e-12)
	assert.Equal(t, []float64{16, 1, 8, 2, 4}, x, "left as it was")
}

// The smallest size at which a curve reaches a target, straight in log size.
func TestCrossing(t *testing.T) {
	x, inf := []float64{100, 1000, 10000}, math.Inf(1)
	for _, c := range []struct {
		y            []float64
		target, want float64
	}{
		{[]float64{0, 0.5, 1}, 0.25, math.Sqrt(1e5)}, // half-way from 100 to 1,000
		{[]float64{0, 0.5, 1}, 0.5, 1000},
		{[]float64{0, 0.5, 1}, 0.9, 1000 * math.Pow(10, 0.8)},
		{[]float64{0.3, 0.5, 1}, 0.3, 100},    // met at the first size
		{[]float64{0.3, 0.5, 0.6}, 0.61, inf}, // not met
		// The curve is taken as never falling: 0.6 at 1,000 too.
		{[]float64{0.6, 0.4, 0.8}, 0.7, 1000 * math.Pow(10, 0.5)},
		{[]float64{0.6, 0.4, 0.8}, 0.5, 100},
	} {
		near(t, c.want, crossing(x, c.y, c.target), 1e-7, "%v at %g", c.y, c.target)
	}
	assert.Equal(t, 50.0, crossing([]float64{50}, []float64{0.9}, 0.9))
	assert.Equal(t, inf, crossing([]float64{50}, []float64{0.8}, 0.9))
	assert.True(t, math.IsNaN(finite(inf)))
	assert.Equal(t, 3.0, finite(3))
}

// Records that differ with a standard deviation of 3, seen through noise of 4:
// the spread seen is 5, what deviations leaves of it is 3.
func TestDeviationsTakeTheNoiseOut(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	const n = 20000
	values, noise := make([]float64, n), make([]float64, n)
	for i := range values {
		values[i] = 100 + 3*rng.NormFloat64() + 4*rng.NormFloat64()
		noise[i] = 8 + 16*rng.Float64() // 16 on average
	}
	got := deviations(values, noise, 0)
	assert.InDelta(t, 0, stat.Mean(got, nil), 1e-9)
	assert.InDelta(t, 5, stat.StdDev(values, nil), 0.1)
	assert.InDelta(t, 3, stat.StdDev(got, nil), 0.15)
	assert.InDelta(t, 1, stat.Correlation(values, got, nil), 1e-9, "shrunk, not shuffled")
}

func TestDeviationsAtTheirEdges(t *testing.T) {
	assert.Equal(t, []float64{-1, 1}, deviations([]float64{4, 6}, []float64{0, 0}, 0), "no noise, no shrinking")
	assert.Equal(t, []float64{0, 0}, deviations([]float64{4, 6}, []float64{9, 9}, 0), "nothing but noise")
	assert.Equal(t, []float64{0, 0, 0}, deviations([]float64{5, 5, 5}, []float64{1, 1, 1}, 0))
	assert.Equal(t, []float64{0}, deviations([]float64{5}, []float64{1}, 0))
	assert.InDeltaSlice(t, []float64{-math.Sqrt2, math.Sqrt2}, deviations([]float64{4, 6}, []float64{0, 0}, 2), 1e-12, "two years resampled vary half as much as two fresh ones")
}

// A long row is thinned to tanks evenly spread, both ends kept, and every tank
// knows its neighbours: read off a quantity straight in the logarithm of the
// size, it has its own value again.
func TestThin(t *testing.T) {
	for _, n := range []int{1, 2, 31, 32, 33, 50, 64, 100} {
		r := Row{Scale: 2}
		for i := range n {
			r.Usable = append(r.Usable, 500*float64(int(1)<<(i/8))*(1+float64(i%8)/8))
		}
		thin, at := r.thin(32)
		assert.Equal(t, 2.0, thin.Scale)
		require.LessOrEqual(t, len(thin.Usable), 32)
		require.Len(t, at, n)
		assert.Equal(t, r.Usable[0], thin.Usable[0])
		assert.Equal(t, r.Usable[n-1], thin.Usable[len(thin.Usable)-1])
		for k, p := range at {
			low, high := thin.Usable[p.low], thin.Usable[p.high]
			require.InEpsilon(t, r.Usable[k], steady.InRatio(low, high, p.w), 1e-8, "tank %d of %d", k, n)
		}
	}
}
