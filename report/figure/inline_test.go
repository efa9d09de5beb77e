package figure

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"tankodds/report/units"
)

// Every figure of every case can stand in a page, wide or narrow: its words
// apart, nothing outside the drawing, no text over another.
func TestInline(t *testing.T) {
	for _, c := range figureCases() {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			for _, f := range c.figs {
				for _, size := range [][2]vg.Length{{576, 320}, {310, 300}} {
					name := fmt.Sprintf("%s at %g", f.Name, size[0])
					got := Inline{Width: float64(size[0]), Height: float64(size[1])}
					svg, pg, err := f.svg(size[0], size[1], &got)
					require.NoError(t, err, name)
					nothingTouches(t, name, pg)
					assert.Equal(t, f.Title, got.Title)
					assert.Equal(t, f.Caption, got.Foot)
					assert.NotEmpty(t, got.Sub, name)
					assert.NotContains(t, string(svg), ">"+f.Title+"</text>", "the title is the page's to set")
					elementsOf(t, name, svg)
					for _, r := range got.Readings {
						assert.True(t, r.X >= 0 && r.X <= got.Width && r.Y >= 0 && r.Y <= got.Height, "%s: %v", name, r)
						assert.NotEmpty(t, r.Text)
					}
				}
			}
		})
	}
}

// What is read off the curve is the curve.
func TestReadings(t *testing.T) {
	r := madeUp(shape{size: 4000, most: 0.99, wide: 1.2}, 180, []float64{180}, []float64{1000, 2000, 4000, 8000, 16000}, 0.9)
	f, ok := reliabilityFigure(r, nil, Options{Units: units.SI})
	require.True(t, ok)
	got, err := f.Inline(576, 320)
	require.NoError(t, err)
	require.Len(t, got.Readings, len(r.Curve))
	for i, c := range r.Curve {
		x := got.Readings[i]
		assert.Contains(t, x.Text, percent(c.Annual.Estimate))
		assert.Contains(t, x.Text, threeDigits(c.Tank))
		if i > 0 {
			assert.Greater(t, x.X, got.Readings[i-1].X)
			assert.LessOrEqual(t, x.Y, got.Readings[i-1].Y, "higher on the page")
		}
	}
}
