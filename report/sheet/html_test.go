package sheet

import (
	"context"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/figure"
	"tankodds/sim"
)

// studyFigures are the figures of a small study under the invented record.
func studyFigures(t *testing.T) []figure.Figure {
	t.Helper()
	rec, err := read.File("../../cmd/tankodds/demo.csv", read.Options{})
	require.NoError(t, err)
	series, err := rec.Fill(rec.StartMonth())
	require.NoError(t, err)
	r, err := sim.Size(context.Background(), series, gen.Guided(), &sim.Study{
		Roofs: []sim.Roof{sim.NewRoof(180)}, Uses: []sim.Use{{Daily: 90}}, Areas: []float64{90, 180}, Sizes: []float64{2000, 5000, 10000, 15000, 20000, 30000},
		Target: 0.9, Years: 500, Seed: 1, Horizon: 30, Level: 0.9, GainStop: 0.01, GainStep: 1000,
	})
	require.NoError(t, err)
	return figure.Study(r, rainfall.Summarise(rec, series), figure.Options{})
}

// The readings of a figure are as many in both shapes, and lie in the drawing.
func TestHTMLReadings(t *testing.T) {
	p := &htmlPage{dark: map[string]bool{}}
	readable := 0
	for _, f := range studyFigures(t) {
		h, err := p.figure(1, f)
		require.NoError(t, err)
		if h.Readings == nil {
			continue
		}
		readable++
		assert.Len(t, h.Readings.Wide, len(h.Readings.Text))
		assert.Len(t, h.Readings.Narrow, len(h.Readings.Text))
		for _, at := range append(h.Readings.Wide, h.Readings.Narrow...) {
			assert.True(t, at[0] >= 0 && at[0] <= 1 && at[1] >= 0 && at[1] <= 1, "%s %v", f.Name, at)
		}
	}
	assert.GreaterOrEqual(t, readable, 3, "the curve, the gain and the season can be read off")
}

// contrastOf is the contrast ratio of WCAG 2.1 of two colours.
func contrastOf(a, b string) float64 {
	x, y := luminance(linear(a)), luminance(linear(b))
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Text can be read on either ground (4.5 : 1, WCAG 2.1, 1.4.3), and what is
// apart in a drawing on white is apart in the dark.
func TestHTMLContrast(t *testing.T) {
	schemes := regexp.MustCompile(`--(\w+): (#[0-9a-f]{6})`).FindAllStringSubmatch(pageStyle, -1)
	colour := map[string][]string{}
	for _, m := range schemes {
		colour[m[1]] = append(colour[m[1]], m[2])
	}
	for i := range 2 {
		for _, ink := range []string{"ink", "muted", "link"} {
			for _, ground := range []string{"paper", "tint"} {
				assert.GreaterOrEqual(t, contrastOf(colour[ink][i], colour[ground][i]), 4.5, "%s on %s, scheme %d", ink, ground, i)
			}
		}
	}
	assert.Equal(t, darkPaper, colour["paper"][1], "the drawings are darkened for the page's own ground")

	p := &htmlPage{dark: map[string]bool{}}
	for _, f := range studyFigures(t) {
		_, err := p.figure(1, f)
		require.NoError(t, err)
	}
	require.Greater(t, len(p.dark), 8)
	for c := range p.dark {
		if c == "#ffffff" {
			continue
		}
		was, is := contrastOf(c, "#ffffff"), contrastOf(darkened(c), darkPaper)
		assert.GreaterOrEqual(t, is, min(was, 12)*0.98, "%s in the dark is %s", c, darkened(c))
	}
	// Known points: black and white of sRGB, WCAG 2.1: 21 : 1.
	assert.InDelta(t, 21, contrastOf("#000000", "#ffffff"), 1e-9)
	for i, v := range bytesOf(pure("#80b9d9")) { // #0072b2 half thinned with white, rounded
		assert.InDelta(t, [3]int{0x00, 0x72, 0xb2}[i], v, 1)
	}
}
