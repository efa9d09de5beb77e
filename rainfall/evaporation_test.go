package rainfall

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestRadiation(t *testing.T) {
	for _, c := range []struct {
		latitude float64
		day      int
		want     float64 // MJ/m²/day
		within   float64
		source   string
	}{
		{-20, 246, 32.2, 0.05, "FAO-56 example 8, 3 September"},
		{-20, 246, 32.193995875, 0.5e-9, "the same computed apart from this program"},
		{0, 15, 36.1575, 0.5e-4, "computed apart from this program, as are those below"},
		{35, 196, 40.7836, 0.5e-4, ""},
		{-30, 15, 43.1244, 0.5e-4, ""},
		{80, 172, 44.745, 0.5e-3, "the sun does not set"},
		{80, 1, 0, 0, "polar night"},
		{90, 1, 0, 0, "the pole itself, where a tangent has no bound"},
		{-90, 172, 0, 0, ""},
	} {
		got := Radiation(c.latitude, c.day)
		assert.InDelta(t, c.want, got, c.within, "%g°, day %d: %s", c.latitude, c.day, c.source)
		assert.False(t, math.Signbit(got))
		assert.Equal(t, got, math.Round(got*1e9)/1e9, "rounded for every processor")
	}
	// Mean over the globe and the year is a quarter of the solar constant
	// (geometry): 0.0820·1440/4 = 29.52 MJ/m²/day; the sun's distance adds
	// nothing on average, 0.033·cos.
	sum, weight := 0.0, 0.0
	for latitude := -89.5; latitude < 90; latitude++ {
		w := math.Cos(latitude * math.Pi / 180)
		for day := 1; day <= 365; day++ {
			sum += w * Radiation(latitude, day)
			weight += w
		}
	}
	assert.InEpsilon(t, 29.52, sum/weight, 0.002)
	for _, latitude := range []float64{90.1, -91, math.NaN(), math.Inf(1)} {
		assert.True(t, math.IsNaN(Radiation(latitude, 1)), "%g°", latitude)
	}
}

func TestHargreaves(t *testing.T) {
	// FAO-56 example 20, Lyon in July, as quoted by another (documentation of
	// a climate language): 26.6 and 14.8 °C, Ra 40.6, printed 5.0.
	assert.InDelta(t, 5.0, Hargreaves(26.6, 14.8, 40.6), 0.05)
	assert.InDelta(t, 5.03867, Hargreaves(26.6, 14.8, 40.6), 0.5e-5) // computed apart from this program
	// The equation says it: 0.0023·17.8·4·0.408·30 for 8 and −8 °C.
	assert.InEpsilon(t, 0.0023*17.8*4*0.408*30, Hargreaves(8, -8, 30), 1e-14)
	for _, c := range []struct{ max, min float64 }{{10, 10}, {10, 12}, {-20, -40}} {
		got := Hargreaves(c.max, c.min, 30)
		assert.Zero(t, got, "%v", c)
		assert.False(t, math.Signbit(got))
	}
	for _, c := range [][3]float64{{math.NaN(), 10, 30}, {20, math.NaN(), 30}, {20, 10, math.NaN()}} {
		assert.True(t, math.IsNaN(Hargreaves(c[0], c[1], c[2])), "%v", c)
	}
}
