package gen

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// gammaTable holds the quantiles of a gamma distribution of mean 1, so that a
// draw is a look-up: 256 equal steps of probability, the last of them in 256
// finer ones, straight lines between. The top is cut at a chance of 1 in
// 131,072. The distribution function is gonum's (distuv.Gamma).
type gammaTable struct {
	body [257]float64 // at k/256
	tail [257]float64 // at 255/256 + k/65536
}

func newGammaTable(shape float64) *gammaTable {
	const points = 400
	g := distuv.Gamma{Alpha: shape, Beta: 1}
	// Wide enough for the last quantile: for shape a its distance above the
	// mean is below 12 + 5·sqrt(a) (checked in a test).
	top := shape + 13 + float64(5*math.Sqrt(shape))
	var x, p [points + 1]float64
	for i := range x {
		u := float64(i) / points
		x[i] = top * u * u * u // close steps where small depths crowd
		if i > 0 {
			p[i] = g.CDF(x[i])
		}
	}
	t := &gammaTable{}
	at := 1
	inverse := func(want float64) float64 {
		for at < points && p[at] <= want {
			at++
		}
		w := (want - p[at-1]) / (p[at] - p[at-1])
		return x[at-1] + float64(math.Min(w, 1)*(x[at]-x[at-1]))
	}
	for k := range 256 {
		t.body[k] = inverse(float64(k) / 256)
	}
	for k := range 256 {
		t.tail[k] = inverse(255.0/256 + float64(k)/65536)
	}
	t.tail[256] = inverse(1 - 1.0/131072)
	t.body[256] = t.tail[256] // not drawn from
	mean := 0.0
	for k := range 255 {
		mean += (t.body[k] + t.body[k+1]) / 2 / 256
	}
	for k := range 256 {
		mean += (t.tail[k] + t.tail[k+1]) / 2 / 65536
	}
	for k := range t.body {
		t.body[k] = math.Round(t.body[k]/mean*1e6) / 1e6
		t.tail[k] = math.Round(t.tail[k]/mean*1e6) / 1e6
	}
	return t
}

// at returns the depth for 32 random bits; more are drawn where they fall in
// the tail.
func (t *gammaTable) at(u uint32, rng *rand.Rand) float64 {
	step := &t.body
	k := u >> 24
	if k == 255 {
		step = &t.tail
		u = rng.Uint32()
		k = u >> 24
	}
	part := float64(u&(1<<24-1)) / (1 << 24)
	return step[k] + float64(part*(step[k+1]-step[k]))
}
