package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A site that can only be looked at tank by tank but has nothing that tells is
// answered as it is by the pass through all sizes: each tank exactly, the size
// sought within the step of what is looked at.
func TestOneByOneIsTheSweep(t *testing.T) {
	t.Parallel()
	for m := Annual; m <= Volume; m++ {
		plain := aiming(m, 0.9)
		slow := aiming(m, 0.9)
		slow.Fitted.Open = 1e-9 // no unit of rain or evaporation
		slow.Air.Monthly[0] = 1
		require.True(t, slow.Slow())
		require.False(t, plain.Slow())
		a, b := solved(t, plain), solved(t, slow)
		require.Equal(t, len(a.Cells), len(b.Cells))
		for k := range a.Cells {
			assert.Equal(t, a.Cells[k].MonteCarlo, b.Cells[k].MonteCarlo, "%v %g L", m, a.Cells[k].Tank)
			assert.Equal(t, a.Cells[k].Supplied, b.Cells[k].Supplied)
			assert.InDelta(t, a.Cells[k].Spilled, b.Cells[k].Spilled, 1e-6)
			for of := Annual; of <= Volume; of++ {
				near(t, []float64{a.Cells[k].Of(of).Estimate, a.Cells[k].Of(of).Low}, []float64{b.Cells[k].Of(of).Estimate, b.Cells[k].Of(of).Low}, 0.01)
			}
		}
		assert.InEpsilon(t, a.Main.Tank, b.Main.Tank, 0.02, "%v", m)
		assert.InEpsilon(t, a.Main.Safe, b.Main.Safe, 0.05, "%v", m)
		assert.Equal(t, a.Season, b.Season)
		assert.Equal(t, a.Months, b.Months)
		assert.Equal(t, a.Overflow, b.Overflow)
	}
}

// The sizes that a question looked at are those of one run of all of them.
func TestNearingTakesRunsTogether(t *testing.T) {
	s := aiming(Annual, 0.9)
	s.Fitted.Open, s.Air.Monthly[0] = 1e-9, 1
	q := put(t, s)
	c, err := q.Curves(t.Context())
	require.NoError(t, err)
	row := c.Totals.rows[c.own()]
	again, err := q.Simulate(t.Context(), Row{Scale: row.Scale, Sizes: s.NewSizes(row.Sizes.Nominal), Ladder: row.Ladder})
	require.NoError(t, err)
	require.Equal(t, again.total[0], c.Totals.total[c.own()])
	require.Equal(t, again.square[0], c.Totals.square[c.own()])
	require.Equal(t, again.sorted(0), c.Totals.sorted(c.own()))
}

// A use that is served down to a level is answered for alone: the more is kept
// for it, the smaller the tank; and the worth of the whole is told by both.
func TestTheTargetOfOneUse(t *testing.T) {
	study := func(keep Level, of string) *Study {
		s := aiming(Annual, 0.9)
		s.Uses = []Use{{Name: "needs", Daily: 35}, {Name: "comfort", Daily: 25, Keep: keep}}
		s.Fitted.Of = of
		return s
	}
	all, of := solved(t, study(Level{}, "")), solved(t, study(Level{}, "needs"))
	kept := solved(t, study(Level{Share: 0.3}, "needs"))
	assert.Less(t, of.Main.Tank, all.Main.Tank)
	assert.Less(t, kept.Main.Tank, of.Main.Tank)
	uses := kept.Season.Uses
	require.Len(t, uses, 2)
	assert.Greater(t, uses[0].Annual, uses[1].Annual)
	assert.InDelta(t, kept.Main.Cell.MonteCarlo.Annual.Estimate, uses[0].Annual, 0.02)
}
