package sim

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"tankodds/rainfall"
)

// Definition 7 of Hyndman & Fan 1996, the default of R's quantile: at
// 1 + (n−1)p between the order statistics (COMP, by hand).
func TestQuantile(t *testing.T) {
	x := []float64{1, 2, 4, 8, 16}
	for _, c := range [][2]float64{{0, 1}, {0.05, 1.2}, {0.1, 1.4}, {0.25, 2}, {0.5, 4}, {0.6, 5.6}, {0.75, 8}, {0.95, 14.4}, {1, 16}} {
		assert.InDelta(t, c[1], quantile(x, c[0]), 1e-12, "%g", c[0])
	}
	// R: quantile(c(3, 7, 9, 20), c(.05, .5, .95)) is 3.6, 8, 18.35 (COMP).
	for p, want := range map[float64]float64{0.05: 3.6, 0.5: 8, 0.95: 18.35} {
		assert.InDelta(t, want, quantile([]float64{3, 7, 9, 20}, p), 1e-12)
	}
	assert.Equal(t, 5.0, quantile([]float64{5}, 0.95))

	inf := math.Inf(1)
	assert.Equal(t, 2.0, quantile([]float64{1, 2, inf}, 0.5), "the last finite value itself")
	assert.Equal(t, inf, quantile([]float64{1, 2, inf}, 0.51))
	assert.Equal(t, inf, quantile([]float64{1, inf, inf}, 0.75))
}

func TestSpread(t *testing.T) {
	x := []float64{16, 1, 8, 2, 4}
	low, high := spread(x, 0.9)
	assert.InDelta(t, 1.2, low, 1e-12)
	assert.InDelta(t, 14.4, high, 1e-12)
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
		got := crossing(x, c.y, c.target)
		if math.IsInf(c.want, 1) {
			assert.Equal(t, inf, got)
			continue
		}
		assert.InEpsilon(t, c.want, got, 1e-9, "%v at %g", c.y, c.target)
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

// A year's days by the calendar: none for 29 February, NaN where not run.
func TestStoragesOfAYear(t *testing.T) {
	var days []Day
	for d := rainfall.Day(2003, time.October, 3); d < rainfall.Day(2004, time.September, 30); d++ {
		days = append(days, Day{Date: d, Storage: float64(len(days))})
	}
	got := storages(days, rainfall.Calendar(time.October))
	require.Len(t, got, 365)
	assert.True(t, math.IsNaN(got[0]) && math.IsNaN(got[1]) && math.IsNaN(got[364]), "beyond the record")
	assert.Equal(t, 0.0, got[2])
	feb28 := int(rainfall.Day(2004, time.February, 28) - rainfall.Day(2003, time.October, 1))
	assert.Equal(t, []float64{float64(feb28 - 2), float64(feb28)}, got[feb28:feb28+2], "29 February is left out")
	assert.Equal(t, float64(365-1-2), got[363])
}
