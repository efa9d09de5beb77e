package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

// made makes stations and returns their files by name.
func made(t *testing.T, m maker, real string) (string, map[string][]byte) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "stations")
	require.NoError(t, m.run(real, dir))
	out := map[string][]byte{}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		out[e.Name()], err = os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
	}
	return dir, out
}

// Stations are records of whole calendar years that can be read, no two alike, and
// the bad ones are bad in four ways.
func TestStations(t *testing.T) {
	t.Parallel()
	m := maker{n: 20, years: 6, bad: 4, seed: 3}
	dir, files := made(t, m, "")
	require.Len(t, files, 20)
	_, again := made(t, m, "")
	assert.Equal(t, files, again, "the same flags give the same bytes")
	m.seed = 4
	_, other := made(t, m, "")
	assert.NotEqual(t, files["s00001.csv"], other["s00001.csv"])

	seen := map[string]bool{}
	var total []float64
	for k := 1; k <= 20; k++ {
		name := fmt.Sprintf("s%05d.csv", k)
		r, err := read.File(filepath.Join(dir, name), read.Options{})
		switch k {
		case 5:
			assert.Empty(t, files[name])
			continue
		case 10:
			assert.Equal(t, "date,rain_mm\n", string(files[name]))
			continue
		}
		require.NoError(t, err, name)
		_, month, day := r.First.YMD()
		assert.Equal(t, "January 1", fmt.Sprint(month, day))
		assert.False(t, seen[string(files[name])])
		seen[string(files[name])] = true
		sum, missing := 0.0, 0
		for _, mm := range r.Depth {
			if math.IsNaN(mm) {
				missing++
			} else {
				sum += mm
			}
		}
		if k == 15 {
			assert.Zero(t, sum, "a gauge without rain")
			continue
		}
		total = append(total, sum/6)
		assert.Less(t, missing, 20)
		if k == 20 {
			assert.False(t, bytes.HasSuffix(files[name], []byte("\n")), "cut off")
			continue
		}
		end := r.First + rainfall.Date(len(r.Depth))
		from, _, _ := r.First.YMD()
		assert.Equal(t, rainfall.Day(from+6, time.January, 1), end, "six whole years")
	}
	require.Len(t, total, 17)
	for _, mm := range total {
		assert.True(t, mm > 40 && mm < 3000, "%g mm a year", mm)
	}
}

// Every other station is a piece of a real record, day for day, where one is given.
func TestPiecesOfRealRecords(t *testing.T) {
	t.Parallel()
	dir, _ := made(t, maker{n: 4, years: 5, seed: 1}, "../../testdata")
	whole, err := read.File("../../testdata/new-york.dly.gz", read.Options{})
	require.NoError(t, err)
	for _, name := range []string{"s00002.csv", "s00004.csv"} {
		r, err := read.File(filepath.Join(dir, name), read.Options{})
		require.NoError(t, err)
		at := int(r.First - whole.First)
		require.GreaterOrEqual(t, at, 0)
		for i, mm := range r.Depth {
			if want := whole.Depth[at+i]; !math.IsNaN(want) || !math.IsNaN(mm) {
				require.InDelta(t, want, mm, 0.0501, "%s day %d", name, i)
			}
		}
	}
	assert.ErrorContains(t, (&maker{n: 1, years: 900}).run("../../testdata", t.TempDir()), "no record of more than 901 years")
	assert.ErrorContains(t, (&maker{n: 1, years: 5, bad: 2}).run("", t.TempDir()), "no more bad ones than stations")
}
