package rainfall_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// A false value must not excuse the next one: what each is judged by must not
// be made of them.

// invented is a gauge of so many years from 1981 with a share of wet days in
// each month, more or less by spells of two months (an invented climate, with
// longer dry spells than a chain alone would give).
func invented(years int, seed uint64, wet ...float64) *rainfall.Record {
	rng := rand.New(rand.NewPCG(seed, 11))
	first, next := rainfall.Day(1981, time.January, 1), rainfall.Day(1981+years, time.January, 1)
	r := &rainfall.Record{First: first}
	spell, yesterday := 0.0, false
	keep := math.Exp(-1.0 / 60)
	for d := first; d < next; d++ {
		_, m, _ := d.YMD()
		spell = float64(keep*spell) + float64(math.Sqrt(1-keep*keep)*rng.NormFloat64())
		x := 0.0
		if p := wet[(int(m)-1)%len(wet)]; p > 0 {
			p = 1 / (1 + float64((1-p)/p*math.Exp(-0.3*spell)))
			if yesterday {
				p += float64(0.25 * (1 - p))
			} else {
				p *= 0.75
			}
			if rng.Float64() < p {
				x = math.Round(-80*math.Log(1-rng.Float64()))/10 + 0.1
			}
		}
		yesterday = x > 0
		r.Depth = append(r.Depth, x)
		r.Mark = append(r.Mark, 0)
	}
	return r
}

// dried puts zeros for so many days between two days of rain.
func dried(r *rainfall.Record, y int, m time.Month, d, days int) string {
	set(r, y, m, d-1, days+2, 5)
	set(r, y, m, d, days, 0)
	i := at(r, y, m, d)
	return fmt.Sprintf("%v+%d", r.First+rainfall.Date(i), days)
}

// Six runs that are hardly longer than they must be: those found first have to
// be left aside in both measures before the others show.
func TestFalseZerosDoNotMaskEachOther(t *testing.T) {
	for _, c := range []struct{ runs, apart, days int }{{1, 7, 75}, {2, 7, 75}, {3, 7, 75}, {5, 7, 75}, {6, 5, 60}} {
		for seed := range uint64(8) {
			r := invented(40, seed, 0.4)
			require.Empty(t, found(r)["zero-run"])
			var want []string
			for k := range c.runs {
				want = append(want, dried(r, 1983+c.apart*k, time.January, 10+3*k%15, c.days))
			}
			assert.Equal(t, want, found(r)["zero-run"], "%+v, seed %d", c, seed)
		}
	}
}

// Months without rain in every year are a climate, not a fault.
func TestDrySeasonsAreNoFalseZeros(t *testing.T) {
	for name, wet := range map[string][]float64{
		"monsoon":         {0, 0, 0, 0, 0.05, 0.45, 0.6, 0.6, 0.4, 0.1, 0, 0},
		"monsoon, rarely": {0.01, 0.01, 0.02, 0.04, 0.1, 0.45, 0.6, 0.6, 0.4, 0.15, 0.03, 0.01},
		"mediterranean":   {0.45, 0.4, 0.3, 0.2, 0.05, 0, 0, 0, 0.02, 0.2, 0.3, 0.45},
		"arid":            {0.05},
	} {
		var months []string
		for seed := range uint64(8) {
			got := found(invented(40, seed, wet...))
			assert.Empty(t, got["zero-run"], "%s, seed %d", name, seed)
			months = append(months, got["zero-month"]...)
		}
		for _, x := range months {
			m, err := strconv.Atoi(x[5:7])
			require.NoError(t, err)
			assert.Greater(t, wet[(m-1)%len(wet)], 0.25, "%s: %s is of the dry season", name, x)
		}
		assert.LessOrEqual(t, len(months), 1, "in 320 years: real rain, too, breaks a rule now and then")
	}
	// A false dry season is found among true ones.
	r := invented(40, 1, 0, 0, 0, 0, 0.05, 0.45, 0.6, 0.6, 0.4, 0.1, 0, 0)
	want := []string{dried(r, 1990, time.June, 20, 60), dried(r, 2004, time.June, 25, 60)}
	assert.Equal(t, want, found(r)["zero-run"])
}

func TestFalseMonthsDoNotMaskEachOther(t *testing.T) {
	for _, n := range []int{1, 2, 3, 5} {
		r := invented(40, 5, 0.4)
		require.Empty(t, found(r)["zero-month"])
		var want []string
		for k := range n {
			y := 1983 + 7*k
			dried(r, y, time.July, 1, 31)
			want = append(want, fmt.Sprintf("%d-07-01+31 others=%d", y, 40-n))
		}
		assert.Equal(t, want, found(r)["zero-month"], "%d months", n)
	}
	// A tenth of the years without rain in a month is a climate where the
	// others come near to it.
	r := invented(40, 5, 0.16)
	for k := range 4 {
		dried(r, 1983+7*k, time.July, 1, 31)
	}
	assert.Empty(t, found(r)["zero-month"])
}

// Thirty days of 280 mm are more than a day in a thousand of thirty years: the
// 99.9 percentile is then one of them.
func TestAbsurdDaysDoNotMaskEachOther(t *testing.T) {
	for _, n := range []int{1, 10, 12, 30} {
		r := invented(30, 3, 0.3)
		for i, x := range r.Depth {
			r.Depth[i] = min(x, 60)
		}
		require.Empty(t, found(r)["extreme-day"])
		for k := range n {
			r.Depth[at(r, 1981+k, time.March, 10+k%9)] = 280
		}
		assert.Len(t, found(r)["extreme-day"], n)
	}
}

// Two years of twice the rain are most of the spread that each is judged by.
func TestAbsurdYearsDoNotMaskEachOther(t *testing.T) {
	for _, n := range []int{1, 2, 5} {
		r := invented(30, 3, 0.3)
		require.Empty(t, found(r)["wet-year"])
		for k := range n {
			for i := at(r, 1983+5*k, time.January, 1); i < at(r, 1984+5*k, time.January, 1); i++ {
				r.Depth[i] *= 2.3
			}
		}
		assert.Len(t, found(r)["wet-year"], n)
	}
}

// Leap years alone stand out where every day has the same rain, and are no
// wet years.
func TestLeapYearsAreNotWet(t *testing.T) {
	r := wetPlace()
	for i := range r.Depth {
		r.Depth[i] = 1
	}
	assert.Empty(t, found(r)["wet-year"])
}

// The changes of a record are findings with their dates and numbers.
func TestSummaryChanges(t *testing.T) {
	r := wetPlace()
	assert.Empty(t, summarise(t, r, time.January).Changes())
	for i := at(r, 2001, time.October, 1); i < len(r.Depth); i++ {
		r.Depth[i] *= 2
	}
	m := summarise(t, r, time.October)
	all := m.Changes()
	require.Len(t, all, 2)
	assert.Equal(t, "trend", all[0].Code)
	assert.Equal(t, "1981-10-01", all[0].From.String())
	assert.Equal(t, m.Trend.SenPerDecade, all[0].Of("per_decade"))
	assert.Equal(t, "step", all[1].Code)
	assert.Equal(t, "2001-10-01", all[1].From.String())
	assert.Equal(t, 2001.0, all[1].Of("first_year"))
	assert.Equal(t, m.Step.After, all[1].Of("after"))
	last := all[1].From + rainfall.Date(all[1].Days) - 1
	assert.Equal(t, "2020-09-30", last.String())
}
