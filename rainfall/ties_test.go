package rainfall

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of two years equally like the one with the hole the earlier fills it, and
// of three the one that is most alike, wherever it stands.
func TestFillFromTheFirstOfEquals(t *testing.T) {
	at := func(r *Record, year, day int) *float64 { return &r.Depth[int(Day(year, 5, day)-r.First)] }
	for _, hole := range []int{2001, 2002, 2003} {
		first, last := Day(2001, 1, 1), Day(2003, 12, 31)
		r := &Record{First: first, Depth: make([]float64, last-first+1), Mark: make([]Mark, last-first+1)}
		for year := 2001; year <= 2003; year++ {
			*at(r, year, 10) = float64(year - 2000) // the totals of May are the same
			*at(r, year, 20) = float64(2010 - year)
		}
		*at(r, hole, 10) = math.NaN()
		want := 1.0
		if hole == 2001 {
			want = 2
		}
		s, err := r.Fill(time.January)
		require.NoError(t, err)
		assert.Equal(t, want, s.Depth[int(Day(hole, 5, 10)-first)], "the hole of %d", hole)

		// A drop in August makes the later of the two the likelier.
		later := 2003
		if hole == 2003 {
			later = 2002
		}
		for _, year := range []int{hole, later} {
			r.Depth[int(Day(year, 8, 1)-first)] = 0.5
		}
		s, err = r.Fill(time.January)
		require.NoError(t, err)
		assert.Equal(t, float64(later-2000), s.Depth[int(Day(hole, 5, 10)-first)], "the hole of %d", hole)
	}
}

// Of equal months, spells and depths the first is named.
func TestFirstOfEqualsInASummary(t *testing.T) {
	first, last := Day(2001, 1, 1), Day(2002, 12, 31)
	r := &Record{First: first, Depth: make([]float64, last-first+1), Mark: make([]Mark, last-first+1)}
	assert.Equal(t, time.January, r.StartMonth())
	r.Depth[40], r.Depth[89] = 12, 12
	s, err := r.Fill(time.January)
	require.NoError(t, err)
	m := Summarise(r, s)
	assert.Equal(t, first+40, m.MaxDay.Date)
	r.Depth[300], r.Depth[511], r.Depth[600] = 12, 12, 12 // between them two spells of 210 days
	assert.Equal(t, Run{first + 90, 210}, r.LongestDrySpell(WetDay))
	assert.Equal(t, "2001-04-01", m.Driest[0].From.String())
}
