package steady

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Round moves a number by less than one part in 2³⁶ and drops what two
// processors may differ in.
func TestRound(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 62))
	same := 0
	for range 1000 {
		x := math.Exp(20*rng.Float64()) * (1 - 2*float64(rng.IntN(2)))
		require.InEpsilon(t, x, Round(x), 1.0/(1<<36))
		require.Equal(t, Round(x), Round(Round(x)))
		if Round(x) == Round(math.Nextafter(x, 0)) {
			same++
		}
	}
	assert.Greater(t, same, 995)
	for _, x := range []float64{0, 1, 2, 0.5, 1000, 12345, math.Inf(1), math.Inf(-1)} {
		assert.Equal(t, x, Round(x))
	}
	assert.True(t, math.IsNaN(Round(math.NaN())))
	assert.Equal(t, []float64{500, 20000}, []float64{InRatio(500, 20000, 0), InRatio(500, 20000, 1)})
	assert.InEpsilon(t, 1000, InRatio(100, 10000, 0.5), 1e-9)
	assert.InDeltaSlice(t, []float64{1, 10, 100, 1000}, Ratios(1, 1000, 4), 1e-6)
}
