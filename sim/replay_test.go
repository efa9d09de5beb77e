package sim

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/sim/internal/store"
)

// replayByHand is Replay written again, a day and a tank at a time, on the
// calendar of package time, but for what a year needs.
func replayByHand(s *rainfall.Series, roofs []Roof, uses []Use, tank Tank) *ReplayResult {
	size := store.Units(tank.Nominal * (1 - tank.Dead))
	v := min(store.Units(tank.Start), size)
	out := &ReplayResult{Tank: tank, Roofs: roofs, First: s.First, Last: s.First + rainfall.Date(len(s.Depth)-1), StartsWith: store.Litres(v)}
	demand, inflow := make([]float64, len(s.Depth)), make([]int64, len(s.Depth))
	Demand(demand, s.First, uses)
	run, yearRun, good := 0, 0, 0.0
	y0, m0, d0 := s.First.YMD()
	for k, p := range s.Depth {
		now := time.Date(y0, m0, d0+k, 0, 0, 0, 0, time.UTC)
		date := rainfall.Day(now.Year(), now.Month(), now.Day())
		label := now.Year()
		if now.Month() < s.Years.Start {
			label--
		}
		if n := len(out.Years); n == 0 || out.Years[n-1].Label != label {
			out.Years = append(out.Years, RealYear{Start: date, Label: label, LowestStorage: store.Litres(v)})
			yearRun = 0
		}
		year := &out.Years[len(out.Years)-1]
		if math.IsNaN(p) {
			out.Skipped++
			run, yearRun = 0, 0
			continue
		}
		if k == 0 || math.IsNaN(s.Depth[k-1]) { // the diverter begins empty
			end := k
			for end < len(s.Depth) && !math.IsNaN(s.Depth[end]) {
				end++
			}
			Inflow(inflow[k:end], s.Depth[k:end], roofs)
		}
		d := store.Units(demand[k])
		yield, spill, held := tank.Rule.Day(size, v, inflow[k], d)
		day := Day{Date: date, Rain: p, Water: Water{Inflow: store.Litres(inflow[k]), Demand: store.Litres(d), Supplied: store.Litres(yield), Spilled: store.Litres(spill)}, Storage: store.Litres(held), Short: yield < d}
		v = held
		out.Daily = append(out.Daily, day)
		out.Days++
		year.Days++
		year.Rain += p
		for _, sum := range []*Water{&out.Water, &year.Water} {
			*sum = Water{Inflow: sum.Inflow + day.Inflow, Demand: sum.Demand + day.Demand, Supplied: sum.Supplied + day.Supplied, Spilled: sum.Spilled + day.Spilled}
		}
		year.LowestStorage = min(year.LowestStorage, day.Storage)
		if !day.Short {
			run, yearRun = 0, 0
			continue
		}
		out.ShortDays++
		year.ShortDays++
		if run == 0 {
			out.Runs = append(out.Runs, DryRun{From: date})
		}
		run++
		yearRun++
		out.Runs[len(out.Runs)-1].Days++
		out.Runs[len(out.Runs)-1].Deficit += day.Demand - day.Supplied
		year.LongestDry = max(year.LongestDry, yearRun)
	}
	for i, y := range out.Years {
		for _, label := range s.Years.Label {
			if label == y.Label {
				out.Years[i].Whole = true
				out.WholeYears++
				if y.ShortDays <= tank.Allow {
					good++
				}
			}
		}
	}
	out.EndsWith = store.Litres(v)
	out.Volumetric, out.Time, out.Annual = out.Supplied/out.Demand, 1-float64(out.ShortDays)/float64(out.Days), good/float64(out.WholeYears)
	return out
}

func TestReplayEqualsOneDayAtATime(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	wholes, skips, shorts, leaps := 0, 0, 0, 0
	for n := range 60 {
		rain := showers(rng, 400+rng.IntN(1700))
		for range rng.IntN(12) { // holes: days, weeks and months
			at := rng.IntN(len(rain))
			end := at + 1 + rng.IntN([]int{1, 4, 60}[rng.IntN(3)])
			for i := at; i < min(len(rain), end); i++ {
				rain[i] = math.NaN()
			}
		}
		first := rainfall.Day(1995+rng.IntN(6), time.Month(1+rng.IntN(12)), 1+rng.IntN(28))
		s := filled(t, first, rain, time.Month(1+rng.IntN(12)))
		var roofs []Roof
		for range 1 + rng.IntN(3) {
			roofs = append(roofs, Roof{Area: 20 + 200*rng.Float64(), Runoff: 0.3 + 0.7*rng.Float64(), Wetting: float64(rng.IntN(2)),
				FirstFlush: 2 * rng.Float64(), Filter: 0.8 + 0.2*rng.Float64(), Drains: 1 + rng.IntN(3)})
		}
		uses := []Use{{Daily: 300 * rng.Float64(), Days: weekdays()}, {Daily: 20}}
		for m := range 12 {
			uses[1].Monthly[m] = float64(1000 * rng.IntN(3))
		}
		tank := Tank{Nominal: 200 * math.Exp(4*rng.Float64()), Dead: 0.2 * float64(rng.IntN(2)), Start: float64(1000 * rng.IntN(4)),
			Rule: Rule(rng.IntN(2)), Allow: 20 * rng.IntN(3)}
		got := replayed(t, s, roofs, uses, tank)
		for i := range got.Years {
			got.Years[i].Needs = 0
		}
		want := replayByHand(s, roofs, uses, tank)
		near(t, *want, *got, 1e-6, "case %d", n)
		near(t, want.Volumetric, got.Volumetric, 1e-9)
		near(t, []float64{want.Time, want.Annual}, []float64{got.Time, got.Annual}, 1e-15)
		require.Equal(t, len(rain), got.Days+got.Skipped)
		require.InDelta(t, got.StartsWith+got.Inflow, got.Supplied+got.Spilled+got.EndsWith, 1e-9*(1+got.StartsWith+got.Inflow))
		wholes, skips, shorts = wholes+got.WholeYears, skips+got.Skipped, shorts+got.ShortDays
		for _, d := range got.Daily {
			if _, m, day := d.Date.YMD(); m == time.February && day == 29 {
				leaps++
			}
		}
	}
	// The cases hold what they are there for.
	assert.Greater(t, wholes, 50)
	assert.Greater(t, skips, 500)
	assert.Greater(t, shorts, 5000)
	assert.Greater(t, leaps, 20)
}

// A week by hand, on both rules.
func TestReplayWeek(t *testing.T) {
	s := filled(t, rainfall.Day(2024, time.February, 26), []float64{10, 0, 0, 4, 0, 40, 0}, time.January)
	roof := Roof{Area: 10, Runoff: 1, Filter: 1, Drains: 1}
	uses := []Use{{Daily: 50}}
	yas := replayed(t, s, []Roof{roof}, uses, Tank{Nominal: 200})
	ybs := replayed(t, s, []Roof{roof}, uses, Tank{Nominal: 200, Rule: YBS})
	// Inflow 100 0 0 40 0 400 0, demand 50 each day, the tank empty at first.
	for i, want := range []struct{ yasY, yasV, ybsY, ybsV float64 }{
		{0, 100, 50, 50}, {50, 50, 50, 0}, {50, 0, 0, 0}, {0, 40, 40, 0}, {40, 0, 0, 0}, {0, 200, 50, 200}, {50, 150, 50, 150},
	} {
		a, b := yas.Daily[i], ybs.Daily[i]
		assert.Equal(t, want, struct{ yasY, yasV, ybsY, ybsV float64 }{a.Supplied, a.Storage, b.Supplied, b.Storage}, "day %d", i)
	}
	assert.Equal(t, "2024-02-29", yas.Daily[3].Date.String(), "29 February is a day of its own")
	assert.Equal(t, 200.0, yas.Spilled)
	assert.Equal(t, 150.0, ybs.Spilled)
	assert.Equal(t, 4, yas.ShortDays)
	assert.Equal(t, 3, ybs.ShortDays)
	assert.Equal(t, []DryRun{{yas.First, 1, 50}, {yas.First + 3, 3, 110}}, yas.Runs)
	assert.Equal(t, []DryRun{{ybs.First + 2, 3, 110}}, ybs.Runs)
	assert.InDelta(t, 190.0/350, yas.Volumetric, 1e-15)
	assert.Zero(t, yas.WholeYears)
	assert.True(t, math.IsNaN(yas.Annual))
	require.Len(t, yas.Years, 1)
	assert.False(t, yas.Years[0].Whole)
	assert.Equal(t, 3, yas.Years[0].LongestDry)
}

// TestReplayAfterARunIn: a tank that goes through the first years once before
// they count begins with what they leave in it, and the whole record still
// balances.
func TestReplayAfterARunIn(t *testing.T) {
	rain := showers(rand.New(rand.NewPCG(331, 332)), 8*366)
	rain[400] = math.NaN()
	s := filled(t, rainfall.Day(2003, time.January, 1), rain, time.January)
	after := func(years int) *ReplayResult {
		return replayed(t, s, []Roof{NewRoof(100)}, []Use{{Daily: 90}}, Tank{Nominal: 4000, RunIn: years})
	}
	cold, warm := after(0), after(2)
	require.Equal(t, cold.Daily[2*rainfall.DaysPerYear-1].Storage, warm.StartsWith)
	require.Positive(t, warm.StartsWith)
	require.Less(t, warm.Years[0].ShortDays, cold.Years[0].ShortDays)
	require.Equal(t, cold.Years[7], warm.Years[7], "in time the start is forgotten")
	require.Equal(t, cold.EndsWith, after(1000).StartsWith, "longer than the record")
}

// TestReplayYearsNeed: a tank of the size that a year needs goes through it
// well, one that is a unit smaller does not.
func TestReplayYearsNeed(t *testing.T) {
	rng := rand.New(rand.NewPCG(311, 312))
	rain := showers(rng, 9*366)
	for k := range rng.IntN(60) {
		rain[1000+k] = math.NaN() // a hole to be passed over
	}
	s := filled(t, rainfall.Day(2003, time.March, 20), rain, time.October)
	roofs, uses := []Roof{NewRoof(90)}, []Use{{Daily: 80}}
	seen := 0
	for _, tank := range []Tank{{Nominal: 3000}, {Nominal: 500, Dead: 0.1, Start: 400, Rule: YBS}, {Nominal: 2000, Allow: 10}, {Nominal: 900, RunIn: 3}} {
		for k, y := range replayed(t, s, roofs, uses, tank).Years {
			if !(y.Needs > 0) || math.IsInf(y.Needs, 1) {
				continue
			}
			seen++
			unit := store.Litres(1) / (1 - tank.Dead)
			for nominal, good := range map[float64]bool{y.Needs: true, y.Needs + unit: true, y.Needs * 1.5: true, y.Needs - unit: false, y.Needs * 0.7: false} {
				other := tank
				other.Nominal = nominal
				got := replayed(t, s, roofs, uses, other)
				require.Equal(t, good, got.Years[k].ShortDays <= tank.Allow, "year %d needs %g L, not %g L", y.Label, y.Needs, other.Nominal)
			}
		}
	}
	require.Greater(t, seen, 15)
}

// A study's tank goes through the first years unseen unless the study says what
// it begins with, be that nothing.
func TestTankOfAStudy(t *testing.T) {
	s := question()
	s.Dead, s.Rule, s.Allow = 0.1, YBS, 3
	want := Tank{Nominal: 700, Dead: 0.1, Rule: YBS, Allow: 3, RunIn: 5}
	assert.Equal(t, want, s.Tank(700))
	for _, start := range []float64{0, 250} {
		s.Start, want.Start, want.RunIn = new(start), start, 0
		assert.Equal(t, want, s.Tank(700))
	}
}
