package rainfall

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What rain is on a day stands where rain does: 29 February apart, whose rain
// joins the 28th's and whose value is left out.
func TestYearsOf(t *testing.T) {
	for _, start := range []time.Month{time.January, time.February, time.March, time.October} {
		r := counted(t, 1999, 2005)
		for _, y := range []int{2000, 2004} {
			r.Depth[Day(y, 2, 29)-r.First] = 0
		}
		s, err := r.Fill(start)
		require.NoError(t, err)
		require.GreaterOrEqual(t, s.Years.Len(), 6)
		assert.Equal(t, s.Years.Rain, s.Years.Of(r.Depth, r.First), start)

		two := s.Years.Pick([]int{3, 1, 3})
		assert.Equal(t, two.Rain, two.Of(r.Depth, r.First), "years picked")

		// a series that begins earlier than the record, and ends later
		longer := append(append(make([]float64, 100), r.Depth...), 1, 2, 3)
		assert.Equal(t, s.Years.Rain, s.Years.Of(longer, r.First-100))
	}
}

func TestYearsOfMissing(t *testing.T) {
	nan := math.NaN()
	r := counted(t, 2001, 2004)
	r.Depth[40] = nan                         // its rain is filled from another year
	r.Depth, r.Mark = r.Depth[2:], r.Mark[2:] // and two days lie before the record
	r.First += 2
	s, err := r.Fill(time.January)
	require.NoError(t, err)
	require.Equal(t, 4, s.Years.Len())
	require.Equal(t, 3, s.Years.Filled[0])

	values := make([]float64, len(r.Depth))
	for i := range values {
		_, m, d := (r.First + Date(i)).YMD()
		values[i] = 100*float64(m) + float64(d)
	}
	june := int(Day(2002, 6, 10) - r.First)
	values[june] = nan
	of := s.Years.Of(values, r.First)
	assert.Equal(t, 210.0, of[0][40], "a day whose rain is filled has its own value: 10 February")
	want := (4*(600*30+465) - 610.0) / (4*30 - 1)
	assert.InEpsilon(t, want, of[1][160], 1e-12, "10 June 2002: the month's mean")
	january := (4*(100*31+496.0) - (101 + 102)) / (4*31 - 2)
	assert.InEpsilon(t, january, of[0][0], 1e-12, "before the series")
	assert.InEpsilon(t, january, of[0][1], 1e-12)
	assert.Equal(t, 103.0, of[0][2])
	assert.Equal(t, []float64{228, 301}, of[3][58:60], "29 February 2004 is left out")
	assert.Equal(t, 1231.0, of[3][364])

	for _, none := range []float64{s.Years.Of(nil, 0)[0][0], s.Years.Of([]float64{nan}, r.First)[3][364]} {
		assert.True(t, math.IsNaN(none))
	}
	assert.Equal(t, 7.0, s.Years.Of([]float64{7}, r.First)[2][200], "the only value")
}
