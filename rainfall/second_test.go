package rainfall

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A gauge that lacks some days takes them from one with half of its rain, doubled
// (worked by hand); what both lack stays missing, and nothing else changes.
func TestFilledFromASecondGauge(t *testing.T) {
	const n = 1200
	r := &Record{First: Day(2001, 1, 1), Depth: make([]float64, n), Mark: make([]Mark, n), About: About{File: "a.csv"}}
	o := &Record{First: Day(2001, 1, 11), Depth: make([]float64, n), Mark: make([]Mark, n), About: About{File: "b.csv", SHA256: "77"}}
	rain := func(t int) float64 { return float64(t % 5 * (t % 3)) }
	for k := range n {
		r.Depth[k] = 2 * rain(k)
		o.Depth[k] = rain(k + 10)
	}
	missing := map[int]bool{}
	for k := 100; k < 300; k++ {
		r.Depth[k], r.Mark[k], missing[k] = math.NaN(), Failed, true
	}
	r.Depth[3] = math.NaN() // before the other begins
	o.Depth[190] = math.NaN()
	got, err := r.FilledFrom(o)
	require.NoError(t, err)
	for k := range n {
		switch {
		case k == 3 || k == 200:
			assert.True(t, math.IsNaN(got.Depth[k]), k)
		default:
			require.Equal(t, 2*rain(k), got.Depth[k], k)
			require.Equal(t, missing[k], got.Mark[k] == Borrowed, k)
		}
	}
	assert.True(t, math.IsNaN(r.Depth[150]), "the record itself is left as it was")
	assert.Equal(t, []string{"b.csv", "77"}, []string{got.Second, got.SecondSHA256})
	f := got.Findings[0]
	assert.Equal(t, []float64{199, 2, 990}, []float64{f.Of("count"), f.Of("factor"), f.Of("common")})
	for k := range o.Depth { // rain of its own
		o.Depth[k] = float64((k / 31 * 7919 % 13) * (k % 4))
	}
	var unlike *Unlike
	_, err = r.FilledFrom(o)
	require.ErrorAs(t, err, &unlike)
	assert.Less(t, unlike.Correlation, LeastAlike)
	o.Depth = o.Depth[:700]
	_, err = r.FilledFrom(o)
	assert.ErrorIs(t, err, ErrFewCommon)
}
