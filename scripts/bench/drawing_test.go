package main

import (
	"bytes"
	"encoding/xml"
	"io"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ranFor(size, seconds, mb float64) grown { return grown{size: size, seconds: seconds, mb: mb} }

// madeUpGrowth is made up.
func madeUpGrowth() growth {
	return growth{
		years:   []grown{ranFor(1000, 0.21, 45), ranFor(3000, 0.4, 47), ranFor(10000, 1.12, 47), ranFor(30000, 3.2, 48), ranFor(100000, 10.4, 51)},
		cells:   []grown{ranFor(23, 0.31, 40), ranFor(200, 0.52, 42), ranFor(1000, 1.12, 47), ranFor(5000, 4.9, 60), ranFor(20000, 19.6, 112)},
		workers: []grown{ranFor(1, 2.08, 44), ranFor(2, 1.12, 47)},
	}
}

// The drawing is well formed on this machine and on others: eight workers, one
// alone, hours and gigabytes.
func TestGrowthIsDrawn(t *testing.T) {
	g := madeUpGrowth()
	for _, workers := range [][]grown{g.workers, {ranFor(1, 8, 40), ranFor(2, 4.1, 42), ranFor(4, 2.2, 50), ranFor(8, 1.3, 60)}, {ranFor(1, 3, 4000)}, {ranFor(1, 9000, 40), ranFor(2, 5000, 50)}} {
		g.workers = workers
		svg, err := g.draw("Made-up runs on no machine.")
		require.NoError(t, err)
		d := xml.NewDecoder(bytes.NewReader(svg))
		for err == nil {
			_, err = d.Token()
		}
		require.Equal(t, io.EOF, err)
		for _, want := range []string{"Time grows no faster than the work", "Made-up runs", "0.21 s", "10 s", "0.31 s", "20 s", "synthetic years", "cells: tanks × roofs", "workers", "peak memory, MB"} {
			assert.Contains(t, string(svg), want)
		}
		assert.NotContains(t, string(svg), "NaN")
		if file := os.Getenv("TANKODDS_GROWTH"); file != "" { // to be looked at
			require.NoError(t, os.WriteFile(file, svg, 0o666))
		}
	}
	g.cells = nil
	_, err := g.draw("")
	assert.Error(t, err)
}

// The title says what the runs show.
func TestGrowthTitle(t *testing.T) {
	g := madeUpGrowth()
	assert.Equal(t, "Time grows no faster than the work; memory does not grow with the years", g.title())
	g.years[4].mb = 900
	assert.Equal(t, "Time grows no faster than the work; memory grows with the years", g.title())
	g.cells[4].seconds = 40
	assert.Equal(t, "Time grows faster than the work; memory grows with the years", g.title())
}
