package report

import (
	"math"
	"slices"
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

// The size listed as the answer stays in a table that is cut short, and sizes that
// nobody would quote are left out.
func TestWorthShowing(t *testing.T) {
	var cells []sim.Cell
	for i := range 40 {
		cells = append(cells, sim.Cell{Tank: float64(i), Measures: sim.Measures{Annual: sim.Interval{Estimate: float64(i) / 39}}})
	}
	for i := range cells {
		shown := worthShowing(cells, sim.Annual, 16, float64(i))
		assert.InDelta(t, 15, len(shown), 1)
		assert.True(t, slices.ContainsFunc(shown, func(c sim.Cell) bool { return c.Tank == float64(i) }), "%d", i)
		for k := 1; k < len(shown); k++ {
			assert.InDelta(t, 2, shown[k].Tank-shown[k-1].Tank, 1.5, "spread over the list: %d", i)
		}
		assert.Equal(t, 39.0, shown[len(shown)-1].Tank)
	}
	assert.Len(t, worthShowing(cells, sim.Annual, 16, math.NaN()), 15)
	assert.Len(t, worthShowing(cells[:7], sim.Annual, 16, 3), 6, "of the first no year is good")
	assert.Len(t, worthShowing(cells[:7], sim.Annual, 16, 0, 3), 7)
	flat := append(slices.Clone(cells[30:]), cells[39], cells[39], cells[39])
	assert.Len(t, worthShowing(flat, sim.Annual, 16), 10, "beyond the last nothing is won")
	assert.Len(t, worthShowing(cells[:1], sim.Annual, 16), 1)
}
