package sim_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim"
)

// anySite is a site drawn at random, with anything that a site may have.
type anySite struct {
	series *rainfall.Series
	roofs  []sim.Roof
	uses   []sim.Use
	tank   sim.Tank
}

// drawn draws a site. plain is one whose uses take of the tank without a level or
// mains and whose water is closed in: what then holds of larger tanks does not hold
// of all.
func drawn(t *testing.T, rng *rand.Rand, plain bool) anySite {
	t.Helper()
	var out anySite
	years := 5 + rng.IntN(3)
	first := rainfall.Day(1990+rng.IntN(20), time.January, 1)
	wet, depth, season := 0.1+0.5*rng.Float64(), 2+15*rng.ExpFloat64(), rng.Float64()
	rain := make([]float64, 0, years*366)
	for day := first; ; day++ {
		y, m, _ := day.YMD()
		fy, _, _ := first.YMD()
		if y >= fy+years {
			break
		}
		x := 0.0
		if rng.Float64() < wet*(1+season*math.Cos(2*math.Pi*float64(m)/12)) {
			x = math.Round(10*depth*rng.ExpFloat64()) / 10
		}
		rain = append(rain, min(x, 400))
	}
	rec := &rainfall.Record{About: rainfall.About{File: "drawn"}, First: first, Depth: rain, Mark: make([]rainfall.Mark, len(rain))}
	var err error
	out.series, err = rec.Fill(time.January)
	require.NoError(t, err)
	for range 1 + rng.IntN(4) {
		r := sim.NewRoof(math.Round(10*(10+200*rng.Float64())) / 10)
		r.Runoff, r.Wetting, r.FirstFlush = 0.3+0.65*rng.Float64(), rng.Float64(), 3*rng.Float64()*float64(rng.IntN(2))
		r.Filter, r.Drains = 0.8+0.2*rng.Float64(), 1+rng.IntN(3)
		if !plain && rng.IntN(3) == 0 {
			r.Surge, r.Pump = 200+2000*rng.Float64(), 1+20*rng.Float64()
		}
		out.roofs = append(out.roofs, r)
	}
	someDays := func() (d sim.Weekdays) {
		for i := range d {
			d[i] = rng.IntN(2) == 0
		}
		return d
	}
	for i := range 1 + rng.IntN(4) {
		u := sim.Use{Name: fmt.Sprint("use ", i), Daily: 20 + 280*rng.Float64()}
		switch rng.IntN(4) {
		case 0:
			u.Days = someDays()
		case 1:
			u.Daily, u.People, u.Each = 0, float64(1+rng.IntN(6)), 5+30*rng.Float64()
		case 2:
			for m := range u.Monthly {
				u.Monthly[m] = 1000 * rng.Float64()
			}
		}
		if !plain && rng.IntN(3) == 0 {
			u.Keep = sim.Level{Share: 0.6 * rng.Float64()}
		}
		if !plain && rng.IntN(4) == 0 {
			u.Bed = sim.Bed{Area: 5 + 80*rng.Float64(), Factor: 0.2 + 0.6*rng.Float64(), Holds: 20 + 80*rng.Float64(), Efficiency: 0.6 + 0.4*rng.Float64()}
		}
		out.uses = append(out.uses, u)
	}
	out.tank = sim.Tank{Nominal: 500 * math.Pow(100, rng.Float64()), Dead: 0.2 * rng.Float64(), Allow: rng.IntN(3)}
	out.tank.Start = 2 * out.tank.Nominal * rng.Float64()
	if rng.IntN(3) == 0 {
		out.tank.Under = sim.Under{Dead: 0.1 * out.tank.Nominal * rng.Float64(), Reserve: 0.3 * out.tank.Nominal * rng.Float64()}
	}
	if plain {
		return out
	}
	if rng.IntN(3) == 0 { // up to where they are let in: anything else is a step, at which rounding decides
		at := sim.Level{Share: 0.4 * rng.Float64()}
		out.tank.Fittings.TopUp = sim.TopUp{Below: at, To: at, Rate: 0.05 + 3*rng.Float64()}
	}
	if rng.IntN(3) == 0 {
		out.tank.Fittings.Open = 10 * rng.Float64()
	}
	out.tank.Fittings.Pumping = sim.Pumping{Storm: float64(1 + rng.IntN(8)), Hours: float64(rng.IntN(25))}
	if rng.IntN(3) == 0 {
		out.tank.Fittings.Pumping.Days = someDays()
	}
	for m := range out.tank.Air.Monthly {
		out.tank.Air.Monthly[m] = 10 + 170*rng.Float64()
	}
	return out
}

func (x anySite) replay(t *testing.T) *sim.ReplayResult {
	t.Helper()
	out, err := sim.Replay(x.series, x.roofs, x.uses, x.tank)
	require.NoError(t, err)
	return out
}

// sites draws so many sites and calls visit with each and its number; twenty times as
// many with TANKODDS_MANY set.
func sites(t *testing.T, n int, seed uint64, plain bool, visit func(rng *rand.Rand, x anySite, at string)) {
	t.Helper()
	switch {
	case os.Getenv("TANKODDS_MANY") != "":
		n *= 20
	case testing.Short():
		n /= 3
	}
	for i := range n {
		rng := rand.New(rand.NewPCG(seed, uint64(i)))
		visit(rng, drawn(t, rng, plain), fmt.Sprintf("site %d of seed %d", i, seed))
	}
}

// Of any site at all: no water comes from nowhere or goes nowhere, the tank holds
// what it can, nobody is given more than is wanted, shares are shares, and plain
// loops in litres say the same day by day.
func TestAnySiteBalances(t *testing.T) {
	t.Parallel()
	tried := map[string]int{}
	sites(t, 150, 1, false, func(_ *rand.Rand, x anySite, at string) {
		r := x.replay(t)
		usable := x.tank.Nominal*(1-x.tank.Dead) - x.tank.Under.Dead - x.tank.Under.Reserve
		in := r.StartsWith + r.Inflow + r.LetIn + r.Fell
		require.InDelta(t, in, r.Supplied+r.Spilled+r.Dried+r.EndsWith, 1e-6*in+0.01, at)
		room := 0.0
		for _, roof := range x.roofs {
			room += roof.Surge
		}
		for _, d := range r.Daily {
			require.True(t, d.Storage >= 0 && d.Storage <= usable+0.02, at)
			require.True(t, d.Surge >= 0 && d.Surge <= room+0.1, at)
			require.True(t, d.Supplied >= 0 && d.Supplied <= d.Demand+1e-9 && d.Spilled >= 0 && d.Dried >= 0 && d.LetIn >= 0, at)
		}
		for _, share := range []float64{r.Volumetric, r.Time, r.Annual} {
			require.True(t, math.IsNaN(share) || share >= 0 && share <= 1, at)
		}
		for i, w := range plainly(x.series, x.roofs, x.uses, x.tank) {
			require.InDelta(t, w.storage, r.Daily[i].Storage, 3+0.005*float64(i), "%s, day %d", at, i)
		}
		for what, is := range map[string]bool{"surge": room > 0, "mains": r.LetIn > 0, "open": r.Dried > 0, "spills": r.Spilled > 0, "short": r.ShortDays > 0} {
			if is {
				tried[what]++
			}
		}
	})
	for _, what := range []string{"surge", "mains", "open", "spills", "short"} {
		assert.Greater(t, tried[what], 2, what)
	}
}

// What a larger tank, a larger roof, a smaller use and the later rule do, where it is
// true: of sites whose uses take of the tank as it is.
func TestMoreIsNeverLess(t *testing.T) {
	t.Parallel()
	sites(t, 75, 2, true, func(rng *rand.Rand, x anySite, at string) {
		r := x.replay(t)
		slack := 0.01 * float64(r.Days) // of rounding to 10 mL a day
		larger := x
		larger.tank.Nominal *= 1 + rng.Float64()
		big := larger.replay(t)
		assert.GreaterOrEqual(t, big.Supplied, r.Supplied-slack, at)
		assert.LessOrEqual(t, big.ShortDays, r.ShortDays, at)
		after := x
		after.tank.Rule = sim.YBS
		late := after.replay(t)
		assert.GreaterOrEqual(t, late.Supplied, r.Supplied-slack, at) // of water alone: what is drawn earlier may be short later
		wide := x
		wide.roofs = append([]sim.Roof(nil), x.roofs...)
		wide.roofs[0].Area *= 1.5
		assert.GreaterOrEqual(t, wide.replay(t).Supplied, r.Supplied-slack, at)
		kept := x
		kept.tank.Under.Reserve += 0.1 * x.tank.Nominal
		if kept.tank.Nominal*(1-kept.tank.Dead)-kept.tank.Under.Dead-kept.tank.Under.Reserve > 1 {
			assert.LessOrEqual(t, kept.replay(t).Supplied, r.Supplied+slack, at)
		}
	})
}

// Ten times the roofs, the uses, the tank and all else is ten times the water; two
// halves of a roof are the roof; two roofs change places; and a record that is cut in
// two, the second part begun with what the first left, is the record.
func TestTheSameInOtherWords(t *testing.T) {
	t.Parallel()
	sites(t, 75, 3, false, func(rng *rand.Rand, x anySite, at string) {
		r := x.replay(t)
		slack := 0.02 * float64(r.Days*(len(x.roofs)+len(x.uses)+2))
		same := func(what string, y *sim.ReplayResult, k float64) {
			t.Helper()
			for name, pair := range map[string][2]float64{
				"inflow": {r.Inflow, y.Inflow}, "wanted": {r.Demand, y.Demand}, "supplied": {r.Supplied, y.Supplied}, "spilled": {r.Spilled, y.Spilled},
				"let in": {r.LetIn, y.LetIn}, "dried": {r.Dried, y.Dried}, "left": {r.EndsWith, y.EndsWith},
			} {
				assert.InDelta(t, pair[0], pair[1]/k, slack, "%s: %s %s", at, what, name)
			}
		}
		const k = 10
		ten := x
		ten.roofs, ten.uses = append([]sim.Roof(nil), x.roofs...), append([]sim.Use(nil), x.uses...)
		for i := range ten.roofs {
			ten.roofs[i].Area *= k
			ten.roofs[i].Surge *= k
			ten.roofs[i].Pump *= k
		}
		for i := range ten.uses {
			u := &ten.uses[i]
			u.Daily, u.People, u.Bed.Area = k*u.Daily, k*u.People, k*u.Bed.Area
			for m := range u.Monthly {
				u.Monthly[m] *= k
			}
		}
		ten.tank.Nominal *= k
		ten.tank.Start *= k
		ten.tank.Under.Dead *= k
		ten.tank.Under.Reserve *= k
		ten.tank.Fittings.Open *= k
		ten.tank.Fittings.TopUp.Rate *= k
		same("ten times", ten.replay(t), k)

		halves := x
		half := x.roofs[0]
		half.Area, half.Surge, half.Pump = half.Area/2, half.Surge/2, half.Pump/2
		halves.roofs = append([]sim.Roof{half, half}, x.roofs[1:]...)
		same("two halves", halves.replay(t), 1)

		turned := x
		turned.roofs = append(append([]sim.Roof(nil), x.roofs[1:]...), x.roofs[0])
		same("in another order", turned.replay(t), 1)
	})
	sites(t, 75, 4, true, func(rng *rand.Rand, x anySite, at string) {
		for i := range x.roofs {
			x.roofs[i].FirstFlush = 0 // a diverter remembers the day before
		}
		r := x.replay(t)
		cut := 400 + rng.IntN(900)
		rec := func(first rainfall.Date, depth []float64) *rainfall.Series {
			s, err := (&rainfall.Record{About: rainfall.About{File: "cut"}, First: first, Depth: depth, Mark: make([]rainfall.Mark, len(depth))}).Fill(time.January)
			require.NoError(t, err)
			for i := range s.Depth { // the year that is cut is not usable, and runs all the same
				s.Depth[i] = depth[i]
			}
			return s
		}
		one, two := x, x
		one.series = rec(x.series.First, x.series.Depth[:cut])
		a := one.replay(t)
		two.series, two.tank.Start = rec(x.series.First+rainfall.Date(cut), x.series.Depth[cut:]), a.EndsWith
		b := two.replay(t)
		assert.InDelta(t, r.Supplied, a.Supplied+b.Supplied, 1e-6, at)
		assert.InDelta(t, r.Spilled, a.Spilled+b.Spilled, 1e-6, at)
		assert.InDelta(t, r.EndsWith, b.EndsWith, 1e-6, at)
		assert.Equal(t, r.ShortDays, a.ShortDays+b.ShortDays, at)
	})
}

// The answer for any site: shares are shares within their bounds, more storage is
// never less of what is claimed, the same for one, two and seven workers.
func TestAnyAnswerHoldsTogether(t *testing.T) {
	t.Parallel()
	g, err := gen.Find("")
	require.NoError(t, err)
	hold := func(rng *rand.Rand, x anySite, at string) {
		s := sim.Defaults()
		s.Roofs, s.Uses, s.Areas = x.roofs, x.uses, []float64{sim.TotalArea(x.roofs)}
		s.Dead, s.Under, s.Fitted, s.Air = x.tank.Dead, x.tank.Under, x.tank.Fittings, x.tank.Air
		s.Years, s.Target, s.Measure = 100, 0.5+0.45*rng.Float64(), sim.Measure(rng.IntN(3))
		for k := range 6 {
			s.Sizes = append(s.Sizes, math.Round(x.tank.Nominal*(1+float64(k)/2)))
		}
		if s.Fitted.TopUp.To != (sim.Level{}) {
			s.Mains = sim.IntoTank
		}
		said := ""
		for _, workers := range []int{1, 2, 7} {
			s.Workers = workers
			r, err := sim.SizeBriefly(context.Background(), x.series, g, s)
			require.NoError(t, err, at)
			text := fmt.Sprint(r.Main, r.Cells, r.Curve, r.Stop, r.Turnover, r.Outlook, r.Real)
			if said != "" {
				require.Equal(t, said, text, "%s, %d workers", at, workers)
			}
			said = text
			for i, c := range r.Curve {
				for _, m := range []sim.Measure{sim.Annual, sim.Time, sim.Volume} {
					v := c.Of(m)
					require.True(t, v.Low >= 0 && v.Low <= v.Estimate+1e-12 && v.Estimate <= v.High+1e-12 && v.High <= 1, "%s: %v", at, v)
				}
				require.True(t, c.Supplied <= c.Demand*(1+1e-9) && c.SpillShare >= 0 && c.SpillShare <= 1+1e-9, at)
				if v := c.Of(s.Measure); i > 0 && !s.Slow() {
					require.GreaterOrEqual(t, v.Estimate, r.Curve[i-1].Of(s.Measure).Estimate-1e-12, at)
				}
			}
		}
	}
	sites(t, 6, 5, false, hold)
}
