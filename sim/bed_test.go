package sim

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
)

// Without rain, at 4 mm a day from soil that holds 40: filled up, 20 mm on every
// fifth morning from the sixth on; at half, 4 mm from the seventh on (worked by
// hand from the equations).
func TestBedByHand(t *testing.T) {
	const days = 20
	rain, et0, on := make([]float64, days), make([]float64, days), make([]bool, days)
	for k := range et0 {
		et0[k], on[k] = 5, true
	}
	bed := Bed{Area: 2, Factor: 0.8, Holds: 40, Refill: true, Efficiency: 0.5}
	got := make([]float64, days)
	bed.asks(got, rain, et0, on)
	for k, x := range got {
		want := 0.0
		if k == 5 || k == 10 || k == 15 {
			want = 20 * 2 / 0.5
		}
		assert.InDelta(t, want, x, 1e-9, "morning %d", k+1)
	}
	bed.Refill = false
	clear(got)
	bed.asks(got, rain, et0, on)
	for k, x := range got {
		want := 0.0
		if k >= 6 {
			want = 4 * 2 / 0.5
		}
		assert.InDelta(t, want, x, 1e-9, "morning %d", k+1)
	}
}

// A year without rain asks for ET₀·K·area/efficiency, but for what the soil gives
// at first: two beds of a worksheet in force in California (Model Water Efficient
// Landscape Ordinance, its printed example in inches, square feet and gallons with
// 0.62 gallons of an inch on a square foot): 43.0 in, 0.8 and 0.75 on 677 ft²; 0.5
// and 0.81 on 204 ft². 19,258.09 and 3,355.64 gal are printed, the first with the
// ratio rounded to 1.067.
func TestBedsOfAWorksheet(t *testing.T) {
	const ft2, in, gal = 0.09290304, 25.4, 3.785411784
	for _, x := range []struct{ factor, efficiency, area, want float64 }{{0.8, 0.75, 677, 19258.09}, {0.5, 0.81, 204, 3355.64}} {
		days := rainfall.DaysPerYear
		rain, et0, on := make([]float64, 2*days), make([]float64, 2*days), make([]bool, 2*days)
		for k := range et0 {
			et0[k], on[k] = 43.0*in/float64(days), true
		}
		bed := Bed{Area: x.area * ft2, Factor: x.factor, Holds: 60, Efficiency: x.efficiency}
		got := make([]float64, 2*days)
		bed.asks(got, rain, et0, on)
		sum := 0.0
		for _, v := range got[days:] {
			sum += v
		}
		assert.InEpsilon(t, x.want, sum/gal, 0.006, "0.62 stands for 0.6234 there")
	}
}

// What the traces ask for is what the equations give, day by day, of the rain and
// the evaporation that goes with it.
func TestBedsOnTraces(t *testing.T) {
	y := usualYears(t, 12).Years
	s := question()
	s.Air.Monthly = [12]float64{20, 30, 60, 90, 120, 150, 160, 140, 100, 60, 30, 20}
	s.Uses = append(s.Uses, Use{Name: "beds", Bed: Bed{Area: 3, Factor: 0.5, Holds: 60, Refill: true, Efficiency: 0.8}, Months: Months{3: true, 4: true, 5: true, 6: true}})
	require.NoError(t, s.Check())
	e := NewEnsemble(s, y.Start)
	sampler, err := gen.WaterYears().Fit(y)
	require.NoError(t, err)
	sc := e.With(Row{Scale: 1}).Scratch()
	require.NoError(t, e.Draw(sc, sampler, rand.New(rand.NewPCG(1, 2)), 20))
	rain := make([]float64, len(sc.rain))
	sampler.Sample(rain, rand.New(rand.NewPCG(1, 2)))
	require.Equal(t, rain, sc.rain)
	months := rainfall.Calendar(y.Start).Months()
	calendar := inUnits(TraceDemand(RunIn+20, y.Start, s.Uses))
	lacks, asked := 0.0, 0
	for k, p := range rain {
		m := months[k%rainfall.DaysPerYear]
		et0 := s.Air.Monthly[m-1] / float64(rainfall.DaysIn(2001, m))
		n := 0.0
		if m >= 4 && m <= 7 && lacks >= 30 {
			n = lacks
			asked++
		}
		require.InDelta(t, float64(calendar[k])+n*3/0.8*store.PerLitre, float64(sc.demand[k]), 1, "day %d", k)
		require.Equal(t, sc.use[k]+sc.demand[k], sc.use[k+1])
		if p < 0.2*et0 {
			p = 0
		}
		lacks = min(60, max(0, lacks-n+0.5*et0-p))
	}
	assert.Greater(t, asked, 40)
}

// Evaporation goes with its day: each day of a trace has that of the day of the
// record whose rain it has.
func TestEvaporationGoesWithItsDay(t *testing.T) {
	y := usualYears(t, 12).Years
	s := question()
	s.Air = Air{Temperatures: true, Scale: 1.5}
	s.Fitted.Open = 1
	series := &rainfall.Series{First: rainfall.Day(y.Label[0], y.Start, 1), Years: y}
	for i := range y.Len() {
		for d := range rainfall.DaysIn(y.Label[i]+1, 2) + 337 { // the days of the real year
			series.Depth = append(series.Depth, y.Rain[i][min(d, 364)])
			series.ET0 = append(series.ET0, float64(i)+float64(d)/1000)
		}
	}
	et := y.Of(series.ET0, series.First)
	seen := map[float64]float64{} // by rain
	for i := range et {
		for d, x := range y.Rain[i] {
			seen[x] = et[i][d]
		}
	}
	e := NewEnsemble(s, y.Start).Under(series)
	sampler, err := gen.WaterYears().Fit(y)
	require.NoError(t, err)
	sc := e.With(Row{Scale: 1, Sizes: s.NewSizes([]float64{1000})}).Scratch()
	require.NoError(t, e.Draw(sc, sampler, rand.New(rand.NewPCG(3, 4)), 10))
	wet := 0
	for k, p := range sc.rain {
		if p > 1 {
			require.InDelta(t, 1.5*seen[p], sc.et0[k], 1e-9)
			wet++
		}
	}
	assert.Greater(t, wet, 300)
}
