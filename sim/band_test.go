package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
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

// Between the sizes run of resampled records a measure is read straight in the
// logarithm of the size; beyond them it is that of the nearest.
func TestReplicatesReadBetweenSizes(t *testing.T) {
	s := question()
	r := &Replicates{sizes: s.NewSizes([]float64{100, 1000, 4000})}
	for b := range 2 {
		var of [][4]share
		for k, x := range r.sizes.Nominal {
			x := share{float64(b) + math.Log10(x)/10, 0.01 * float64(k)}
			of = append(of, [4]share{Time: x, turning: x})
		}
		r.shares = append(r.shares, [][][4]share{nil, of})
	}
	for nominal, want := range map[float64][2]float64{100: {0.2, 0}, 1000: {0.3, 0.01}, math.Sqrt(1e5): {0.25, 0.005}, 2000: {math.Log10(2000) / 10, 0.015},
		4000: {math.Log10(4000) / 10, 0.02}, 7: {0.2, 0}, 1e6: {math.Log10(4000) / 10, 0.02}} {
		values, noise := r.at(Time, 1, nominal)
		near(t, []float64{want[0], 1 + want[0]}, values, 1e-9, "%g L", nominal)
		near(t, []float64{want[1], want[1]}, noise, 1e-9, "%g L", nominal)
		// What litres between two sizes did is read half a step lower.
		values, noise = r.at(turning, 1, nominal/math.Pow(2, 1.0/8))
		near(t, []float64{want[0], 1 + want[0], want[1], want[1]}, append(values, noise...), 1e-9, "%g L", nominal)
	}

	wide := thinSizes(3, 5e6)
	require.True(t, wide[0] <= 3 && wide[len(wide)-1] >= 5e6)
	for _, x := range [][2]float64{{3, 3.1}, {450, 20000}, {1024, 4096}, {999, 1e6}} {
		few := thinSizes(x[0], x[1])
		require.True(t, few[0] <= x[0] && few[len(few)-1] >= x[1] && len(few) > 1)
		require.Subset(t, wide, few, "the same sizes in any range")
	}
}
