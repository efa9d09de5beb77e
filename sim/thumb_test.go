package sim

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
)

func thumbStudy(daily float64) *Study {
	s := question()
	s.Roofs, s.Areas, s.Uses, s.Dead = plain(100, 0.8, 0.9), []float64{100}, []Use{{Daily: daily}}, 0.1
	s.Sizes = []float64{500, 1000, 2000, 4000, 8000, 16000}
	s.Target, s.Years, s.Seed, s.RecordError = 0.8, 500, 3, true
	return s
}

// The yield and both sizes are the worked numbers of published check 10: 100
// m², 800 mm, 0.8, 0.9 → 57,600 L, 5 % 2,880 L, 6 % 3,456 L (COMP from the
// formulas READ in the Toronto STEP low-impact-development guide, and of DIN
// 1989-1 READ-2nd).
func TestThumbs(t *testing.T) {
	s := thumbStudy(200)
	series := drySummer(t, 15)
	r := sized(t, series, gen.WaterYears(), s)
	require.Len(t, r.Thumbs, 5)
	at := map[string]Thumb{}
	for _, x := range r.Thumbs {
		at[x.Rule] = x
	}
	assert.InDelta(t, 57600, at[ThumbFive].Of, 1e-6)
	assert.InDelta(t, 2880, at[ThumbFive].Tank, 1e-6)
	assert.InDelta(t, 3456, at[ThumbSix].Tank, 1e-6)
	assert.InDelta(t, 21*200, at[ThumbDays].Tank, 1e-9)
	assert.Equal(t, 92, at[ThumbDrySpell].Days-at[ThumbDrySpell].Days%92, "the dry summer is 92 days and a few")
	assert.Equal(t, time.June, at[ThumbDrySeason].First)
	assert.Equal(t, 3, at[ThumbDrySeason].Count)
	assert.InDelta(t, 92*200, at[ThumbDrySeason].Tank, 1e-6)

	// A rule's size does what the same size in the grid does: same traces.
	for k, x := range r.Thumbs {
		again := *s
		again.Sizes = []float64{x.Tank}
		again.RecordError = false
		g := sized(t, series, gen.WaterYears(), &again)
		want := g.Cells[0]
		assert.Equal(t, want.MonteCarlo, x.Cell.MonteCarlo, x.Rule)
		assert.Equal(t, want.Supplied, x.Cell.Supplied, x.Rule)
		assert.LessOrEqual(t, x.Cell.Annual.Low, x.Cell.Annual.Estimate, x.Rule)
		if k > 0 && r.Thumbs[k-1].Tank <= x.Tank {
			assert.LessOrEqual(t, r.Thumbs[k-1].Cell.Supplied, x.Cell.Supplied)
		}
	}
}

// A small demand bounds the 5 % rule; without a dry season the driest month
// alone is bridged.
func TestThumbsOfASmallDemand(t *testing.T) {
	s := thumbStudy(10)
	series := seriesOf(t, 4, func(_, d int) float64 {
		if d >= 31 && d < 59 { // February
			return 1.5
		}
		return 2
	})
	all := s.thumbs(series)
	require.Len(t, all, 5)
	assert.Equal(t, 1, all[3].Days, "no day is below 1 mm but 29 February")
	assert.InDelta(t, 0.05*3650, all[0].Tank, 1e-9)
	last := all[len(all)-1]
	assert.Equal(t, ThumbDrySeason, last.Rule)
	assert.Equal(t, time.February, last.First)
	assert.Equal(t, 1, last.Count)
	assert.InDelta(t, 280, last.Tank, 1e-6)
}

func TestDrySeasonCrossesNewYear(t *testing.T) {
	first, months := drySeason(seriesOf(t, 3, func(_, d int) float64 {
		if d < 31 || d >= 304 { // November, December, January
			return 0.1
		}
		return 4
	}).Years)
	assert.Equal(t, time.November, first)
	assert.Equal(t, 3, months)
}

func TestCautions(t *testing.T) {
	// 62.4 lb/ft³ and 9.80665 kN/m³ are the same water: 1 psi is 6.894757 kPa
	// (exact from the pound, the inch and standard gravity).
	assert.InDelta(t, PSIPerFt, KPaPerM*0.3048/6.894757, 5e-4)
	water, tank := FullMass(5000)
	assert.Equal(t, 5000.0, water)
	assert.Greater(t, tank, 0.0)
	// 1 gal of water is 8.34 lb (READ in Lancaster 2006).
	gal, _ := FullMass(3.785411784)
	assert.InDelta(t, 8.34, gal/0.45359237, 0.01)
	assert.Equal(t, 90.0, Roof{Area: 180, FirstFlush: 0.5}.FlushVolume())
	assert.False(t, math.IsNaN(EmptyShare))
}
