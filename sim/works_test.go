package sim_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/sim"
)

// plainDay is what the loops below tell of a day, L.
type plainDay struct{ drawn, spilled, letIn, dried, storage, surge float64 }

// plainly takes a site through a record in plain loops, one day at a time in the
// order of the model, in litres and without this program's store: weather, roofs,
// draw, storm, after the storm, evaporation, mains. It knows YAS alone.
func plainly(s *rainfall.Series, roofs []sim.Roof, uses []sim.Use, k sim.Tank) []plainDay {
	size := k.Nominal*(1-k.Dead) - k.Under.Dead - k.Under.Reserve
	level := func(l sim.Level) float64 { return l.Litres + l.Share*size }
	p := k.Fittings.Pumping
	storm, after := min(p.Storm, p.Hours), max(0, p.Hours-p.Storm)
	held, flushed, ran := math.Min(k.Start, size), make([]float64, len(roofs)), make([]int, len(roofs))
	for j := range ran {
		ran[j] = -1 << 30
	}
	w := make([]float64, len(roofs))   // in surge tanks
	soil := make([]float64, len(uses)) // what it lacks, mm
	var out []plainDay
	for t, rain := range s.Depth {
		if math.IsNaN(rain) {
			for j := range ran {
				ran[j] = -1 << 30
			}
			continue
		}
		date := s.First + rainfall.Date(t)
		y, m, _ := date.YMD()
		weekday := date.Weekday()
		var day plainDay
		// Draw from last evening's water, uses in order.
		left := held
		et0 := k.Air.Monthly[m-1] / float64(time.Date(y, m+1, 0, 0, 0, 0, 0, time.UTC).Day())
		for i, u := range uses {
			want := u.Daily + u.People*u.Each
			on := u.Days == (sim.Weekdays{}) || u.Days[weekday]
			if !on {
				want = 0
			}
			want += u.Monthly[m-1] / float64(time.Date(y, m+1, 0, 0, 0, 0, 0, time.UTC).Day())
			if b := u.Bed; b.Area > 0 {
				if n := soil[i] - b.Holds/2; n >= 0 && on {
					want += n * b.Area / b.Efficiency
					soil[i] -= n
				}
				fell := rain
				if fell < 0.2*et0 {
					fell = 0
				}
				soil[i] = math.Min(b.Holds, math.Max(0, soil[i]+b.Factor*et0-fell))
			}
			give := math.Min(want, math.Max(0, left-level(u.Keep)))
			left -= give
			day.drawn += give
		}
		// Storm.
		straight, moves, sum := k.Fittings.Open*rain, make([]float64, len(roofs)), 0.0
		for j, r := range roofs {
			run := r.Runoff * math.Max(0, rain-r.Wetting)
			q := 0.0
			if run > 0 {
				if t-ran[j] > r.Drains {
					flushed[j] = 0
				}
				ran[j] = t
				f := math.Min(run, r.FirstFlush-flushed[j])
				flushed[j] += f
				q = r.Area * r.Filter * (run - f)
			}
			if r.Surge == 0 {
				straight += q
			} else {
				w[j] += q
			}
		}
		into := math.Min(straight, size-held)
		day.spilled = straight - into
		v := held + into
		runs := p.Days == sim.Weekdays{} || p.Days[weekday]
		pump := func(hours float64) {
			if sum = 0; !runs {
				return
			}
			for j, r := range roofs {
				if moves[j] = 0; r.Surge > 0 {
					moves[j] = math.Max(0, math.Min(r.Pump*60*hours, w[j])) // what rounding leaves may lie below 0
					sum += moves[j]
				}
			}
			if sum < 1e-9 {
				return
			}
			share := math.Min(1, math.Max(0, size-v)/sum)
			for j := range roofs {
				w[j] -= moves[j] * share
				v += moves[j] * share
			}
		}
		pump(storm)
		for j, r := range roofs {
			if r.Surge > 0 {
				over := math.Max(0, w[j]-r.Surge)
				w[j] -= over
				day.spilled += over
			}
		}
		v -= day.drawn
		pump(after)
		day.dried = math.Min(v, 1.05*k.Fittings.Open*k.Air.Monthly[m-1]/float64(time.Date(y, m+1, 0, 0, 0, 0, 0, time.UTC).Day()))
		v -= day.dried
		if up := k.Fittings.TopUp; up.To != (sim.Level{}) && v < level(up.Below) {
			day.letIn = math.Max(0, math.Min(level(up.To)-v, up.Rate*1440))
			v += day.letIn
		}
		held = v
		day.storage = held
		for _, x := range w {
			day.surge += x
		}
		out = append(out, day)
	}
	return out
}

// Every part by itself and all at once agree, day by day on real records, with
// plain loops: no more than rounding to 10 mL apart, and what that adds up to.
func TestWorksAgreeWithPlainLoops(t *testing.T) {
	t.Parallel()
	roofs := func(surge float64) []sim.Roof {
		var out []sim.Roof
		for _, area := range []float64{100, 50, 30} {
			r := sim.NewRoof(area)
			r.Runoff, r.FirstFlush, r.Filter = 0.85, 0.5, 0.95
			if r.Surge = surge; surge > 0 {
				r.Pump = area / 6
			}
			out = append(out, r)
		}
		if surge > 0 {
			out[1].Surge, out[1].Pump = 0, 0 // one drains straight to the tank
		}
		return out
	}
	plain := []sim.Use{{Name: "house", Daily: 200}, {Name: "garden", Daily: 80, Days: sim.Weekdays{time.Saturday: true, time.Wednesday: true}}}
	kept := []sim.Use{{Name: "house", Daily: 200}, {Name: "garden", Daily: 80, Keep: sim.Level{Share: 0.3}}, {Name: "yard", Monthly: [12]float64{5: 900, 6: 900}, Keep: sim.Level{Litres: 2000}}}
	beds := append([]sim.Use{{Name: "bed", Bed: sim.Bed{Area: 30, Factor: 0.8, Holds: 60, Efficiency: 0.75}}}, plain...)
	planted := append([]sim.Use{{Name: "bed", Bed: sim.Bed{Area: 30, Factor: 0.8, Holds: 60, Efficiency: 0.75}, Keep: sim.Level{Share: 0.1}}}, kept...)
	// Up to where they are let in: anything else is a step, at which rounding decides.
	up := sim.TopUp{Below: sim.Level{Share: 0.2}, To: sim.Level{Share: 0.2}, Rate: 0.4}
	pumping := sim.Pumping{Storm: 4, Hours: 9, Days: sim.Weekdays{time.Monday: true, time.Thursday: true, time.Friday: true}}
	air := sim.Air{Monthly: [12]float64{20, 30, 60, 90, 120, 150, 160, 140, 100, 60, 30, 20}}
	for _, file := range []string{"ncei-access/USW00053908.csv", "met-eireann/dly532.csv"} {
		s := record(t, file, time.January)
		for name, x := range map[string]struct {
			roofs []sim.Roof
			uses  []sim.Use
			with  sim.Fittings
		}{
			"nothing": {roofs(0), plain, sim.Fittings{}},
			"keep":    {roofs(0), kept, sim.Fittings{}},
			"mains":   {roofs(0), plain, sim.Fittings{TopUp: up}},
			"surge":   {roofs(1000), plain, sim.Fittings{Pumping: pumping}},
			"open":    {roofs(0), plain, sim.Fittings{Open: 12}},
			"beds":    {roofs(0), beds, sim.Fittings{}},
			"all":     {roofs(1000), planted, sim.Fittings{TopUp: up, Pumping: pumping, Open: 12}},
		} {
			tank := sim.Tank{Nominal: 11_000, Under: sim.Under{Dead: 150, Reserve: 1000}, Start: 3000, Fittings: x.with, Air: air}
			want := plainly(s, x.roofs, x.uses, tank)
			got, err := sim.Replay(s, x.roofs, x.uses, tank)
			require.NoError(t, err)
			require.Len(t, got.Daily, len(want))
			var sum plainDay
			for i, d := range got.Daily {
				w := want[i]
				at := fmt.Sprint(file, " ", name, " ", d.Date, " ", d, w)
				require.InDelta(t, w.storage, d.Storage, 1.5, at) // of 150 days' rounding, which a full or empty tank ends
				require.InDelta(t, w.surge, d.Surge, 0.5, at)
				sum.drawn += w.drawn
				sum.spilled += w.spilled
				sum.letIn += w.letIn
				sum.dried += w.dried
			}
			for what, pair := range map[string][2]float64{"drawn": {sum.drawn, got.Supplied}, "spilled": {sum.spilled, got.Spilled}, "let in": {sum.letIn, got.LetIn}, "dried": {sum.dried, got.Dried}} {
				assert.InEpsilon(t, 1+pair[0], 1+pair[1], 1e-4, "%s %s: %s", file, name, what)
			}
			assert.InDelta(t, got.StartsWith+got.Inflow+got.LetIn+got.Fell, got.Supplied+got.Spilled+got.Dried+got.EndsWith, 1e-6, "balance")
			if name == "all" { // each of them happens
				assert.Greater(t, min(got.LetIn, got.Fell, got.Dried, got.Pumped, got.Spilled), 0.0)
			}
		}
	}
}

// Mains beside and in a tank (COMP: worked out apart from this program from the
// same record, in one pass, empty at first): m³ of mains a year straight to the
// use, let in at a fifth of the tank, and from a fifth up to half.
func TestMainsOnARealRecord(t *testing.T) {
	s := record(t, "met-eireann/dly532.csv", time.January)
	roof := sim.NewRoof(120)
	roof.Runoff = 0.8
	uses := []sim.Use{{Name: "house", Daily: 150}}
	for size, want := range map[float64][3]float64{1500: {12.5, 13.6, 15.9}, 3000: {6.2, 7.5, 9.3}, 6000: {2.0, 2.9, 4.3}} {
		for k, up := range []sim.TopUp{{}, {Below: sim.Level{Share: 0.2}, To: sim.Level{Share: 0.2}, Rate: 2}, {Below: sim.Level{Share: 0.2}, To: sim.Level{Share: 0.5}, Rate: 2}} {
			r, err := sim.Replay(s, []sim.Roof{roof}, uses, sim.Tank{Nominal: size, Fittings: sim.Fittings{TopUp: up}})
			require.NoError(t, err)
			mains := (r.Demand - r.Supplied + r.LetIn) / float64(r.Days) * 365.25 / 1000
			assert.InDelta(t, want[k], mains, 0.06, "%g L, way %d", size, k)
		}
	}
}

// Three downspouts pumped uphill (COMP, as above): share of the water and short
// days a year.
func TestSurgeTanksOnARealRecord(t *testing.T) {
	s := record(t, "ncei-access/USW00053908.csv", time.January)
	uses := []sim.Use{{Name: "house", Daily: 280}}
	for _, x := range []struct {
		name         string
		main         float64
		surge, rate  float64
		with         sim.Pumping
		share, short float64
	}{
		{"one tank", 10_000, 0, 0, sim.Pumping{}, 0.907, 36.7},
		{"one tank as large as all", 13_000, 0, 0, sim.Pumping{}, 0.938, 24.6},
		{"pumped in a storm of 4 h", 10_000, 1000, 20, sim.Pumping{Storm: 4, Hours: 24}, 0.936, 25.1},
		{"pumped after it", 10_000, 1000, 20, sim.Pumping{Hours: 24}, 0.884, 46.2},
		{"small pumps, 5 h", 10_000, 1000, 5, sim.Pumping{Storm: 1, Hours: 5}, 0.913, 34.9},
		{"by hand on Saturdays, after rain", 10_000, 1000, 20, sim.Pumping{Hours: 24, Days: sim.Weekdays{time.Saturday: true}}, 0.698, 118},
	} {
		var roofs []sim.Roof
		for _, area := range []float64{100, 50, 30} {
			r := sim.NewRoof(area)
			r.Runoff, r.FirstFlush = 0.85, 0.5
			r.Surge, r.Pump = x.surge, x.rate
			roofs = append(roofs, r)
		}
		r, err := sim.Replay(s, roofs, uses, sim.Tank{Nominal: x.main, Fittings: sim.Fittings{Pumping: x.with}})
		require.NoError(t, err)
		assert.InDelta(t, x.share, r.Volumetric, 0.0011, x.name)
		assert.InDelta(t, x.short, float64(r.ShortDays)/float64(r.Days)*365.25, 0.6, x.name)
	}
}

// Cuts in stages (COMP, as above): 300 L a day from 60,000 L less a twentieth,
// full at first, as it is, and with 60 % of it below half, 40 % below a quarter.
func TestCutsInStagesOnARealRecord(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(os.Getenv("TANKODDS_DATA"), "nasa-power", "POWER_Point_Daily_20000101_20241231*.csv"))
	if len(files) == 0 {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	s := record(t, filepath.Join("nasa-power", filepath.Base(files[0])), time.January)
	roof := sim.NewRoof(220)
	roof.Runoff, roof.FirstFlush = 0.85, 1
	tank := sim.Tank{Nominal: 60_000, Dead: 0.05, Start: 60_000}
	plain, err := sim.Replay(s, []sim.Roof{roof}, []sim.Use{{Name: "house", Daily: 300}}, tank)
	require.NoError(t, err)
	assert.InDelta(t, 0.960, plain.Volumetric, 0.0015)
	dry := 0
	for _, d := range plain.Daily {
		if d.Supplied == 0 {
			dry++
		}
	}
	assert.InDelta(t, 330, dry, 4)
	stages := []sim.Use{{Name: "first", Daily: 120}, {Name: "then", Daily: 60, Keep: sim.Level{Share: 0.25}}, {Name: "rest", Daily: 120, Keep: sim.Level{Share: 0.5}}}
	cut, err := sim.Replay(s, []sim.Roof{roof}, stages, tank)
	require.NoError(t, err)
	assert.InDelta(t, 0.900, cut.Volumetric, 0.003)
	assert.InDelta(t, 87, float64(cut.ShortDays)/float64(cut.Days)*365.25, 2)
	for _, d := range cut.Daily {
		require.GreaterOrEqual(t, d.Supplied, 119.99, "never without the first part: %v", d)
	}
}

// Beds in a semi-arid town, and open water (COMP, as above): 180 m² of roof, 100 m²
// of bed of plants that use little (0.3), efficiency 0.8, soil that holds 60 mm, by
// the record's temperatures at 33.43° north; the size for 30 and 50 % of the water.
func TestBedsOnARealRecord(t *testing.T) {
	s := dry(t)
	roof := sim.NewRoof(180)
	roof.Runoff, roof.FirstFlush = 0.85, 0.5
	for _, x := range []struct {
		refill            bool
		third, half, year float64
	}{{true, 5038, 24101, 49.0}, {false, 4794, 18367, 45.0}} {
		uses := []sim.Use{{Name: "beds", Bed: sim.Bed{Area: 100, Factor: 0.3, Holds: 60, Refill: x.refill, Efficiency: 0.8}}}
		tank := sim.Tank{Air: sim.Air{Temperatures: true}}
		for share, want := range map[float64]float64{0.3: x.third, 0.5: x.half} {
			got := smallest(t, s, []sim.Roof{roof}, uses, tank, func(r *sim.ReplayResult) bool { return r.Volumetric >= share })
			assert.InEpsilon(t, want, got, 0.001, "refill %v, %g", x.refill, share)
		}
		tank.Nominal = 5000
		r, err := sim.Replay(s, []sim.Roof{roof}, uses, tank)
		require.NoError(t, err)
		assert.InDelta(t, x.year, r.Demand/float64(r.Days)*365.25/1000, 0.3)
		study := sim.Defaults()
		study.Uses, study.Air = uses, tank.Air
		assert.InEpsilon(t, r.Demand/float64(r.Days), sim.MeanDemand(study.WithBeds(s)), 0.003)
	}
}

// A trough of 4 m² that never runs dry loses 19 L a day there: 1,775 mm a year
// (COMP, as above).
func TestATroughOnARealRecord(t *testing.T) {
	roof := sim.NewRoof(20_000)
	r, err := sim.Replay(dry(t), []sim.Roof{roof}, []sim.Use{{Name: "stock", Daily: 10}}, sim.Tank{Nominal: 100_000, Start: 100_000, Air: sim.Air{Temperatures: true}, Fittings: sim.Fittings{Open: 4}})
	require.NoError(t, err)
	assert.InDelta(t, 1775, r.Dried/float64(r.Days)*365.25/4, 6)
	assert.Equal(t, 1.0, r.Time)
}

// dry is a record of Phoenix with the evaporation that its temperatures tell.
func dry(t *testing.T) *rainfall.Series {
	dir := os.Getenv("TANKODDS_DATA")
	files, _ := filepath.Glob(filepath.Join(dir, "ncei-past-weather", "Phoenix_Weather.csv"))
	if dir == "" || len(files) == 0 {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	r, err := read.File(files[0], read.Options{Temperatures: true})
	require.NoError(t, err)
	r.ET0, _, err = r.ReferenceET(33.43)
	require.NoError(t, err)
	s, err := r.Fill(time.January)
	require.NoError(t, err)
	return s
}

// 1,000 L up 10 m take 0.027241 kWh of lift (COMP: ρ·g·h·V).
func TestPumpEnergy(t *testing.T) {
	assert.InDelta(t, 0.027241, sim.PumpEnergy(1000, 10, 1), 5e-7)
	assert.InDelta(t, 0.027241/sim.PumpEfficiency, sim.PumpEnergy(1000, 10, sim.PumpEfficiency), 5e-6)
}
