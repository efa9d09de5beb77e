package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The data of figure 2 of Satopää et al. 2011 (READ): the knee is at
// x = 0.22222222; the largest normalised gap is 0.5363984673 (COMP).
func TestKneeOfThePublishedCurve(t *testing.T) {
	y := []float64{-5, .26315789, 1.89655172, 2.69230769, 3.16326531, 3.47457627, 3.69565217, 3.86075949, 3.98876404, 4.09090909}
	x := make([]float64, len(y))
	for i := range x {
		x[i] = float64(i) / 9
		require.InDelta(t, 5-1/(x[i]+0.1), y[i], 1e-8, "the data are y = 5 − 1/(x + 0.1)")
	}
	at, gap := Knee(x, y)
	assert.InDelta(t, 0.22222222, x[at], 1e-8)
	assert.InDelta(t, 0.5363984673, gap, 1e-8)

	// Neither axis's scale matters.
	for i := range x {
		x[i], y[i] = 500+19500*x[i], 1e5+3*y[i]
	}
	same, gap := Knee(x, y)
	assert.Equal(t, at, same)
	assert.InDelta(t, 0.5363984673, gap, 1e-8)
}

// Where there is no knee, and of equal bends the first.
func TestKnee(t *testing.T) {
	for want, curves := range map[int][][]float64{
		-1: {{1, 2}, {3, 3, 3}, {3, 2, 1}, {1, 2, 3}, {0, 1, 9}}, // too short, flat, falling, straight, hollow
		1:  {{0, 2, 3, 4, 4}},
	} {
		for _, y := range curves {
			at, _ := Knee([]float64{1, 2, 3, 4, 5}[:len(y)], y)
			assert.Equal(t, want, at, "%v", y)
		}
	}
}

// Supply 1 − exp(−S/2000) of 100 m³: the next 1,000 L add less than a given
// part from a size known in closed form.
func TestGainStop(t *testing.T) {
	var size, supply []float64
	for s := 100.0; s <= 30000; s += 100 {
		size, supply = append(size, s), append(supply, 1e5*(1-math.Exp(-s/2000)))
	}
	for _, share := range []float64{0.1, 0.03, 0.01} {
		// e^(−S/2000)·(1 − e^(−1/2)) = share
		want := -2000 * math.Log(share/(1-math.Exp(-0.5)))
		got := gainStop(size, supply, 1000, share*1e5)
		assert.GreaterOrEqual(t, got, want)
		assert.Less(t, got, want+100)
	}
	assert.True(t, math.IsNaN(gainStop(size, supply, 1000, 1e-9)), "still gaining at the end")
	assert.True(t, math.IsNaN(gainStop(size, supply, 40000, 1e4)), "a step longer than the range")
	assert.Equal(t, 100.0, gainStop(size, supply, 1000, 1e5), "too little from the first")

	five := []float64{1, 2, 3, 4, 5}
	assert.Equal(t, 2.0, gainStop(five, []float64{0, 4, 6, 8, 10}, 1, 2.5), "the first step that adds less")
	assert.Equal(t, 4.0, gainStop(five, []float64{0, 4, 6, 8, 9}, 1, 2), "a step that adds as much as asked still pays")
}

func TestInterpolate(t *testing.T) {
	x, y := []float64{1, 2, 4}, []float64{10, 30, 20}
	for at, want := range map[float64]float64{0: 10, 1: 10, 1.5: 20, 2: 30, 3: 25, 4: 20, 9: 20} {
		assert.Equal(t, want, interpolate(x, y, at), "%g", at)
	}
}

// Annuity factors, the capital recovery factor and a levelised cost, all COMP
// from (1 − (1+i)^−n)/i.
func TestAnnuityFactor(t *testing.T) {
	assert.InDelta(t, 7.7217349, AnnuityFactor(0.05, 10), 5e-8)
	assert.InDelta(t, 14.0939446, AnnuityFactor(0.05, 25), 5e-8)
	assert.InDelta(t, 0.0709524573, 1/AnnuityFactor(0.05, 25), 5e-11)
	// $3,000 and 20 kL a year: $10.64287 a kL.
	assert.InDelta(t, 10.64287, 3000/AnnuityFactor(0.05, 25)/20, 5e-6)
	assert.Equal(t, 25.0, AnnuityFactor(0, 25))
	assert.InDelta(t, 25, AnnuityFactor(1e-7, 25), 1e-3, "and continuous there")
}

func TestPriceAndValue(t *testing.T) {
	c := priced()
	for size, want := range map[float64]float64{999: math.NaN(), 1000: 800, 3000: 1400, 5000: 2000, 7500: 3000, 10000: 4000, 10001: math.NaN()} {
		near(t, want, c.Price(size), 1e-9)
	}
	// 30 m³ a year at 4 is 120; 120 · 14.0939446 = 1,691.27335, less 1,400.
	assert.InDelta(t, 291.27335, c.Value(3000, 30000), 1e-5)
}

// The size worth most, by hand: of 20, 30, 38 and 39 m³ a year at 4 over an
// annuity of 14.0939446, worth 1,127.5, 1,691.3, 2,142.3 and 2,198.7 less
// prices of 800, 1,400, 2,000 and 4,000: 327.5, 291.3, 142.3, −1,801.3.
func TestBestValue(t *testing.T) {
	c := priced()
	size, supply := []float64{500, 1000, 3000, 5000, 10000, 20000}, []float64{15e3, 20e3, 30e3, 38e3, 39e3, 60e3}
	assert.Equal(t, 1000.0, c.bestValue(size, supply))
	c.Water = 8 // worth twice as much: 1,455, 1,982.5, 2,284.6, 397.4
	assert.Equal(t, 5000.0, c.bestValue(size, supply))
	c.Water = 0 // nothing pays: the cheapest loses least
	assert.Equal(t, 1000.0, c.bestValue(size, supply))
	assert.True(t, math.IsNaN(c.bestValue(size[:1], supply[:1])), "no price is known")

	c = &Costs{Sizes: []float64{1000, 3000}, Prices: []float64{100, 100}, Water: 2, Life: 10}
	assert.Equal(t, 1000.0, c.bestValue([]float64{1000, 2000, 3000}, []float64{5, 5, 5}), "of equal worth the smallest")
	assert.Equal(t, 2000.0, c.bestValue([]float64{1000, 2000, 3000}, []float64{5, 6, 6}))
}

// stopsOf are the stops of a study on a curve of sizes of 1, 2, … L that want
// 10 L.
func stopsOf(step, gain float64, supplied []float64, resampled ...[]float64) []Stop {
	s := question()
	s.GainStep, s.GainStop = step, gain
	var curve []Cell
	for k, x := range supplied {
		curve = append(curve, Cell{Tank: float64(k + 1), Supplied: x, Demand: 10})
	}
	return s.Stops(curve, resampled)
}

// A stop lies within its band, also where every resampled record moves it the
// same way; a record that finds none leaves the band open. The step of storage
// and the least that it must add are each the study's own.
func TestStopsAndTheirBands(t *testing.T) {
	supplied, nan := []float64{0, 4, 8, 8.5, 9}, math.NaN()
	for _, c := range []struct {
		resampled []float64
		low, high float64
	}{{[]float64{0, 8, 8.5, 8.8, 9}, 2, 3}, {[]float64{0, 3, 6, 9, 9.2}, 3, 4}, {[]float64{0, 2, 4, 6, 8}, 3, nan}} {
		near(t, []Stop{{3, c.low, c.high, ByKnee}, {3, c.low, c.high, ByGain}}, stopsOf(1, 0.1, supplied, c.resampled, c.resampled), 0)
	}
	early := []float64{0, 1, 2, 2.1, 2.2}
	assert.Equal(t, 3.0, stopsOf(2, 0.05, early, early)[1].Tank)
}
