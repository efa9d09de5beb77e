package figure

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/plotter"
)

// grownCase is made up.
func grownCase() (years, cells, workers []Grown) {
	return []Grown{{1000, 0.21, 45}, {3000, 0.4, 47}, {10000, 1.12, 47}, {30000, 3.2, 48}, {100000, 10.4, 51}},
		[]Grown{{23, 0.31, 40}, {200, 0.52, 42}, {1000, 1.12, 47}, {5000, 4.9, 60}, {20000, 19.6, 112}},
		[]Grown{{1, 2.08, 44}, {2, 1.12, 47}}
}

func TestGrowth(t *testing.T) {
	years, cells, workers := grownCase()
	f, ok := Growth(years, cells, workers, "Made-up runs on no machine.")
	require.True(t, ok)
	assert.Equal(t, "Time grows no faster than the work; memory does not grow with the years", f.Title)
	svgOf(t, f)
	legible(t, "growth", f)
	shown := texts(f)
	for _, want := range []string{"0.21 s", "10 s", "20 s", "1.1 s: 1.86 ×", "synthetic years", "cells: tanks × roofs", "workers", "100,000", "200 MB"} {
		assert.Contains(t, strings.Split(shown, "\n"), want)
	}
	assert.Contains(t, f.Desc, "Years: 1,000 in 0.21 s with 45 MB, ")

	// On other machines: eight workers, one alone, hours and gigabytes.
	for _, w := range [][]Grown{{{1, 8, 40}, {2, 4.1, 42}, {4, 2.2, 50}, {8, 1.3, 60}}, {{1, 3, 4000}}, {{1, 9000, 40}, {2, 5000, 50}}} {
		g, ok := Growth(years, cells, w, "")
		require.True(t, ok)
		svgOf(t, g)
		legible(t, "growth", g)
	}
	_, ok = Growth(years, nil, workers, "")
	assert.False(t, ok)
}

// The title says what the runs show.
func TestGrowthTitle(t *testing.T) {
	years, cells, workers := grownCase()
	years[4].MB = 900
	assert.Equal(t, "Time grows no faster than the work; memory grows with the years", growthTitle(years, cells, workers))
	cells[4].Seconds = 40
	assert.Equal(t, "Time grows faster than the work; memory grows with the years", growthTitle(years, cells, workers))
}

// A line of slope 1 and one of slope −1, cut at 1: by hand.
func TestClipLow(t *testing.T) {
	near := func(want, got plotter.XYs) {
		for i := range want {
			assert.InDelta(t, want[i].X, got[i].X, 1e-9)
			assert.InDelta(t, want[i].Y, got[i].Y, 1e-9)
		}
	}
	near(plotter.XYs{{X: 2, Y: 1}, {X: 100, Y: 50}}, clipLow(plotter.XYs{{X: 1, Y: 0.5}, {X: 100, Y: 50}}, 1))
	near(plotter.XYs{{X: 1, Y: 4}, {X: 4, Y: 1}}, clipLow(plotter.XYs{{X: 1, Y: 4}, {X: 8, Y: 0.5}}, 1))
	assert.False(t, math.IsNaN(clipLow(plotter.XYs{{X: 1, Y: 1}, {X: 2, Y: 2}}, 1)[0].X))
}
