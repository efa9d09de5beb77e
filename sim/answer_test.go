package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The band of an answer, for every area and not only the site's own, ends
// where the bounds of the reliability meet the target: below at the sizes
// whose upper bound does, above at those whose lower bound does.
func TestBandEndsWhereTheBoundsMeetTheTarget(t *testing.T) {
	s := question()
	s.Areas = []float64{60, 90, 140}
	s.Sizes = cuts(200, 8000, 40)
	s.Target, s.RecordError, s.Replicates = 0.8, true, 2
	r, err := Size(t.Context(), usualYears(t, 25), coin(4, 0.3), s)
	require.NoError(t, err)
	looked := 0
	for i, a := range r.Answers {
		if math.IsNaN(a.Tank) || math.IsNaN(a.Low) || math.IsNaN(a.High) {
			continue
		}
		looked++
		assert.Less(t, a.Low, a.Tank, "%g m²", a.Area)
		assert.Greater(t, a.High, a.Tank, "%g m²", a.Area)
		assert.Equal(t, a.Safe, a.High, "%g m²", a.Area)
		for _, c := range r.Cells[i] {
			if c.Tank < a.Tank {
				assert.Equal(t, c.Annual.High >= s.Target, c.Tank >= a.Low, "the upper bound of %g L at %g m²", c.Tank, a.Area)
			} else {
				assert.Equal(t, c.Annual.Low >= s.Target, c.Tank >= a.Safe, "the lower bound of %g L at %g m²", c.Tank, a.Area)
			}
		}
	}
	require.GreaterOrEqual(t, looked, 2)
}
