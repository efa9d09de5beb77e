package sim

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where tanks are gone through one by one the two numbers and their bounds are those
// at which the claim comes to meet the target, as they are printed; and they lie near
// those of the pass through all sizes.
func TestTurnedSlowly(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	t.Parallel()
	study := func(slow bool) *Study {
		s := aiming(Annual, 0.7)
		s.Sizes, s.Sought, s.RecordError, s.Years = s.Sizes[len(s.Sizes)/2:][:1], ForUse, true, 500
		if slow {
			s.Fitted.Open, s.Air.Monthly[0] = 1e-9, 1 // which changes nothing
		}
		return s
	}
	find := func(s *Study) (*Question, *Turned) {
		q := put(t, s)
		c, err := q.Curves(t.Context())
		require.NoError(t, err)
		out, err := q.Turned(t.Context(), c, Answer{Grade: Shown})
		require.NoError(t, err)
		return q, out
	}
	_, fast := find(study(false))
	q, slow := find(study(true))
	require.NotNil(t, slow)
	for k, of := range [][2]float64{{fast.Use, slow.Use}, {fast.UseHigh, slow.UseHigh}, {fast.UseSafe, slow.UseSafe}, {fast.Roof, slow.Roof}, {fast.RoofLow, slow.RoofLow}, {fast.RoofSafe, slow.RoofSafe}} {
		require.False(t, math.IsNaN(of[1]), k)
		assert.InEpsilon(t, of[0], of[1], 0.12, k)
	}
	assert.LessOrEqual(t, slow.UseSafe, slow.Use)
	assert.LessOrEqual(t, slow.Use, slow.UseHigh)
	assert.LessOrEqual(t, slow.RoofLow, slow.Roof)
	assert.LessOrEqual(t, slow.Roof, slow.RoofSafe)
	// Each meets the target as it is printed, in the years that it is told from.
	few := *q
	few.progress, few.traces = &progress{}, min(slowTurnTraces, q.traces)
	day := MeanDemand(q.study.Uses)
	for bound, use := range []float64{slow.Use, slow.UseHigh, slow.UseSafe} {
		other := *q.study
		other.Uses = slices.Clone(other.Uses)
		for i := range other.Uses {
			other.Uses[i] = other.Uses[i].times(use / day)
		}
		c, err := few.largestClaim(t.Context(), &other)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, []float64{other.valueOf(c), c.High, c.Low}[bound], other.Target)
	}
	s := study(true)
	s.RecordError = false
	_, bare := find(s)
	assert.Equal(t, slow.Use, bare.Use, "the value knows nothing of the bounds")
	assert.True(t, math.IsNaN(bare.UseSafe) && math.IsNaN(bare.RoofLow))
}
