package figure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/plot/vg"

	"tankodds/report/units"
	"tankodds/sim"
)

// stationFrom is a result as a station of a comparison.
func stationFrom(name string, r *sim.Result) Station {
	nan := math.NaN()
	out := Station{Name: name, Latitude: nan, Longitude: nan, Seasonality: nan, DrySpell: nan, Annual: nan,
		Grade: r.Main.Grade, Tank: r.Main.Tank, Low: r.Main.Low, High: r.Main.High, Safe: r.Main.Safe, Inflow: r.Main.Cell.Inflow, Demand: r.Main.Cell.Demand}
	for _, c := range r.Curve {
		out.Curve = append(out.Curve, Point{c.Tank, c.Of(r.Study.Measure)})
	}
	return out
}

func studyFor(sizes []float64) *sim.Study {
	return madeUp(shape{3000, 0.99, 1.2}, 180, nil, sizes, 0.9).Study
}

// madeUpStations are n stations of invented climates: the more seasonal, the larger
// the tank, give or take.
func madeUpStations(n int, grouped bool) []Station {
	rng := rand.New(rand.NewPCG(5, uint64(n)))
	var out []Station
	for i := range n {
		season := 0.05 + 1.1*rng.Float64()
		half := 1500 * math.Exp(1.6*season+0.35*rng.NormFloat64()) // size that half of the years need
		steep := 1.5 + rng.Float64()
		x := Station{Name: fmt.Sprintf("Station %03d", i+1), Latitude: -35 + 75*rng.Float64(), Longitude: 150 + 60*rng.Float64(),
			Seasonality: season, DrySpell: math.Round(12 * math.Exp(2.2*season+0.3*rng.NormFloat64())), Annual: 1500 - 900*season,
			Inflow: 120_000 - 60_000*season, Demand: 55_000}
		if i%7 == 3 {
			x.Name = longName
		}
		if grouped {
			x.Group = []string{"very-equable", "wetter-season", "seasonal", "markedly-seasonal", "extreme", "", "north"}[int(season*6)%7]
		}
		limit := 1.0
		if season > 0.95 {
			limit = 0.8
		}
		for tank := 500.0; tank < 60_000; tank *= 1.08 {
			share := limit / (1 + math.Pow(half/tank, steep))
			spread := 0.35 * math.Sqrt(share*(1-share)/8)
			x.Curve = append(x.Curve, Point{tank, sim.Interval{Estimate: share, Low: max(0, share-3*spread), High: min(1, share+2*spread)}})
		}
		x.Grade, x.Tank, x.Low, x.High, x.Safe = sim.Shown, half*math.Pow(9, 1/steep), half*5/steep, half*14/steep, half*14/steep
		switch {
		case limit < 0.9:
			x.Grade, x.Tank, x.Low, x.High, x.Safe = sim.OutOfReach, math.NaN(), math.NaN(), math.NaN(), math.NaN()
		case i%11 == 5:
			x.Grade, x.High, x.Safe = sim.Indicated, math.NaN(), math.NaN()
		case i%13 == 12:
			x.Grade, x.Tank, x.Low, x.High, x.Safe, x.Curve = sim.TooShort, math.NaN(), math.NaN(), math.NaN(), math.NaN(), nil
		}
		if i%9 == 8 {
			x.Latitude = math.NaN()
		}
		out = append(out, x)
	}
	return out
}

func madeUpRegional() (out []RegionalPoint) {
	for s := 0.005; s < 0.6; s *= 1.3 {
		share := 1 / (1 + math.Pow(0.05/s, 1.8))
		out = append(out, RegionalPoint{s, share, share * 0.8, math.Min(1, share*1.15)})
	}
	return out
}

// likeMelbourneStations have rain and demand as around Melbourne.
func likeMelbourneStations(s *sim.Study) []Station {
	all, roof := madeUpStations(20, false), sim.TotalArea(s.Roofs)
	for i := range all {
		all[i].Annual = 500 + 20*float64(i)
		all[i].Inflow, all[i].Demand = 0.9*roof*all[i].Annual, 0.3*roof*700
	}
	return all
}

// comparisonCases are comparisons of few and of many stations.
func comparisonCases() (out []figureCase) {
	sizes := ratios(500, 60_000, 12)
	for _, n := range []int{3, 20, 500} {
		out = append(out, figureCase{fmt.Sprintf("stations-%d", n), Comparison(studyFor(sizes), madeUpStations(n, false), 10_000, madeUpRegional(), Options{})})
	}
	out = append(out, figureCase{"stations-groups-us", Comparison(studyFor(sizes), madeUpStations(60, true), 10_000, nil, Options{Units: units.US})})
	out = append(out, figureCase{"stations-groups-20", Comparison(studyFor(sizes), madeUpStations(20, true), 10_000, nil, Options{})})
	crowd := madeUpStations(12, false)
	for i := range crowd { // all but two within a few kilometres
		if crowd[i].Latitude = 50 + 0.01*float64(i%4); i > 1 {
			crowd[i].Longitude = 8 + 0.012*float64(i/4)
		} else {
			crowd[i].Longitude = 8.2 + 0.2*float64(i)
		}
	}
	out = append(out, figureCase{"stations-crowd", Comparison(studyFor(sizes), crowd, 10_000, nil, Options{})})
	world := madeUpStations(20, false)
	for i := range world {
		world[i].Latitude, world[i].Longitude = -85+9*float64(i), -170+float64(i*97%340)
	}
	out = append(out, figureCase{"stations-world", Comparison(studyFor(sizes), world, 10_000, nil, Options{})})
	days := *studyFor(sizes)
	days.Measure = sim.Time
	return append(out, figureCase{"stations-melbourne", Comparison(&days, likeMelbourneStations(&days), 10_000, madeUpRegional(), Options{})})
}

// What a figure of a comparison says is what its stations say, and it is drawn where
// there is little to draw.
func TestComparison(t *testing.T) {
	sizes := ratios(500, 60_000, 12)
	s := studyFor(sizes)
	names := func(figs []Figure) (out []string) {
		for _, f := range figs {
			out = append(out, f.Name)
			svgOf(t, f)
		}
		return out
	}
	all := madeUpStations(20, false)
	figs := Comparison(s, all, 10_000, madeUpRegional(), Options{})
	assert.Equal(t, []string{"compare", "compare-ranked", "compare-multiples", "compare-climate", "compare-fractions", "compare-map"}, names(figs))
	sized := (&compared{all: all}).sized()
	assert.Contains(t, figs[1].Title, threeDigits(sized[len(sized)-1].Tank/sized[0].Tank)+" times")
	assert.Contains(t, figs[5].Caption, "2"+nbsp+"records of unknown position not drawn.")
	for i := range all { // nowhere a size, nothing known of the climate or the place
		all[i].Tank, all[i].Low, all[i].High, all[i].Safe, all[i].Grade = math.NaN(), math.NaN(), math.NaN(), math.NaN(), sim.OutOfReach
		all[i].Seasonality, all[i].Latitude = math.NaN(), math.NaN()
	}
	assert.Equal(t, []string{"compare", "compare-multiples", "compare-fractions"}, names(Comparison(s, all, 10_000, nil, Options{})))
	for i := range all { // all alike, at one place
		all[i].Tank, all[i].Low, all[i].High, all[i].Seasonality, all[i].DrySpell, all[i].Latitude, all[i].Longitude = 5000, 4000, 6000, 0.5, 20, 10, 10
	}
	figs = Comparison(s, all, 10_000, nil, Options{})
	assert.Equal(t, []string{"compare", "compare-ranked", "compare-multiples", "compare-climate", "compare-fractions"}, names(figs))
	assert.Contains(t, figs[3].Caption, "not defined with seasonality")
	assert.Contains(t, figs[3].Title, "has no rank correlation with the rain's seasonality and the longest dry spell")
	one := madeUpStations(1, false)
	assert.Equal(t, []string{"compare"}, names(Comparison(s, one, 10_000, nil, Options{})))
}

// Every group that is drawn is in the legend, and what has no mark of its own as "other".
func TestEveryGroupIsNamed(t *testing.T) {
	s := studyFor(ratios(500, 60_000, 12))
	for _, n := range []int{20, 60, 500} {
		all := madeUpStations(n, true)
		g := (&compared{all: all}).groups()
		assert.NotEmpty(t, g)
		for _, f := range Comparison(s, all, 10_000, nil, Options{}) {
			if f.Name != "compare-ranked" && f.Name != "compare-climate" {
				continue
			}
			svgOf(t, f)
			said := texts(f)
			for _, name := range g {
				assert.Contains(t, said, name[:3], "%d %s", n, f.Name)
			}
			assert.Contains(t, said, otherGroups, "%d %s", n, f.Name)
		}
	}
}

// Of many stations, those without a size stand apart in the order, and are counted.
func TestWithoutASizeApart(t *testing.T) {
	all := madeUpStations(500, false)
	z := &compared{all: all}
	beyond, short := z.unsized()
	assert.Equal(t, len(all)-len(z.sized()), beyond+short)
	figs := Comparison(studyFor(ratios(500, 60_000, 12)), all, 10_000, nil, Options{})
	assert.Contains(t, texts(figs[1]), strings.ReplaceAll(z.apart(), nbsp, " "))
	assert.Contains(t, z.apart(), fmt.Sprint(beyond))
	assert.Contains(t, z.apart(), fmt.Sprint(short))
}

// One shade where the demand fraction is the same of all, and no cross is told of
// where each has a size.
func TestWhatDoesNotVaryIsNotTold(t *testing.T) {
	all := madeUpStations(20, false)
	find := func(name string) Figure {
		for _, f := range Comparison(studyFor(ratios(500, 60_000, 12)), all, 10_000, nil, Options{}) {
			if f.Name == name {
				svgOf(t, f)
				return f
			}
		}
		return Figure{}
	}
	assert.Contains(t, find("compare-fractions").Caption, "the darker")
	assert.Contains(t, find("compare-map").Desc, "crosses")
	for i := range all {
		all[i].Inflow, all[i].Tank = 100_000, 5000+float64(i)
	}
	f := find("compare-fractions")
	assert.Contains(t, f.Caption, "of one demand fraction")
	assert.Contains(t, f.Title, "The use is 55"+nbsp+"% of what")
	assert.NotContains(t, find("compare-map").Desc, "crosses")
}

// Many stations of which one or none has a size, all in groups, are drawn.
func TestManyWithoutASize(t *testing.T) {
	s, nan := studyFor(ratios(500, 60_000, 12)), math.NaN()
	for _, opt := range []Options{{}, {Units: units.US}} {
		all := madeUpStations(500, true)
		for i := range all {
			all[i].Name = longName[:60]
			if i != 7 {
				all[i].Tank, all[i].Low, all[i].High, all[i].Safe, all[i].Grade = nan, nan, nan, nan, sim.OutOfReach
			}
		}
		all[7].Tank, all[7].Low, all[7].High, all[7].Safe, all[7].Grade = 5000, 4000, nan, nan, sim.Indicated
		one := Comparison(s, all, 10_000, nil, opt)
		assert.Len(t, one, 5) // nothing is to be ranked against the climate
		for _, f := range one {
			svgOf(t, f)
		}
		all[7].Tank, all[7].Grade = nan, sim.OutOfReach
		none := Comparison(s, all, 10_000, nil, opt)
		assert.Len(t, none, 4)
		for _, f := range none {
			svgOf(t, f)
		}
	}
}

// Stations on both sides of the antimeridian are not torn apart, and a map stays true
// to scale.
func TestMapOfStations(t *testing.T) {
	at := func(lat, lon float64) Station { return Station{Latitude: lat, Longitude: lon} }
	assert.Equal(t, 170.0, cutOf([]Station{at(0, 170), at(1, -175), at(2, 178)}))
	assert.Equal(t, -20.0, cutOf([]Station{at(0, 10), at(1, -20), at(2, 30)}))
	v := view{170, 185, -20, -10}.fitted(400, 300)
	assert.InEpsilon(t, 400.0/300, (v.east-v.west)*math.Cos((v.south+v.north)/2*math.Pi/180)/(v.north-v.south), 0.03)
	assert.Equal(t, "15.00°S 175.00°W", place(-15, 185))
	assert.Equal(t, "0.00° 180.00°", place(0, 180))
	lon, decimals := meridians(100, 250)
	assert.Equal(t, []float64{120, 150, 180, 210, 240}, lon)
	assert.Zero(t, decimals)
}

func BenchmarkComparison(b *testing.B) {
	all := madeUpStations(500, false)
	for b.Loop() {
		for _, f := range Comparison(studyFor(ratios(500, 60_000, 12)), all, 10_000, madeUpRegional(), Options{}) {
			if _, err := f.SVG(); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// No map runs past a pole, whatever its shape, and each is true to scale at its middle.
func TestMapsEndAtThePoles(t *testing.T) {
	area := vg.Rectangle{Max: vg.Point{X: 500, Y: 380}}
	for _, v := range []view{{-179, 179, -89, 89}, {-10, 10, -80, 85}, {0, 60, 70, 89}, {0, 60, -90, -60}, {0, 0, -90, 90}, {5, 5, 80, 90}, {5, 7, 48, 52}, {-179, 179, 50, 80}, {-100, 150, -75, -30}} {
		w := v.fitted(area.Size().X, area.Size().Y)
		assert.GreaterOrEqual(t, w.south, -90.0, v)
		assert.LessOrEqual(t, w.north, 90.0, v)
		assert.LessOrEqual(t, w.east-w.west, 360.0+1e-9, v)
		assert.True(t, w.south <= v.south && w.north >= v.north && w.west <= v.west && w.east >= v.east, v)
		in := w.framed(area)
		assert.True(t, in.Min.X >= 0 && in.Min.Y >= -1e-9 && in.Max.X <= area.Max.X+1e-9 && in.Max.Y <= area.Max.Y, v)
		a, b := float64(in.Size().X)/(w.east-w.west), float64(in.Size().Y)/(w.north-w.south)
		assert.InDelta(t, b*w.squeeze(), a, 1e-9*b, v)
	}
}

// The example worked by who quotes Khastagir & Jayasuriya (2010): three people of 16 L a
// day, 200 m², 700 mm: x = 0.125, C/A^1.5 = 0.531, 1.5 m³ (read as quoted by another);
// in more digits 1,504.99, 809.24 and 454.88 L (computed).
func TestMelbourneBand(t *testing.T) {
	const x = 365 * 3 * 16 / (200 * 700.0)
	assert.InDelta(t, 0.125, x, 5e-4)
	assert.InDelta(t, 0.531, melbourneTank(2, 0.125, 200)/math.Pow(200, 1.5), 1e-3)
	for k, want := range []float64{454.88, 809.24, 1504.99} {
		assert.InDelta(t, want, melbourneTank(k, x, 200), 0.005)
	}
	s := *studyFor(ratios(500, 60_000, 12))
	roof := sim.TotalArea(s.Roofs)
	all := likeMelbourneStations(&s)
	note := func() string {
		for _, f := range Comparison(&s, all, 10_000, madeUpRegional(), Options{}) {
			if f.Name == "compare-fractions" {
				svgOf(t, f)
				return f.Caption
			}
		}
		return ""
	}
	assert.NotContains(t, note(), "Melbourne", "of good years it says nothing")
	s.Measure = sim.Volume
	assert.Contains(t, note(), "Melbourne")
	assert.Contains(t, note(), units.SI.Area(roof))
	low, high := (&compared{study: &s}).likeMelbourne(all[5:6])
	share, inflow := all[5].Demand/(roof*all[5].Annual), all[5].Inflow
	assert.InDelta(t, 0.75*0.15*math.Exp(5.16*share)*math.Pow(roof, 1.5)/inflow, low[1].X, 1e-12)
	assert.InDelta(t, 1.25*0.15*math.Exp(5.16*share)*math.Pow(roof, 1.5)/inflow, high[1].X, 1e-12)
	for i := range all {
		all[i].Annual *= 3 // none rains like Melbourne
	}
	assert.NotContains(t, note(), "Melbourne")
}
