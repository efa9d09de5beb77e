package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each surge size is answered as its site alone would be, and more surge storage never
// asks for a larger main tank.
func TestSurgesAreSitesOfTheirOwn(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	t.Parallel()
	site := func(surge float64, compared ...float64) *Study {
		s := aiming(Annual, 0.7, 2000, 4000, 8000)
		s.Roofs = []Roof{s.Roofs[0], s.Roofs[0]}
		s.Roofs[0].Area, s.Roofs[1].Area, s.Areas = 40, 20, []float64{60}
		s.Roofs[0].Surge, s.Roofs[0].Pump = surge, 2
		s.Fitted.Pumping = Pumping{Storm: 2, Hours: 3, Sizes: compared}
		return s
	}
	q := put(t, site(300, 100, 300, 900))
	got, err := q.Surges(t.Context())
	require.NoError(t, err)
	require.Len(t, got, 3)
	for i, x := range got {
		alone := solved(t, site(x.Surge))
		near(t, []float64{alone.Main.Tank, alone.Main.Low, alone.Main.High, alone.Main.Safe}, []float64{x.Tank, x.Low, x.High, x.Safe}, 0)
		assert.Equal(t, []float64{2000, 4000, 8000}, x.Sizes)
		for k, c := range alone.Cells {
			assert.Equal(t, c.Annual.Estimate, x.Share[k])
			if i > 0 {
				assert.GreaterOrEqual(t, x.Share[k], got[i-1].Share[k])
			}
		}
		if i > 0 {
			assert.LessOrEqual(t, x.Tank, got[i-1].Tank)
		}
	}
	assert.Less(t, got[2].Tank, got[0].Tank, "so much more room is worth something")
	none, err := put(t, site(300)).Surges(t.Context())
	require.NoError(t, err)
	assert.Nil(t, none)
	bad := site(300, 0)
	assert.ErrorContains(t, bad.Check(), "a surge tank of 0 L is to be compared")
}
