package rainfall

import "math/rand/v2"

func (y *Years) Resample(rng *rand.Rand) *Years {
	idx := make([]int, y.Len())
	for i := range idx {
		idx[i] = rng.IntN(y.Len())
	}
	return y.Pick(idx)
}
