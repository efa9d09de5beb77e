package rainfall_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// wetPlace is an invented gauge: 40 years from 1981, about three days in ten
// wet in every month, no flaw.
func wetPlace() *rainfall.Record {
	first, next := rainfall.Day(1981, time.January, 1), rainfall.Day(2021, time.January, 1)
	rng := gen.Source(7, 0, 0)
	r := &rainfall.Record{About: rainfall.About{File: "wet.csv"}, First: first}
	for range next - first {
		x := 0.0
		if rng.Float64() < 0.3 {
			x = math.Round(-80*math.Log(1-rng.Float64()))/10 + 0.1
		}
		r.Depth = append(r.Depth, x)
		r.Mark = append(r.Mark, 0)
	}
	return r
}

func at(r *rainfall.Record, y int, m time.Month, d int) int {
	return int(rainfall.Day(y, m, d) - r.First)
}

// set gives so many days from one on the same depth.
func set(r *rainfall.Record, y int, m time.Month, d, days int, mm float64) {
	from := at(r, y, m, d)
	for i := from; i < from+days; i++ {
		r.Depth[i] = mm
	}
}

// found maps the kinds of findings to them, each as "DATE+DAYS name=value …".
func found(r *rainfall.Record) map[string][]string {
	out := map[string][]string{}
	for _, c := range r.Quality() {
		for _, f := range c.Found {
			text := fmt.Sprintf("%v+%d", f.From, f.Days)
			for _, v := range f.Values {
				text += fmt.Sprintf(" %s=%.4g", v.Name, v.X)
			}
			out[c.Code] = append(out[c.Code], text)
		}
	}
	return out
}

// Each rule finds its own fault, says where, and is silent without it.
func TestQualityRules(t *testing.T) {
	require.Empty(t, found(wetPlace()), "the record without a fault")
	for _, c := range []struct {
		name, code string
		spoil      func(*rainfall.Record)
		texts      []string
	}{
		{"a day of 310 mm", "extreme-day", func(r *rainfall.Record) {
			r.Depth[at(r, 1990, time.May, 3)] = 310
		}, []string{"1990-05-03+1 depth=310"}},
		{"one depth four days running, twice", "repeated", func(r *rainfall.Record) {
			for _, y := range []int{2001, 2002} {
				set(r, y, time.June, 9, 6, 0)
				set(r, y, time.June, 10, 4, 4.2)
			}
		}, []string{"2001-06-10+4 depth=4.2", "2002-06-10+4 depth=4.2"}},
		{"a winter written down as zeros", "zero-run", func(r *rainfall.Record) {
			dried(r, 1999, time.January, 10, 70)
		}, []string{"1999-01-10+70"}},
		{"a month written down as zeros", "zero-month", func(r *rainfall.Record) {
			set(r, 2010, time.April, 1, 30, 0)
		}, []string{"2010-04-01+30 others=39"}},
		{"Sundays read on Mondays", "weekday", func(r *rainfall.Record) {
			for i := 1; i < len(r.Depth); i++ {
				if (r.First + rainfall.Date(i)).Weekday() == time.Monday {
					r.Depth[i] += r.Depth[i-1]
					r.Depth[i-1] = 0
				}
			}
		}, []string{"1981-01-01+14610 weekday=0 departure=-1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := wetPlace()
			c.spoil(r)
			got := found(r)
			require.NotEmpty(t, got[c.code])
			assert.Equal(t, c.texts, got[c.code][:len(c.texts)])
			assert.True(t, len(c.texts) == len(got[c.code]) || c.code == "weekday", "one weekday lost is another's gain")
			if c.code != "zero-run" && c.code != "zero-month" { // a run of zeros holds a month of them, and that is one
				assert.Len(t, got, 1, "no other rule is broken: %v", got)
			}
		})
	}
}

// A wet day of that rule has 1 mm or more, and not less.
func TestWeekdaysOfWetDays(t *testing.T) {
	record := func(sunday float64) *rainfall.Record {
		r := &rainfall.Record{First: rainfall.Day(1981, time.January, 1), Depth: make([]float64, 7000), Mark: make([]rainfall.Mark, 7000)}
		for i := range r.Depth {
			if i%3 == 0 {
				r.Depth[i] = 1
				if (r.First + rainfall.Date(i)).Weekday() == time.Sunday {
					r.Depth[i] = sunday
				}
			}
		}
		return r
	}
	assert.Empty(t, found(record(1))["weekday"])
	assert.Contains(t, found(record(0.9))["weekday"][0], "weekday=0 departure=-1")
}

// A year six times as wet is found although it is in the mean and the spread
// it is judged against.
func TestQualityWetYear(t *testing.T) {
	r := wetPlace()
	for i := at(r, 2003, time.January, 1); i < at(r, 2004, time.January, 1); i++ {
		r.Depth[i] *= 6
	}
	texts := found(r)["wet-year"]
	require.Len(t, texts, 1)
	assert.Regexp(t, `^2003-01-01\+365 depth=\d+ times_median=\d\.\d+$`, texts[0])
}

// A total spread over its days is not four equal readings, and a trace is not
// a zero.
func TestQualityHonoursMarks(t *testing.T) {
	r := wetPlace()
	i := at(r, 2001, time.June, 10)
	for d := range 5 {
		r.Depth[i+d], r.Mark[i+d] = 4.2, rainfall.Spread
	}
	assert.Empty(t, found(r)["repeated"])
	set(r, 2010, time.April, 1, 30, 0)
	r.Mark[at(r, 2010, time.April, 15)] = rainfall.Trace
	assert.Empty(t, found(r)["zero-month"])
}

// A record of one value, or of holes alone but one, has nothing to find and
// nothing to fall over.
func TestQualityOfAlmostNothing(t *testing.T) {
	r := &rainfall.Record{First: 0, Depth: []float64{3}, Mark: []rainfall.Mark{0}}
	assert.Empty(t, found(r))
	r = &rainfall.Record{First: 0, Depth: []float64{0, math.NaN(), 0}, Mark: make([]rainfall.Mark, 3)}
	assert.Empty(t, found(r))
}
