package sim

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
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
		Horizon: 30, Level: 0.9, Unit: 1, AreaUnit: 1, Workers: 2,
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

// answered takes a question through the stages up to its answers.
func answered(t testing.TB, q *Question) (*Curves, []Solved, *Claims, []Answer) {
	t.Helper()
	c, err := q.Curves(t.Context())
	require.NoError(t, err)
	sizes, err := q.Solve(t.Context(), c)
	require.NoError(t, err)
	claims := q.Claim(c, sizes)
	return c, sizes, claims, q.Answer(sizes, claims)
}

// replayed is a replay that must be one.
func replayed(t testing.TB, series *rainfall.Series, roofs []Roof, uses []Use, tank Tank) *ReplayResult {
	t.Helper()
	r, err := Replay(series, roofs, uses, tank)
	require.NoError(t, err)
	return r
}

// byHand is what Ensemble.Trace tells of tanks of nominal sizes under scaled
// roofs, but for what the years need: a trace of so many years after its run-in,
// a day and a tank at a time by the rule as it is written. short is the short
// days of each size and year.
func byHand(s *Study, from gen.Sampler, rng *rand.Rand, start time.Month, years int, scale float64, nominal ...float64) (all *TraceTally, short [][]int) {
	const runIn = RunIn * rainfall.DaysPerYear
	rain := make([]float64, runIn+years*rainfall.DaysPerYear)
	from.Sample(rain, rng)
	demand, q := TraceDemand(RunIn+years, start, s.Uses), make([]int64, len(rain))
	roofs := slices.Clone(s.Roofs)
	for i := range roofs {
		roofs[i].Area *= scale
	}
	Inflow(q, rain, roofs)
	all = &TraceTally{years: years}
	of := rowTally{sums: store.NewSums(len(nominal)), spilled: make([]int64, len(nominal))}
	for t := runIn; t < len(rain); t++ {
		all.demand += store.Units(demand[t])
		of.inflow += q[t]
	}
	for k, x := range nominal {
		usable := store.Units(x * (1 - s.Dead))
		held, inYear := min(store.Units(s.startsWith()), usable), make([]int, years)
		for t := range rain {
			var yield, spill int64
			d := store.Units(demand[t])
			if yield, spill, held = s.Rule.Day(usable, held, q[t], d); t < runIn {
				continue
			}
			of.sums.Supplied[k] += yield
			of.spilled[k] += spill
			if yield < d {
				of.sums.Short[k]++
				inYear[t/rainfall.DaysPerYear-RunIn]++
			}
		}
		for _, n := range inYear {
			if n <= s.Allow {
				of.sums.Good[k]++
			}
		}
		short = append(short, inYear)
	}
	all.rows, all.asked = []rowTally{of}, all.demand
	return all, short
}

// byHandAll is byHand over the main traces of a question, under an area of roof.
func byHandAll(q *Question, area float64, nominal ...float64) *Totals {
	s := q.study
	sum := NewTotals([]Row{{Sizes: &Sizes{Nominal: nominal}}}, Weigh(q.series.Years))
	for k := range q.traces {
		t, _ := byHand(s, q.sampler, gen.Source(s.Seed, streamMain, uint64(k)), q.series.Years.Start, q.length, area/TotalArea(s.Roofs), nominal...)
		sum.Add(t)
	}
	return sum
}

// tallied is a trace of one row of tanks: L, days and years.
func tallied(years int, demand, inflow float64, tanks ...tally) *TraceTally {
	row := rowTally{inflow: store.Units(inflow), sums: store.NewSums(len(tanks)), spilled: make([]int64, len(tanks))}
	for k, x := range tanks {
		row.sums.Supplied[k], row.spilled[k] = store.Units(x.supplied), store.Units(x.spilled)
		row.sums.Short[k], row.sums.Good[k] = int64(x.short), int64(x.good)
	}
	return &TraceTally{years: years, demand: store.Units(demand), asked: store.Units(demand), rows: []rowTally{row}}
}

// totalsOf adds up such traces.
func totalsOf(traces ...*TraceTally) *Totals {
	sum := NewTotals([]Row{{Sizes: &Sizes{Nominal: make([]float64, len(traces[0].rows[0].spilled))}}}, Evidence{})
	for _, t := range traces {
		sum.Add(t)
	}
	return sum
}

// litres are units as litres.
func litres(units []int64) []float64 {
	out := make([]float64, len(units))
	for t, x := range units {
		out[t] = store.Litres(x)
	}
	return out
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
