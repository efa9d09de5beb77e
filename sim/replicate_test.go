package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A long row is thinned to tanks evenly spread, both ends kept, and every tank
// knows its neighbours: read off a quantity straight in the logarithm of the
// size, it has its own value again.
func TestThin(t *testing.T) {
	for _, n := range []int{1, 2, 31, 32, 33, 50, 64, 100} {
		r := row{scale: 2}
		for i := range n {
			r.usable = append(r.usable, 500*float64(int(1)<<(i/8))*(1+float64(i%8)/8))
		}
		thin, at := r.thin(32)
		assert.Equal(t, 2.0, thin.scale)
		require.LessOrEqual(t, len(thin.usable), 32)
		require.Len(t, at, n)
		assert.Equal(t, r.usable[0], thin.usable[0])
		assert.Equal(t, r.usable[n-1], thin.usable[len(thin.usable)-1])
		for k, p := range at {
			low, high := thin.usable[p.low], thin.usable[p.high]
			require.InEpsilon(t, r.usable[k], inRatio(low, high, p.w), 1e-8, "tank %d of %d", k, n)
		}
	}
}
