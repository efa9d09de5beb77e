package figure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/sim/backtest"
)

// A diagram of made-up scores has a curve a generator, each named, and says
// how far the first was off; without judged claims there is none.
func TestCalibration(t *testing.T) {
	score := func(name string, off float64) backtest.Score {
		s := backtest.Score{Generator: name, Target: math.NaN(), Cases: 300, Bias: off, Inside50: 0.5, Inside80: 0.8, Inside90: 0.9}
		for _, x := range []float64{0.6, 0.7, 0.8, 0.85, 0.9, 0.95} {
			s.Shares = append(s.Shares, backtest.Bin{From: x - 0.02, To: x + 0.02, Cases: 50, Claimed: x, Seen: x - off})
		}
		return s
	}
	r := &backtest.Result{Records: make([]backtest.Tested, 2), Scores: []backtest.Score{
		score("guided", 0.004), score("years", 0.02), score("blocks", -0.03), score("neighbours", 0.05), score("chain", -0.01),
		{Generator: "guided", Target: 0.9}, {Generator: "guided", Target: math.NaN(), Tanks: backtest.Given}}}
	f, ok := Calibration(r)
	require.True(t, ok)
	assert.Equal(t, "Claims of “guided” were off by 0.4 percentage points on average", f.Title)
	svg, err := f.SVG()
	require.NoError(t, err)
	for _, name := range []string{">guided<", ">years<", ">blocks<", ">neighbours<", ">chain<", ">claimed<", ">seen<"} {
		assert.Contains(t, string(svg), name)
	}
	again, err := f.SVG()
	require.NoError(t, err)
	assert.Equal(t, svg, again)
	png, err := f.PNG()
	require.NoError(t, err)
	assert.Greater(t, len(png), 10000)

	_, ok = Calibration(&backtest.Result{Scores: []backtest.Score{{Target: 0.9}}})
	assert.False(t, ok)
}
