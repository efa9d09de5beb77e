package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/sim/internal/steady"
)

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
