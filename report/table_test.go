package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/report/units"
	"tankodds/sim"
)

func TestBandCell(t *testing.T) {
	c, nan := units.SI.VolumeColumn(1000, 2000), math.NaN()
	assert.Equal(t, "1,000–2,000", bandCell(c, 1000, 2000))
	assert.Equal(t, "≥1,000", bandCell(c, 1000, nan))
	assert.Equal(t, "≤2,000", bandCell(c, nan, 2000))
	assert.Equal(t, "–", bandCell(c, nan, nan))
}

// The size listed as the answer stays in a table that is cut short.
func TestWorthShowing(t *testing.T) {
	var cells []sim.Cell
	for i := range 40 {
		cells = append(cells, sim.Cell{Tank: float64(i), Measures: sim.Measures{Annual: sim.Interval{Estimate: float64(i) / 39}}})
	}
	for i := range cells {
		shown := worthShowing(cells, float64(i), 16)
		assert.Len(t, shown, 16)
		assert.True(t, shown[0].Tank <= float64(i) && float64(i) <= shown[15].Tank, "%d", i)
	}
	assert.Len(t, worthShowing(cells, math.NaN(), 16), 16)
	assert.Len(t, worthShowing(cells[:7], 3, 16), 7)
}
