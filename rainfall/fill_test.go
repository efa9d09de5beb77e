package rainfall

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// counted is a record in which every day's depth is a number of its own.
func counted(t *testing.T, y0, y1 int) *Record {
	t.Helper()
	first, last := Day(y0, 1, 1), Day(y1, 12, 31)
	r := &Record{First: first, Depth: make([]float64, last-first+1), Mark: make([]Mark, last-first+1)}
	for i := range r.Depth {
		r.Depth[i] = float64(i + 1)
	}
	return r
}

// A hole that no other usable year can fill is filled from the nearest day:
// a record of a single usable year with one day missing is still a year.
func TestFillFromTheNearestDay(t *testing.T) {
	nan := math.NaN()
	r := counted(t, 2021, 2021)
	r.Depth[40], r.Depth[364] = nan, nan
	s, err := r.Fill(time.January)
	require.NoError(t, err)
	require.Equal(t, 1, s.Years.Len())
	assert.Equal(t, 40.0, s.Depth[40], "of two days as near the earlier one")
	assert.Equal(t, 364.0, s.Depth[364])
	assert.Equal(t, 2, s.Years.Filled[0])
	assert.Equal(t, Filled, s.Mark[40]&Filled)

	// Eight in a row across two months are the most that a usable year misses.
	r = counted(t, 2021, 2022)
	for i := 27; i < 35; i++ {
		r.Depth[i], r.Depth[365+i] = nan, nan
	}
	s, err = r.Fill(time.January)
	require.NoError(t, err)
	require.Equal(t, 2, s.Years.Len())
	assert.Equal(t, []float64{27, 27, 27, 27, 27, 36, 36, 36, 36, 36}, s.Depth[26:36])

	// Another year that has the day comes first.
	r = counted(t, 2021, 2022)
	r.Depth[40] = nan
	s, err = r.Fill(time.January)
	require.NoError(t, err)
	assert.Equal(t, 365+41.0, s.Depth[40])
}

// Whatever a usable year misses can be filled.
func TestFillNeverFails(t *testing.T) {
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 9))
		r := counted(t, 2019, 2019+rng.IntN(3))
		for range rng.IntN(40) {
			at := rng.IntN(len(r.Depth))
			end := at + 1 + rng.IntN(4)
			for i := at; i < min(len(r.Depth), end); i++ {
				r.Depth[i] = math.NaN()
			}
		}
		s, err := r.Fill(time.Month(1 + rng.IntN(12)))
		require.NoError(t, err)
		for _, year := range s.Years.Rain {
			for _, x := range year {
				require.False(t, math.IsNaN(x))
			}
		}
	}
}
