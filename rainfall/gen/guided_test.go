package gen

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// numbered returns n years in which year i rains i+1 mm every day, in steps
// too fine to mistake: a trace tells which year each day came from.
func numbered(n int) *rainfall.Years {
	return made(n, func(i, _ int) float64 { return float64(i + 1) })
}

// Every year is used as often as the record holds it. These years are the
// hardest record for it: each is wetter throughout than the one before, so
// that guided, which follows wet by wet, wanders slowly and is pulled along
// the trend; ranks folded back at their ends and the ring of years hold it.
// Without the ring the last year's share was ten times the first's.
func TestEveryYearUsedEqually(t *testing.T) {
	const n = 12
	for name, tol := range map[string]float64{"guided": 0.04, "blocks": 0.005, "years": 0.008} {
		g, err := Find(name)
		require.NoError(t, err)
		days := make([]float64, n) // of the trace that came from each year
		trace := drawn(t, g, numbered(n), 20000, Source(3, 1, 4))
		for _, x := range trace {
			days[int(x)-1]++
		}
		for year, k := range days {
			assert.InDelta(t, 1.0/n, k/float64(len(trace)), tol, "%s: year %d", name, year)
		}
	}
}

func TestGuidedMakesNewYears(t *testing.T) {
	y := invented(30)
	trace := drawn(t, Guided(), y, 200, Source(1, 1, 1))
	fresh := 0
	for a := 0; a < len(trace); a += rainfall.DaysPerYear {
		fresh++
		for _, rain := range y.Rain {
			if assert.ObjectsAreEqual(rain, trace[a:a+rainfall.DaysPerYear]) {
				fresh--
				break
			}
		}
	}
	// A block of mean 36 pentads outlives a year of 73 with (35/36)^73 = 0.13;
	// a year is whole in fewer traces still than that.
	assert.Greater(t, fresh, 200*8/10)
}

// Where the wetness of a year lasts, guided keeps the spread between years
// and their order; blocks lose both (Katz & Parlange 1998).
func TestGuidedKeepsTheSpread(t *testing.T) {
	base := invented(60)
	level := 1.0
	rng := Source(4, 4, 4)
	for i := range base.Rain {
		level = 1 + 0.7*(level-1) + 0.25*rng.NormFloat64()
		for d := range base.Rain[i] {
			base.Rain[i][d] = math.Round(base.Rain[i][d]*math.Max(0.2, level)*10) / 10
		}
	}
	spread := func(y *rainfall.Years) (sd, lag float64) { return deviation(annual(y)), lagOne(y, annual(y)) }
	sd, lag := spread(base)
	require.Greater(t, lag, 0.3)
	guidedSD, guidedLag := spread(asYears(drawn(t, Guided(), base, 2000, Source(1, 1, 1))))
	blocksSD, blocksLag := spread(asYears(drawn(t, Blocks(), base, 2000, Source(1, 1, 1))))
	assert.InEpsilon(t, sd, guidedSD, 0.15)
	assert.Greater(t, guidedLag, 0.3)
	assert.Less(t, blocksSD, 0.8*sd)
	assert.Less(t, blocksLag, 0.15)
}

func TestFolded(t *testing.T) {
	for _, c := range [][3]int{{0, 5, 0}, {4, 5, 4}, {-1, 5, 0}, {-3, 5, 2}, {5, 5, 4}, {7, 5, 2}, {-9, 5, 1}, {13, 5, 3}, {-1, 1, 0}, {9, 1, 0}} {
		assert.Equal(t, c[2], folded(c[0], c[1]), "%v", c)
	}
}

func TestHistoryPast(t *testing.T) {
	y := numbered(3)
	y.Label[2] = 1960 // a gap before the third
	h, err := newHistory(y)
	require.NoError(t, err)
	assert.Equal(t, 30.0, h.past(1, 100, 15))
	assert.Equal(t, 2*10.0+1*20, h.past(1, 10, 30), "reaches into the year before")
	assert.Equal(t, 1*10.0+2*20, h.past(0, 10, 30), "no year before: the average one, 2 mm a day")
	assert.Equal(t, 3*10.0+2*20, h.past(2, 10, 30), "the entry before is not the year before")
	assert.Equal(t, []int32{-1, 0, -1}, h.prev)
	assert.Equal(t, []int32{1, -1, -1}, h.next)
}
