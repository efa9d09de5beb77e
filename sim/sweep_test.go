package sim

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// sweepCase is rain and demand of a random kind: showers or cloudbursts,
// steady, seasonal or idle use.
func sweepCase(rng *rand.Rand, days int) (q, d []float64) {
	q, d = make([]float64, days), make([]float64, days)
	p, mean, use := 0.05+0.6*rng.Float64(), math.Exp(2+5*rng.Float64()), 0.0
	use = p * mean * (0.2 + 0.8*rng.Float64())
	whole := rng.IntN(3) == 0
	kind := rng.IntN(3)
	for t := range q {
		if rng.Float64() < p {
			q[t] = mean * rng.ExpFloat64()
		}
		d[t] = use
		switch {
		case kind == 1 && t%365 > 150:
			d[t] *= 3
		case kind == 2 && rng.IntN(3) == 0:
			d[t] = 0
		}
		if whole {
			q[t], d[t] = math.Round(q[t]/50)*50, math.Round(d[t]/50)*50
		}
	}
	return q, d
}

// TestSweepAgainstTheStore: every size that a year is said to ask for has as
// few short days as allowed in it when the store runs it, and one a
// millionth smaller has more; the same at random sizes on either side.
func TestSweepAgainstTheStore(t *testing.T) {
	const years = 6
	rng := rand.New(rand.NewPCG(301, 302))
	inside := 0
	for range 1000 {
		q, d := sweepCase(rng, years*rainfall.DaysPerYear)
		need := make([]float64, len(d))
		Need(need, d)
		roof := 1.0
		if rng.IntN(2) == 0 {
			roof = 0.2 + 2*rng.Float64()
		}
		mean := 0.0
		for _, x := range d {
			mean += x / float64(len(d))
		}
		low, high := 0.0, (mean+1)*math.Exp(1+5*rng.Float64())
		if rng.IntN(2) == 0 {
			low = high * rng.Float64()
		}
		start, allow := high*rng.Float64()*float64(rng.IntN(2)), rng.IntN(2)*rng.IntN(20)
		for _, rule := range []Rule{YAS, YBS} {
			w := newSweep(rule, low, high, start)
			var asks, sizes []float64
			for y := 0; y < len(q); y += rainfall.DaysPerYear {
				x := w.year(roof, q[y:y+rainfall.DaysPerYear], d[y:y+rainfall.DaysPerYear], allow)
				asks = append(asks, x)
				if x > low && x <= high {
					sizes = append(sizes, x, x*(1-1e-6), x*(1+1e-6))
					inside++
				}
			}
			for range 10 {
				sizes = append(sizes, low+(high-low)*rng.Float64())
			}
			sizes = append(sizes, low, high)
			roofs := make([]float64, len(sizes))
			for j := range roofs {
				roofs[j] = roof
			}
			l := NewLanes(roofs, sizes, start)
			for y, x := range asks {
				a, z := y*rainfall.DaysPerYear, (y+1)*rainfall.DaysPerYear
				l.Run(rule, q[a:z], d[a:z], need[a:z])
				for j, size := range sizes {
					if size != x && math.Abs(size-x) < 1e-9*x {
						continue // another year's, and all but the same
					}
					require.Equal(t, size >= x, l.Short[j] <= float64(allow), "%s: year %d asks for %.9g L, a tank of %.9g L has %g short days (%d allowed)", rule, y, x, size, l.Short[j], allow)
				}
			}
		}
	}
	require.Greater(t, inside, 1000, "few cases ask for a size inside the range")
}

// TestReplayYearsNeed: a tank of the size that a year needs goes through it
// well, one a hair smaller does not.
func TestReplayYearsNeed(t *testing.T) {
	rng := rand.New(rand.NewPCG(311, 312))
	rain := showers(rng, 9*366)
	for k := range rng.IntN(60) {
		rain[1000+k] = math.NaN() // a hole to be passed over
	}
	s := filled(t, day0(t, 2003, time.March, 20), rain, time.October)
	roofs, uses := []Roof{NewRoof(90)}, []Use{{Daily: 80}}
	seen := 0
	for _, tank := range []Tank{{Nominal: 3000}, {Nominal: 500, Dead: 0.1, Start: 400, Rule: YBS}, {Nominal: 2000, Allow: 10}, {Nominal: 900, RunIn: 3}} {
		all, err := Replay(s, roofs, uses, tank)
		require.NoError(t, err)
		for k, y := range all.Years {
			if !(y.Needs > 0) || math.IsInf(y.Needs, 1) {
				continue
			}
			seen++
			for _, c := range []struct {
				times float64
				good  bool
			}{{1 + 1e-9, true}, {1.5, true}, {1 - 1e-6, false}, {0.7, false}} {
				other := tank
				other.Nominal = y.Needs * c.times
				got, err := Replay(s, roofs, uses, other)
				require.NoError(t, err)
				require.Equal(t, c.good, got.Years[k].ShortDays <= tank.Allow, "year %d needs %g L, not %g L", y.Label, y.Needs, other.Nominal)
			}
		}
	}
	require.Greater(t, seen, 15)
}

// TestSolveAgainstTheSweep: the solver's size is, to its 1 %, the one below
// which the sweep counts too few good years.
func TestSolveAgainstTheSweep(t *testing.T) {
	series := usualYears(t, 20)
	for _, rule := range []Rule{YAS, YBS} {
		for _, target := range []float64{0.5, 0.8, 0.95} {
			s := question()
			s.Rule, s.Target, s.Years, s.Areas = rule, target, 500, []float64{60, 100, 250}
			r, err := Size(t.Context(), series, rainfall.WaterYears(), s)
			require.NoError(t, err)
			sampler, err := rainfall.WaterYears().Fit(series.Years)
			require.NoError(t, err)
			e := newEnsemble(s, series.Years)
			for i, area := range s.Areas {
				var asks []float64
				for k := range s.Years / TraceYears {
					sc := newScratch()
					require.NoError(t, e.draw(sc, sampler, rainfall.Source(s.Seed, streamMain, uint64(k)), TraceYears))
					w := newSweep(rule, 0, 1e9, s.Start)
					for y := 0; y < len(sc.inflow); y += rainfall.DaysPerYear {
						x := w.year(area/TotalArea(s.Roofs), sc.inflow[y:y+rainfall.DaysPerYear], e.demand[y:y+rainfall.DaysPerYear], s.Allow)
						if y >= RunIn*rainfall.DaysPerYear {
							asks = append(asks, x)
						}
					}
				}
				slices.Sort(asks)
				exact := asks[int(math.Ceil(target*float64(len(asks))-1e-9))-1]
				got := s.Usable(r.Answers[i].Tank)
				if math.IsInf(exact, 1) || exact > reach*s.Sizes[len(s.Sizes)-1] {
					require.True(t, math.IsNaN(got))
					continue
				}
				if math.IsNaN(got) {
					got = s.Usable(r.Answers[i].Beyond)
				}
				require.GreaterOrEqual(t, got, exact*(1-1e-9))
				require.LessOrEqual(t, got, exact*tolerance)
			}
		}
	}
}
