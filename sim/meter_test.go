package sim

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
)

// meterRecords are the invented record that the program carries and, where they
// are at hand, real ones.
func meterRecords(t *testing.T) map[string]*rainfall.Series {
	files := map[string]string{"invented": "../cmd/tankodds/demo.csv"}
	if dir := os.Getenv("TANKODDS_DATA"); dir != "" {
		files["Dublin"] = filepath.Join(dir, "met-eireann/dly532.csv")
		files["Phoenix"] = filepath.Join(dir, "ncei-past-weather/Phoenix_Weather.csv")
	}
	out := map[string]*rainfall.Series{}
	for name, file := range files {
		r, err := read.File(file, read.Options{})
		require.NoError(t, err)
		out[name], err = r.Fill(time.January)
		require.NoError(t, err)
	}
	return out
}

// readingsOf are what a meter shows n times, every so many days, of a tank whose
// roofs give k0 times what is stated.
func readingsOf(t testing.TB, s *rainfall.Series, of MeterOf, roofs []Roof, uses []Use, tank Tank, k0 float64, first rainfall.Date, step, n int) *Readings {
	t.Helper()
	roofs = slices.Clone(roofs)
	for i := range roofs {
		roofs[i].Area *= k0
	}
	days := map[rainfall.Date]Day{}
	for _, d := range replayed(t, s, roofs, uses, tank).Daily {
		days[d.Date] = d
	}
	m := &Readings{Of: of}
	counter, held := 1234.0, math.NaN()
	for d := first - 40; d <= first+rainfall.Date((n-1)*step); d++ {
		if day, ok := days[d]; ok {
			held = day.Storage
			if of == DrawMeter {
				counter += day.Supplied
			} else {
				counter += day.TopUp()
			}
		}
		if d >= first && int(d-first)%step == 0 {
			x := counter
			if of == LevelSensor {
				x = held
			}
			m.All = append(m.All, Reading{d, x})
		}
	}
	return m
}

func metered(t testing.TB, s *rainfall.Series, roofs []Roof, uses []Use, tank Tank, m *Readings) *Metered {
	t.Helper()
	x, err := Meter(t.Context(), s, roofs, uses, tank, m, 0.9, 1, 0)
	require.NoError(t, err)
	return x
}

var meters = []MeterOf{DrawMeter, MainsMeter, LevelSensor}

// A site that can be reckoned by hand: 10 mm a day on 1 m² that gives all of it.
// A use of 20 L takes what flowed in the day before, 10·k; of one of 5 L the tank
// keeps 10·k − 5. The meter shows each ten days what k = 0.9 would.
func TestMeterByHand(t *testing.T) {
	s := seriesOf(t, 3, func(int, int) float64 { return 10 })
	first := rainfall.Day(2001, time.March, 31)
	for _, c := range []struct {
		of          MeterOf
		use, size   float64
		shows       float64 // each ten days
		model       float64 // as stated
		slope       float64
		stated, off float64 // the misfit, of 12 intervals
	}{
		{DrawMeter, 20, 100, 90, 100, 100, 12 * 10 * 10 / 10, 12 * 2 * 100 * 10 / 10},
		{MainsMeter, 20, 100, 110, 100, -100, 12 * 10 * 10 / 10, 12 * 2 * 100 * 10 / 10},
		{LevelSensor, 5, 5000, 40, 50, 100, 12 * 10 * 10 / 10, 12 * 2 * 100 * 10 / 10},
	} {
		m := &Readings{Of: c.of}
		for i := range 13 {
			m.All = append(m.All, Reading{first + rainfall.Date(10*i), 700 + c.shows*float64(i)})
		}
		x := metered(t, s, plain(1, 1, 1), []Use{{Daily: c.use}}, Tank{Nominal: c.size}, m)
		require.Len(t, x.Intervals, 12, c.of)
		assert.Equal(t, 12, x.Fitted, c.of)
		assert.Equal(t, []any{first + 1, first + 120}, []any{x.First, x.Last})
		for _, row := range x.Intervals {
			assert.Equal(t, 10, row.Days)
			near(t, []float64{c.shows, c.model}, []float64{row.Metered, row.Modelled}, 1e-9, c.of)
			assert.InDelta(t, c.slope, row.Slope, 1.4, c.of) // 10 days of 5 mL each way, over two steps of 2 %
			near(t, []float64{100, 10 * c.use}, []float64{row.Inflow, row.Demand}, 1e-9)
			assert.InDelta(t, c.shows, row.At, 0.1)
		}
		assert.True(t, x.Tells)
		assert.InEpsilon(t, 100/c.shows, x.SlopeSum, 0.014, c.of)
		near(t, Interval{0.9, 0.9, 0.9}, x.Factor, 1e-3, c.of)
		near(t, Interval{0.9, 0.9, 0.9}, x.Runoff, 1e-3, c.of)
		assert.InDelta(t, c.stated, x.Misfit, 1e-9, c.of)
		assert.InDelta(t, 0, x.MisfitAt, 0.02, c.of)
		// Σ d(model − reading)²/dk over the days: 2 · 100 · 10 each.
		assert.InEpsilon(t, c.off, x.Slope, 0.014, c.of)
		assert.Equal(t, MeterDemand{}, x.Demand, c.of)
	}
}

// Without noise the factor of the truth is found, of every meter on every record.
func TestMeterFindsTheFactor(t *testing.T) {
	t.Parallel()
	roofs, uses := []Roof{NewRoof(80)}, []Use{{Daily: 150}}
	for name, s := range meterRecords(t) {
		for i, of := range meters {
			for j, k0 := range []float64{0.85, 1, 1.15} {
				if step := []int{7, 30}[(i+j)%2]; !testing.Short() || i == j {
					m := readingsOf(t, s, of, roofs, uses, Tank{Nominal: 3000, RunIn: RunIn}, k0, s.First+12*365, step, 61)
					x := metered(t, s, roofs, uses, Tank{Nominal: 3000, RunIn: RunIn}, m)
					require.True(t, x.Tells, "%s %v", name, of)
					assert.InDelta(t, k0, x.Factor.Estimate, 1e-3, "%s %v", name, of)
					assert.False(t, x.Factor.Low > x.Factor.Estimate || x.Factor.High < x.Factor.Estimate)
					assert.Equal(t, x.Fitted >= LeastIntervals, x.Draws > 0, "bounds are of so many at least")
					assert.LessOrEqual(t, x.MisfitAt, x.Misfit)
					if k0 != 1 {
						assert.Equal(t, k0 < 1, x.Slope > 0, "%s %v: less fits better", name, of)
					}
				}
			}
		}
	}
}

// The bounds hold the truth about as often as they say: 90 %, where the readings
// are out by a share of the use, or of the tank, each on its own.
func TestMeterBoundsHold(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("120 fits; run without -short")
	}
	s := meterRecords(t)["invented"]
	roofs, uses, tank := []Roof{NewRoof(80)}, []Use{{Daily: 150}}, Tank{Nominal: 3000}
	const seeds = 20
	held, all := 0, 0
	for _, of := range meters {
		for _, k0 := range []float64{0.85, 1.15} {
			exact := readingsOf(t, s, of, roofs, uses, tank, k0, s.First+400, 14, 79)
			q, _ := newMetering(s, roofs, uses, tank, exact)
			at, err := fitTo(t.Context(), q, factors(), stepsDown, 0)
			require.NoError(t, err)
			here := 0
			for seed := range uint64(seeds) {
				rng := rand.New(rand.NewPCG(seed, 17))
				noisy := *exact
				noisy.All = slices.Clone(exact.All)
				sum := 0.0
				for i := range noisy.All {
					if e := rng.NormFloat64(); of == LevelSensor {
						noisy.All[i].Litres += 40 * e
					} else {
						sum += 0.12 * 150 * 14 * e
						noisy.All[i].Litres += sum
					}
				}
				other := *q
				other.spans = noisy.spans()
				f := newFit(&other, at.k, at.one, at.curves)
				require.NoError(t, f.estimate())
				f.bounds(0.9, gen.Source(1, streamMeter, 0))
				k := f.out.Factor
				require.InDelta(t, k0, k.Estimate, 0.4)
				if !(k.Low > k0) && !(k.High < k0) {
					here++
				}
			}
			assert.GreaterOrEqual(t, here, 14, "%v %g: hardly one time in a hundred of 0.9", of, k0)
			held, all = held+here, all+seeds
		}
	}
	assert.InDelta(t, 0.9, float64(held)/float64(all), 0.08)
}

// A tank that never lacks water says nothing of its roof by its draw, exact or
// not, nor by mains that give nothing; its level does. Where it lacks water all
// three do.
func TestMeterThatCannotTell(t *testing.T) {
	t.Parallel()
	s := meterRecords(t)["invented"]
	roofs, tank := []Roof{NewRoof(200)}, Tank{Nominal: 60000, Start: 60000}
	for _, of := range meters {
		for _, c := range []struct {
			use, noise float64
			tells      bool
		}{{40, 0, of == LevelSensor}, {40, 0.1, of == LevelSensor}, {900, 0, true}, {900, 0.1, true}} {
			if of == MainsMeter && c.noise > 0 && !c.tells {
				continue // which is TestMeterOfMainsThatGave's
			}
			uses := []Use{{Daily: c.use}}
			m := readingsOf(t, s, of, roofs, uses, tank, 0.9, s.First+400, 30, 37)
			rng, sum := rand.New(rand.NewPCG(3, 4)), 0.0
			for i := range m.All {
				sum += c.noise * 30 * c.use * (0.5 + rng.Float64())
				m.All[i].Litres += sum
			}
			x := metered(t, s, roofs, uses, tank, m)
			assert.Equal(t, c.tells, x.Tells, "%v of %g L/day", of, c.use)
			assert.Equal(t, !c.tells, math.IsNaN(x.Factor.Estimate) && x.Beyond == 0)
			if of == DrawMeter && !c.tells {
				assert.Equal(t, 36, x.Demand.Intervals)
				assert.InDelta(t, 36*30*c.use, x.Demand.Stated, 1e-6)
				assert.InEpsilon(t, 1+c.noise, x.Demand.Metered/x.Demand.Stated, 0.1*c.noise+1e-9)
			}
		}
	}
}

// Mains that gave water where the model lacks none say that the roof yields less:
// here a fourth of what is stated.
func TestMeterOfMainsThatGave(t *testing.T) {
	s := meterRecords(t)["invented"]
	roofs, uses, tank := []Roof{NewRoof(800)}, []Use{{Daily: 150}}, Tank{Nominal: 30000, Start: 30000}
	m := readingsOf(t, s, MainsMeter, []Roof{NewRoof(200)}, uses, Tank{Nominal: 3000}, 1, s.First+800, 30, 37)
	x := metered(t, s, roofs, uses, tank, m)
	require.True(t, x.Tells)
	for _, row := range x.Intervals {
		assert.Zero(t, row.Modelled)
		assert.Equal(t, row.Metered > 0.01*row.Demand, row.Fitted)
	}
	assert.True(t, x.Beyond < 0 || x.Factor.Estimate < 0.5, "%+v", x.Factor)
}

// Mains let into the tank are what a meter of the mains measures; its draw then
// tells nothing. A surge tank, open water, levels of uses and a use that the
// measures are about leave the factor to be found.
func TestMeterOfFittings(t *testing.T) {
	t.Parallel()
	s := meterRecords(t)["invented"]
	for name, c := range map[string]struct {
		tank  Tank
		roof  func(*Roof)
		keep  Level
		draws bool
	}{
		"mains let in": {Tank{Nominal: 3000, Fittings: Fittings{TopUp: TopUp{Below: Level{Share: 0.2}, To: Level{Share: 0.2}, Rate: 2}}}, nil, Level{}, false},
		"surge tank":   {Tank{Nominal: 3000, Fittings: Fittings{Pumping: Pumping{Storm: 4, Hours: 24}}}, func(r *Roof) { r.Surge, r.Pump = 500, 5 }, Level{}, true},
		"open water":   {Tank{Nominal: 3000, Fittings: Fittings{Open: 3}, Air: Air{Monthly: [12]float64{1, 2, 3, 4, 5, 6, 6, 5, 4, 3, 2, 1}}}, nil, Level{}, true},
		"a level":      {Tank{Nominal: 3000}, nil, Level{Share: 0.3}, true},
		"one use":      {Tank{Nominal: 3000, Fittings: Fittings{Of: "a"}}, nil, Level{}, true},
	} {
		roofs, uses := []Roof{NewRoof(80)}, []Use{{Name: "a", Daily: 90}, {Name: "b", Daily: 60, Keep: c.keep}}
		if c.roof != nil {
			c.roof(&roofs[0])
		}
		for _, of := range meters {
			m := readingsOf(t, s, of, roofs, uses, c.tank, 0.9, s.First+400, 10, 110)
			x := metered(t, s, roofs, uses, c.tank, m)
			if of == DrawMeter && !c.draws {
				assert.False(t, x.Tells, name)
				continue
			}
			require.True(t, x.Tells, "%s %v", name, of)
			assert.InDelta(t, 0.9, x.Factor.Estimate, 2e-3, "%s %v", name, of)
			if x.Demand.Intervals > 0 {
				// What a surge tank held at the first reading is not known.
				within := map[bool]float64{true: 0.05, false: 1e-6}[roofs[0].Surge > 0]
				assert.InEpsilon(t, x.Demand.Stated, x.Demand.Metered, within, "%s %v", name, of)
			}
		}
	}
}

// The coefficient that is told is that of the roof which made the readings,
// whatever the first flush and wetting take.
func TestMeterTellsTheRunoff(t *testing.T) {
	s := meterRecords(t)["invented"]
	uses, tank := []Use{{Daily: 150}}, Tank{Nominal: 3000}
	for _, flush := range []float64{0, 0.5, 2} {
		stated := Roof{Area: 80, Runoff: 0.85, FirstFlush: flush, Wetting: flush / 4, Filter: 0.9, Drains: 1}
		truth := stated
		truth.Runoff = 0.7
		m := readingsOf(t, s, DrawMeter, []Roof{truth}, uses, tank, 1, s.First+400, 30, 61)
		x := metered(t, s, []Roof{stated}, uses, tank, m)
		assert.InDelta(t, 0.7, x.Runoff.Estimate, 0.01, "%g mm", flush)
		if flush == 0 {
			assert.InDelta(t, 0.7/0.85, x.Factor.Estimate, 1e-3)
		}
		assert.Equal(t, x.Draws > 0, x.Runoff.Low <= x.Runoff.Estimate && x.Runoff.Estimate <= x.Runoff.High)
	}
}

// What the uses really want shows where the tank lacks nothing, where it gives
// nothing and where its level only falls.
func TestMeterShowsTheDemand(t *testing.T) {
	s := meterRecords(t)["invented"]
	roofs, tank := []Roof{NewRoof(80)}, Tank{Nominal: 6000}
	for _, of := range meters {
		use := map[MeterOf]float64{DrawMeter: 100, MainsMeter: 600, LevelSensor: 100}[of]
		m := readingsOf(t, s, of, roofs, []Use{{Daily: 0.8 * use}}, tank, 1, s.First+800, 4, 250)
		x := metered(t, s, roofs, []Use{{Daily: use}}, tank, m)
		require.Greater(t, x.Demand.Intervals, 10, of)
		assert.Equal(t, 4*x.Demand.Intervals, x.Demand.Days)
		assert.InDelta(t, float64(x.Demand.Days)*use, x.Demand.Stated, 1e-6, of)
		assert.InDelta(t, 0.8, x.Demand.Metered/x.Demand.Stated, 0.05, of)
	}
}

// Readings of the morning, dated by the day itself and not by the one before, are
// found out where they stand close together, and so are those a day too early; right
// ones are left alone.
func TestMeterFindsADayOff(t *testing.T) {
	t.Parallel()
	roofs, uses, tank := []Roof{NewRoof(80)}, []Use{{Daily: 150}}, Tank{Nominal: 3000}
	s := meterRecords(t)["invented"]
	rng := rand.New(rand.NewPCG(8, 9))
	for _, of := range meters {
		for _, step := range []int{1, 7, 30} {
			for _, late := range []int{-1, 0, 1} {
				m := readingsOf(t, s, of, roofs, uses, tank, 0.9, s.First+400, step, 365/step+24)
				for i := range m.All {
					m.All[i].Date += rainfall.Date(late)
					if of == LevelSensor {
						m.All[i].Litres += 10 * rng.NormFloat64()
					}
				}
				x := metered(t, s, roofs, uses, tank, m)
				want := 0
				if step <= ShiftsMatter {
					want = -late
				}
				assert.Equal(t, want, x.Shift, "%v every %d days, %d late", of, step, late)
				assert.Equal(t, want == 0, math.IsNaN(x.MisfitTo))
			}
		}
	}
	k, one := everyNth(factors(), stepsDown, coarse)
	assert.Equal(t, 1.0, k[one])
	assert.Len(t, k, 28)
}

// Readings of more water than any factor makes lie beyond, and so do those of less.
func TestMeterBeyond(t *testing.T) {
	s := meterRecords(t)["invented"]
	roofs, uses, tank := []Roof{NewRoof(80)}, []Use{{Daily: 900}}, Tank{Nominal: 3000}
	for times, beyond := range map[float64]int{10: 1, 0.01: -1, 1: 0} {
		m := readingsOf(t, s, DrawMeter, roofs, uses, tank, 1, s.First+400, 30, 25)
		for i := range m.All {
			m.All[i].Litres *= times
		}
		x := metered(t, s, roofs, uses, tank, m)
		assert.Equal(t, beyond, x.Beyond, "%g", times)
		assert.Equal(t, beyond != 0, math.IsNaN(x.Factor.Estimate))
	}
}

// One worker or three, the same; another seed, other bounds and the same factor.
func TestMeterWorkersAndSeeds(t *testing.T) {
	t.Parallel()
	s := meterRecords(t)["invented"]
	roofs, uses, tank := []Roof{NewRoof(80), NewRoof(20)}, []Use{{Daily: 150}}, Tank{Nominal: 3000}
	m := readingsOf(t, s, DrawMeter, roofs, uses, tank, 1.1, s.First+400, 30, 40)
	for i := range m.All {
		m.All[i].Litres += float64(200 * (i * i % 7))
	}
	with := func(seed uint64, workers int) *Metered {
		x, err := Meter(t.Context(), s, roofs, uses, tank, m, 0.9, seed, workers)
		require.NoError(t, err)
		return x
	}
	near(t, *with(1, 1), *with(1, 3), 0)
	assert.NotEqual(t, with(1, 1).Factor.Low, with(2, 1).Factor.Low)
	assert.Equal(t, with(1, 1).Factor.Estimate, with(2, 1).Factor.Estimate)
	assert.True(t, math.IsNaN(with(1, 1).Runoff.Estimate), "of two roofs none")
	run, n := with(1, 1).Block, with(1, 1).Fitted
	assert.True(t, run*run*run >= n && (run-1)*(run-1)*(run-1) < n, "the cube root of %d, up, is not %d", n, run)
}

// A reading not taken joins two intervals of a counter and of a level; of amounts
// neither is known.
func TestMeterSpans(t *testing.T) {
	all := []Reading{{10, 5}, {20, 7}, {30, math.NaN()}, {40, 4}, {50, 6}}
	assert.Equal(t, []meterSpan{{11, 20, 2}, {21, 40, -3}, {41, 50, 2}}, (&Readings{Of: LevelSensor, All: all}).spans())
	assert.Equal(t, []meterSpan{{11, 20, 7}, {31, 40, 4}, {41, 50, 6}}, (&Readings{Of: DrawMeter, Amounts: true, All: all}).spans())
	all[0].Litres = math.NaN() // of amounts the first is only a beginning
	assert.Equal(t, []meterSpan{{11, 20, 7}, {31, 40, 4}, {41, 50, 6}}, (&Readings{Of: DrawMeter, Amounts: true, All: all}).spans())
	assert.Empty(t, (&Readings{Of: DrawMeter, All: all[:1]}).spans())
}

// An interval with a day that the record lacks is left out, and so is one beyond
// its ends.
func TestMeterLeavesHolesOut(t *testing.T) {
	rain := showers(rand.New(rand.NewPCG(5, 6)), 300)
	for i := 120; i < 140; i++ {
		rain[i] = math.NaN()
	}
	s := filled(t, rainfall.Day(2001, time.January, 1), rain, time.January)
	m := &Readings{Of: DrawMeter}
	for i := range 32 {
		m.All = append(m.All, Reading{s.First + rainfall.Date(10*i), float64(300 * i)})
	}
	x := metered(t, s, []Roof{NewRoof(30)}, []Use{{Daily: 90}}, Tank{Nominal: 500}, m)
	assert.Equal(t, 31, len(x.Intervals)+x.Left)
	// Days 120–139 lie in the intervals that end on the days 120, 130 and 140;
	// that which ends on the day 300 goes beyond the last, 299, and one more.
	assert.Equal(t, 5, x.Left)
	assert.Equal(t, 26, m.Within(s))
	for _, row := range x.Intervals {
		assert.InDelta(t, 900, row.Demand, 1e-9)
	}
}
