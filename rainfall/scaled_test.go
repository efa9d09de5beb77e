package rainfall

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A site with more rain than its gauge: every depth times the factor, a missing one
// still missing, the record itself as it was, and the reader told.
func TestScaled(t *testing.T) {
	r := &Record{Depth: []float64{0, 2, math.NaN(), 4.5}}
	s := r.Scaled(1.2)
	assert.InDeltaSlice(t, []float64{0, 2.4, 5.4}, []float64{s.Depth[0], s.Depth[1], s.Depth[3]}, 1e-12)
	assert.True(t, math.IsNaN(s.Depth[2]))
	assert.Equal(t, 2.0, r.Depth[1])
	assert.Empty(t, r.Findings)
	assert.Equal(t, "scaled", s.Findings[0].Code)
	assert.Equal(t, 1.2, s.Findings[0].Of("factor"))
}
