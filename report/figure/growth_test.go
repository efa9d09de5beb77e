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
	// A machine with other work: whatever comes, both ends are named.
	years = []Grown{{1000, 0.34, 50}, {3000, 0.51, 49}, {10000, 1.04, 51}, {30000, 2.77, 46}, {100000, 11.03, 50}}
	cells = []Grown{{23, 0.63, 50}, {200, 0.98, 50}, {1000, 2.3, 56}, {5000, 7.33, 52}, {20000, 22.36, 119}}
	f, ok = Growth(years, cells, []Grown{{1, 2.92, 55}, {2, 3.69, 54}}, "A note.")
	require.True(t, ok)
	legible(t, "growth", f)
	for _, want := range []string{"0.34 s", "11 s", "0.63 s", "22 s", "2.9 s", "3.7 s: 0.791 ×"} {
		assert.Contains(t, strings.Split(texts(f), "\n"), want)
	}
	_, ok = Growth(years, nil, workers, "")
	assert.False(t, ok)
}

// The title says what the runs show.
func TestGrowthTitle(t *testing.T) {
	years, cells, _ := grownCase()
	years[4].MB = 900
	assert.Equal(t, "Time grows no faster than the work; memory grows with the years", growthTitle(years, cells))
	cells[4].Seconds = 40
	assert.Equal(t, "Time grows faster than the work; memory grows with the years", growthTitle(years, cells))
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
