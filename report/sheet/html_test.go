package sheet

import (
	"context"
	"math"
	"regexp"
	"strconv"
	"strings"
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
		Target: 0.9, Years: 500, Seed: 1, Horizon: 30, Level: 0.9, Unit: 1, AreaUnit: 1,
	})
	require.NoError(t, err)
	return figure.Study(r, rainfall.Summarise(rec, series), figure.Options{})
}

// The readings of a figure are as many in both shapes, and lie in the drawing.
func TestHTMLReadings(t *testing.T) {
	readable := 0
	for _, f := range studyFigures(t) {
		h, err := newHTMLFigure(1, f)
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
	assert.GreaterOrEqual(t, readable, 3, "the curve, the turnover and the season can be read off")
}

// colour is one of sRGB, its parts 0–1.
type colour [3]float64

func parsed(hex string) (c colour) {
	for i := range c {
		n, _ := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		c[i] = float64(n) / 255
	}
	return c
}

// contrast is the contrast ratio of WCAG 2.1 of two colours.
func contrast(a, b colour) float64 {
	luminance := func(c colour) (y float64) {
		for i, share := range []float64{0.2126, 0.7152, 0.0722} {
			if c[i] <= 0.04045 {
				y += share * c[i] / 12.92
			} else {
				y += share * math.Pow((c[i]+0.055)/1.055, 2.4)
			}
		}
		return y
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// turned is what the style makes of a drawing's colour in the dark: invert(.92)
// and then hue-rotate(180deg) of the CSS Filter Effects, Level 1.
func turned(c colour) (out colour) {
	grey := 0.0
	for i, share := range []float64{0.213, 0.715, 0.072} {
		c[i] = 0.92 + c[i]*(1-2*0.92)
		grey += share * c[i]
	}
	for i := range c {
		out[i] = min(1, max(0, 2*grey-c[i]))
	}
	return out
}

// Text can be read on either ground (4.5 : 1, WCAG 2.1, 1.4.3), and what is
// apart in a drawing on white is apart in the dark.
func TestHTMLContrast(t *testing.T) {
	named := map[string][]colour{}
	for _, m := range regexp.MustCompile(`--(\w+): (#[0-9a-f]{6})`).FindAllStringSubmatch(pageStyle, -1) {
		named[m[1]] = append(named[m[1]], parsed(m[2]))
	}
	for i := range 2 {
		for _, ink := range []string{"ink", "muted", "link"} {
			for _, ground := range []string{"paper", "tint"} {
				assert.GreaterOrEqual(t, contrast(named[ink][i], named[ground][i]), 4.5, "%s on %s, scheme %d", ink, ground, i)
			}
		}
	}
	white := parsed("#ffffff")
	require.Contains(t, pageStyle, ".drawing svg { --paper: #fff; filter: invert(.92) hue-rotate(180deg); }")
	for i := range white {
		assert.InDelta(t, named["paper"][1][i], turned(white)[i], 1.0/255, "a drawing's paper is the page's")
	}
	seen := map[string]bool{}
	for _, f := range studyFigures(t) {
		h, err := newHTMLFigure(1, f)
		require.NoError(t, err)
		assert.NotContains(t, strings.ToLower(string(h.Wide)), "#ffffff")
		for _, c := range regexp.MustCompile(`#[0-9A-Fa-f]{6}\b`).FindAllString(string(h.Wide+h.Narrow), -1) {
			seen[c] = true
			was, is := contrast(parsed(c), white), contrast(turned(parsed(c)), turned(white))
			assert.GreaterOrEqual(t, is, min(was, 12)*0.98, c)
		}
	}
	require.Greater(t, len(seen), 8)
	// Known points: black and white of sRGB, WCAG 2.1: 21 : 1.
	assert.InDelta(t, 21, contrast(parsed("#000000"), white), 1e-9)
}
