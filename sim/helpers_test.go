package sim

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// filled makes the series of depths from a day on; NaN is missing.
func filled(t testing.TB, first rainfall.Date, depth []float64, start time.Month) *rainfall.Series {
	t.Helper()
	r := &rainfall.Record{About: rainfall.About{File: "test"}, First: first, Depth: depth, Mark: make([]rainfall.Mark, len(depth))}
	s, err := r.Fill(start)
	require.NoError(t, err)
	return s
}

// showers is days of random rain: dry two days of three.
func showers(rng *rand.Rand, days int) []float64 {
	out := make([]float64, days)
	for i := range out {
		if rng.IntN(3) == 0 {
			out[i] = 6 * rng.ExpFloat64()
		}
	}
	return out
}

// usualYears is the series of n water years of showers.
func usualYears(t testing.TB, n int) *rainfall.Series {
	t.Helper()
	first := rainfall.Day(1981, time.January, 1)
	return filled(t, first, showers(rand.New(rand.NewPCG(31, 32)), int(rainfall.Day(1981+n, time.January, 1)-first)), time.January)
}

// drySummer is the series of n water years with rain every third day but in
// June, July and August; year by year a little more, 800 mm on average over odd
// numbers of years.
func drySummer(t testing.TB, n int) *rainfall.Series {
	t.Helper()
	const wet = 92 // days of a year
	return seriesOf(t, n, func(y, d int) float64 {
		if d%3 != 0 || d >= 151 && d < 243 {
			return 0
		}
		return (800 + 20*float64(y-n/2)) / wet
	})
}

// seriesOf is the series of water years from January 2001, depth(year, day) mm
// a day, 29 February dry.
func seriesOf(t testing.TB, years int, depth func(y, d int) float64) *rainfall.Series {
	t.Helper()
	var all []float64
	for y := range years {
		for d := range rainfall.DaysPerYear {
			all = append(all, depth(y, d))
			if d == 58 && rainfall.Leap(2001+y) { // after 28 February
				all = append(all, 0)
			}
		}
	}
	return filled(t, rainfall.Day(2001, time.January, 1), all, time.January)
}

// coin is a generator that rains depth mm on a day with probability p, each
// day on its own, whatever the record says.
func coin(depth, p float64) gen.Generator {
	return gen.Generator{Name: "coin", What: "tossed days", Source: "a test",
		Fit: func(*rainfall.Years) (gen.Sampler, error) { return tossed{depth, p}, nil }}
}

type tossed struct{ depth, p float64 }

func (c tossed) Sample(dst []float64, rng *rand.Rand) {
	for t := range dst {
		if dst[t] = 0; rng.Float64() < c.p {
			dst[t] = c.depth
		}
	}
}

// question is a study that Check accepts and that is quick to answer.
func question() *Study {
	return &Study{
		Roofs: []Roof{{Name: "shed", Area: 60, Runoff: 0.9, FirstFlush: 0.5, Filter: 1, Drains: 1}},
		Areas: []float64{60}, Uses: []Use{{Name: "taps", Daily: 60}},
		Sizes:  []float64{200, 500, 1000, 2000, 4000, 8000},
		Target: 0.9, Measure: Annual, Years: 200, Seed: 1,
		Replicates: 12, Horizon: 30, Level: 0.9, GainStep: 1000, GainStop: 0.01, Workers: 2,
	}
}

// unitQuestion is the same of 1 m² that gives all its rain, and litres a day.
func unitQuestion(daily float64) *Study {
	s := question()
	s.Roofs, s.Areas, s.Uses = plain(1, 1, 1), []float64{1}, []Use{{Daily: daily}}
	return s
}

// plain is a roof with no loss but its coefficients.
func plain(area, runoff, filter float64) []Roof {
	return []Roof{{Area: area, Runoff: runoff, Filter: filter, Drains: 1}}
}

// sized is the answer of a study that must have one.
func sized(t testing.TB, series *rainfall.Series, g gen.Generator, s *Study) *Result {
	t.Helper()
	r, err := Size(t.Context(), series, g, s)
	require.NoError(t, err, g.Name)
	return r
}

// asked is a question that must be one.
func asked(t testing.TB, series *rainfall.Series, g gen.Generator, s *Study) *Question {
	t.Helper()
	q, err := Ask(series, g, s)
	require.NoError(t, err)
	return q
}

// replayed is a replay that must be one.
func replayed(t testing.TB, series *rainfall.Series, roofs []Roof, uses []Use, tank Tank) *ReplayResult {
	t.Helper()
	r, err := Replay(series, roofs, uses, tank)
	require.NoError(t, err)
	return r
}

func weekdays() (days [7]bool) {
	for d := time.Monday; d <= time.Friday; d++ {
		days[d] = true
	}
	return days
}

func total(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum
}

// near requires every number of one value to be that of another, give or take
// so much. NaN is NaN.
func near(t testing.TB, want, got any, within float64, about ...any) {
	t.Helper()
	w, g := numbers(reflect.ValueOf(want)), numbers(reflect.ValueOf(got))
	require.Len(t, g, len(w), about...)
	for i := range w {
		if !(math.Abs(w[i]-g[i]) <= within || w[i] == g[i] || math.IsNaN(w[i]) && math.IsNaN(g[i])) {
			require.Equal(t, w[i], g[i], append([]any{"number %d: " + reflect.TypeOf(want).String(), i}, about...)...)
		}
	}
}

// numbers lists all numbers of a value in order, a truth as 0 or 1.
func numbers(v reflect.Value) (out []float64) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			out = append(out, numbers(v.Field(i))...)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			out = append(out, numbers(v.Index(i))...)
		}
	case reflect.Bool:
		out = append(out, map[bool]float64{true: 1}[v.Bool()])
	case reflect.Float64:
		out = append(out, v.Float())
	case reflect.Int, reflect.Int32:
		out = append(out, float64(v.Int()))
	case reflect.Uint8:
		out = append(out, float64(v.Uint()))
	}
	return out
}
