package rainfall

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// warmRecord is a record of whole years whose days are 20 °C and 10 °C.
func warmRecord(t *testing.T, y0, y1 int) *Record {
	t.Helper()
	r := counted(t, y0, y1)
	for range r.Depth {
		r.Max, r.Min = append(r.Max, 20), append(r.Min, 10)
	}
	return r
}

func TestReferenceET(t *testing.T) {
	r := warmRecord(t, 2019, 2020)
	et, share, err := r.ReferenceET(-20)
	require.NoError(t, err)
	assert.Equal(t, 1.0, share)
	require.Len(t, et, 731)
	// The day of the year counts from 1, and a leap year's last is the 366th.
	for _, c := range []struct{ place, day int }{{0, 1}, {245, 246}, {364, 365}, {365, 1}, {365 + 59, 60}, {730, 366}} {
		assert.Equal(t, Hargreaves(20, 10, Radiation(-20, c.day)), et[c.place], "%+v", c)
	}
	// 0.0023·32.8·√10·0.408·32.194 (FAO-56 example 8's Ra)
	assert.InDelta(t, 0.0023*32.8*math.Sqrt(10)*0.408*32.194, et[245], 1e-5)

	// A record that begins within a year knows which day of it that is.
	late := *r
	late.First, late.Depth, late.Max, late.Min = r.First+100, r.Depth[100:], r.Max[100:], r.Min[100:]
	part, _, err := late.ReferenceET(-20)
	require.NoError(t, err)
	assert.Equal(t, et[100:], part)
}

func TestReferenceETFromMonths(t *testing.T) {
	whole, _, err := warmRecord(t, 2019, 2020).ReferenceET(50)
	require.NoError(t, err)
	// Three days of March 2019 without temperatures, in three ways, take the
	// mean of March's other days.
	r := warmRecord(t, 2019, 2020)
	march := int(Day(2019, 3, 1) - r.First)
	next := int(Day(2020, 3, 1) - r.First)
	r.Max[march], r.Min[march+1], r.Max[march+2] = math.NaN(), math.NaN(), 9.9
	et, share, err := r.ReferenceET(50)
	require.NoError(t, err)
	assert.InDelta(t, 1-3.0/731, share, 1e-12)
	sum := 0.0
	for i := range 31 {
		sum += whole[next+i]
		if i > 2 {
			sum += whole[march+i]
		}
	}
	for i := range 3 {
		assert.InEpsilon(t, sum/59, et[march+i], 1e-12)
	}
	assert.Equal(t, whole[march+3:], et[march+3:])
	assert.Equal(t, whole[:march], et[:march])

	// A day as warm by night as by day has temperatures, and no evaporation.
	r = warmRecord(t, 2019, 2020)
	r.Max[march] = 10
	et, share, err = r.ReferenceET(50)
	require.NoError(t, err)
	assert.Equal(t, []float64{1, 0}, []float64{share, et[march]})

	// A month without any lies half-way between its neighbours.
	r = warmRecord(t, 2019, 2019)
	for i := range 31 {
		r.Max[march+i] = math.NaN()
	}
	et, _, err = r.ReferenceET(50)
	require.NoError(t, err)
	mean := func(from, n int) (m float64) {
		for _, x := range whole[from : from+n] {
			m += x / float64(n)
		}
		return m
	}
	assert.InEpsilon(t, (mean(march-28, 28)+mean(march+31, 30))/2, et[march+10], 1e-12)
}

func TestReferenceETRefuses(t *testing.T) {
	r := warmRecord(t, 2019, 2019)
	for _, latitude := range []float64{math.NaN(), 90.5, -91} {
		_, _, err := r.ReferenceET(latitude)
		assert.ErrorIs(t, err, ErrLatitude)
	}
	days := 365
	for i := 0; i < days/10; i++ { // 36 of 365 are less than a tenth
		r.Max[10*i] = math.NaN()
	}
	_, share, err := r.ReferenceET(50)
	require.NoError(t, err)
	assert.InDelta(t, 329.0/365, share, 1e-12)
	r.Min[1] = math.NaN() // 328 are 0.8986 of 365
	et, share, err := r.ReferenceET(50)
	var few *FewTemperatures
	require.ErrorAs(t, err, &few)
	assert.Equal(t, FewTemperatures{328, 365, 328.0 / 365}, *few)
	assert.Equal(t, few.Share, share)
	assert.Nil(t, et)
	assert.Equal(t, "few temperatures: 328 of 365", few.Error())

	short := *r
	short.Depth, short.Max, short.Min = r.Depth[:20], r.Max[:20], r.Min[:20]
	short.Min[1] = 10
	_, share, err = short.ReferenceET(50) // 18 of 20 are just enough
	require.NoError(t, err)
	assert.Equal(t, LeastTemperatures, share)

	_, share, err = counted(t, 2019, 2019).ReferenceET(50)
	require.ErrorAs(t, err, &few, "a record without temperatures")
	assert.Equal(t, []float64{0, 0}, []float64{share, float64(few.Days)})
}
