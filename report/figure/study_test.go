package figure

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/plotter"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/units"
	"tankodds/sim"
)

// named returns the figure of a study by its name.
func named(t *testing.T, figs []Figure, name string) Figure {
	t.Helper()
	i := slices.IndexFunc(figs, func(f Figure) bool { return f.Name == name })
	require.GreaterOrEqual(t, i, 0, "no figure "+name)
	return figs[i]
}

func TestBalanceAddsUp(t *testing.T) {
	r := madeUp(shape{6400, 0.999, 1.24}, 180, []float64{180}, steps(500, 20000, 40), 0.9)
	for i := range r.Months {
		r.Months[i] = sim.Month{Month: r.Months[i].Month, Water: sim.Water{Inflow: 400, Demand: 200, Supplied: 180, Spilled: 220}}
	}
	r.Months[9].Supplied = 60 // July, the tenth from October
	f := named(t, Study(r, nil, Options{}), "balance")
	all := texts(f)
	assert.Contains(t, f.Title, "most is topped up in July")
	// 11 · 180 + 60 = 2,040 of 2,400 L: 85 %; the rest 360 L; 12 · 220 of 4,800 L: 55 %
	for _, want := range []string{"2,040 L a year", "85 % of demand", "360 L a year", "15 % of demand", "2,640 L a year", "55 % of inflow"} {
		assert.Contains(t, all, want)
	}
	assert.NotContains(t, f.Caption, "scale of its own")
	r.Months[2].Spilled = 5000
	f = named(t, Study(r, nil, Options{}), "balance")
	assert.Contains(t, f.Caption, "scale of its own")
	assert.Contains(t, texts(f), "5,000", "the scale below the line")
	r.Months = nil
	for _, f := range Study(r, nil, Options{}) {
		assert.NotEqual(t, "balance", f.Name)
	}
}

func TestYearsNameTheWorst(t *testing.T) {
	r := madeUp(shape{6400, 0.999, 1.24}, 180, []float64{180}, steps(500, 20000, 40), 0.9)
	days := func(ds ...int) (out []sim.ShortDay) {
		for _, d := range ds {
			out = append(out, sim.ShortDay{Day: d})
		}
		return out
	}
	r.Real = []sim.RealYear{
		{Label: 1970}, {Label: 1971, ShortDays: 1, Short: days(300)},
		{Label: 1973, ShortDays: 3, Short: days(299, 300, 302)}, {Label: 1974},
	}
	f := named(t, Study(r, madeUpRecord(""), Options{}), "strip")
	assert.Contains(t, f.Title, "in 2 of 4"+nbsp+"real years; worst 1973/74, on 3"+nbsp+"days")
	all := texts(f)
	assert.Contains(t, all, "1973/74: 3 days")
	assert.Contains(t, all, "1971/72: 1 day")
	assert.Contains(t, all, "not usable", "1972/73 is not in the record")
	strips := stripsOf(r.Real)
	require.Len(t, strips, 5)
	assert.False(t, strips[2].used)
	assert.Equal(t, []span{{299, 301, 2}, {302, 303, 2}}, strips[3].spans(1))
	assert.Equal(t, []span{{295, 305, 1}}, strips[3].spans(5), "one of five and two of five are pale")
	assert.Equal(t, []span{{298, 304, 2}}, strips[3].spans(2), "half of two is full")
}

// The steps of the real years are their own: so many of them at each size, and
// only where a share of years is drawn, for one roof.
func TestRealYearsBesideTheCurve(t *testing.T) {
	x, litres := axis{min: 100, max: 1000}, scale{factor: 1}
	inf := math.Inf(1)
	assert.Equal(t, plotter.XYs{{X: 100, Y: 0.2}, {X: 500, Y: 0.2}, {X: 500, Y: 0.4}, {X: 500, Y: 0.4}, {X: 500, Y: 0.6}, {X: 1000, Y: 0.6}},
		stepsWithin([]float64{50, 500, 500, 2000, inf}, x, litres))
	assert.Equal(t, plotter.XYs{{X: 500, Y: 0}, {X: 500, Y: 0.5}, {X: 900, Y: 0.5}, {X: 900, Y: 1}}, stepsWithin([]float64{500, 900}, x, litres), "from nothing to all")
	assert.Empty(t, stepsWithin(nil, x, litres))

	r := madeUp(shape{6400, 0.999, 1.24}, 180, []float64{180}, steps(500, 20000, 40), 0.9)
	f := named(t, Study(r, nil, Options{}), "reliability")
	assert.Contains(t, texts(f), "the real years")
	assert.Contains(t, f.Caption, "the share of the record’s own "+strconv.Itoa(len(r.Real))+" years, as it rained")
	r.Study.Measure = sim.Time
	assert.NotContains(t, texts(named(t, Study(r, nil, Options{}), "reliability")), "the real years", "days are drawn, not years")
	r = madeUp(shape{6400, 0.999, 1.24}, 180, []float64{90, 180}, steps(500, 20000, 40), 0.9)
	assert.NotContains(t, texts(named(t, Study(r, nil, Options{}), "reliability")), "the real years", "one line more among many")
}

func TestContourLiesWhereTheShareIs(t *testing.T) {
	// share = (size + 100·area) / 1000 is a plane: its contours are straight
	g := grid{sizes: steps(0, 500, 6), areas: []float64{1, 2, 3, 4}}
	for _, a := range g.areas {
		var row []float64
		for _, s := range g.sizes {
			row = append(row, (s+100*a)/1000)
		}
		g.share = append(g.share, row)
	}
	path := g.contour(0.5)
	require.NotEmpty(t, path)
	for i, at := range path {
		assert.InDelta(t, 500, at.X+100*at.Y, 1e-9)
		if i > 0 {
			assert.Less(t, at.Y, path[i-1].Y, "from the largest area down")
		}
	}
	assert.InDelta(t, 4, path[0].Y, 1e-12)
	assert.InDelta(t, 1, path[len(path)-1].Y, 1e-12)
	path = g.contour(0.85) // leaves the grid on its right, at area 3.5
	assert.InDelta(t, 3.5, path[len(path)-1].Y, 1e-9)
	assert.InDelta(t, 500, path[len(path)-1].X, 1e-9)
	path = g.contour(0.25) // and on its left, at area 2.5
	assert.InDelta(t, 2.5, path[0].Y, 1e-9)
	assert.InDelta(t, 0, path[0].X, 1e-9)
	assert.Empty(t, g.contour(0.95))
	assert.Empty(t, g.contour(0.05))
	assert.Equal(t, []float64{0.5, 0.8, 0.903, 0.95, 0.99}, mapLevelsWith(0.903))
	assert.Equal(t, []float64{0.5, 0.75, 0.8, 0.9, 0.95, 0.99}, mapLevelsWith(0.75))
}

func TestMapNeedsAreasAndSizes(t *testing.T) {
	has := func(areas, sizes []float64) bool {
		r := madeUp(shape{6400, 0.999, 1.24}, 180, areas, sizes, 0.9)
		return slices.ContainsFunc(Study(r, nil, Options{Units: units.US}), func(f Figure) bool { return f.Name == "map" })
	}
	assert.True(t, has(steps(100, 300, 3), steps(500, 20000, 4)))
	assert.False(t, has(steps(100, 300, 2), steps(500, 20000, 40)))
	assert.False(t, has(steps(100, 300, 8), steps(500, 20000, 3)))
	f := named(t, Study(madeUp(shape{6400, 0.999, 1.24}, 180, steps(120, 260, 3), steps(500, 20000, 40), 0.9), nil, Options{}), "map")
	for _, want := range []string{"50 %", "80 %", "90 % target", "95 %", "99 %", "12,200 L meets 90 %"} {
		assert.Contains(t, texts(f), want)
	}
}

// TestMapStaysInItsFrame looks at what is filled and drawn, as it is cropped to
// where the contours lie.
func TestMapStaysInItsFrame(t *testing.T) {
	for _, sizes := range [][]float64{steps(500, 200000, 60), ratios(2, 5e6, 60), steps(500, 9000, 20)} {
		f := named(t, Study(madeUp(shape{6400, 0.97, 1.24}, 180, steps(50, 900, 6), sizes, 0.9), nil, Options{}), "map")
		svg := string(svgOf(t, f))
		paths := regexp.MustCompile(`d="(M[^"]*)"`).FindAllStringSubmatch(svg, -1)
		require.Greater(t, len(paths), 8)
		for _, d := range paths[1:] { // the first is the ground
			for _, at := range regexp.MustCompile(`[ML]([-0-9.e+]+),`).FindAllStringSubmatch(d[1], -1) {
				x, err := strconv.ParseFloat(at[1], 64)
				require.NoError(t, err)
				assert.True(t, x > 0 && x <= float64(Width-Margin), "%v", x)
			}
		}
	}
}

func TestFidelitySaysSoInWords(t *testing.T) {
	rows := []gen.Row{
		{Statistic: "mean dry spell", Season: "Oct-Dec", Real: 4, Low: 3, High: 5, Pass: true},
		{Statistic: "mean dry spell", Season: "Jan-Mar", Real: 4, Low: 5, High: 6},
		{Statistic: "wettest day", Season: "year", Real: 60, Low: 50, High: 90, Pass: true},
		{Statistic: "driest 6 months", Season: "year", Real: 20, Low: 30, High: 90},
		{Statistic: "broken", Season: "year", Real: math.NaN()},
	}
	f, ok := Fidelity(rows, nil, "", Options{})
	require.True(t, ok)
	assert.Contains(t, f.Title, "2 of 4 statistics")
	all := texts(f)
	for _, want := range []string{"fails Jan–Mar", "passes", "fails", "the record"} {
		assert.Contains(t, all, want)
	}
	assert.NotContains(t, all, "broken")
	svgOf(t, f)
	_, ok = Fidelity(nil, nil, "", Options{})
	assert.False(t, ok)
	j := judged{rows: []gen.Row{{Real: 0, Low: 0, High: 3}}}
	low, high := j.relative(j.rows[0])
	assert.Equal(t, 1.0, low)
	assert.True(t, math.IsInf(high, 1))

	var many []gen.Row
	for i := range 60 {
		many = append(many, gen.Row{Statistic: string(rune('A'+i)) + " " + longName, Real: 1, Low: 0.5, High: 2e9, Pass: i%2 == 0})
	}
	f, _ = Fidelity(many, madeUpRecord(longName), longName, Options{})
	svgOf(t, f)
	assert.Contains(t, f.Caption, "22 of the 60 statistics are drawn")
}

// A bar an input, from its one end to the other; one that has no end says why, and
// nothing leaves the page.
func TestInfluences(t *testing.T) {
	r := madeUp(shape{6400, 0.999, 1.24}, 180, []float64{180}, steps(500, 20000, 40), 0.9)
	r.Explain = []sim.Influence{
		{What: "runoff", From: -0.05, To: 0.05, A: math.NaN(), B: 0.7},
		{What: "use", From: 0.9, To: 1.1, A: 0.8, B: 1.3},
		{What: "rule", From: 0, To: 1, A: 1, B: 0.97},
	}
	f := named(t, Study(r, nil, Options{}), "influences")
	all := texts(f)
	for _, want := range []string{"runoff coefficient", "0.05 lower: never large enough", "0.05 higher", "10 % more", "yield before spillage", "yield after spillage"} {
		assert.Contains(t, all, want)
	}
	for _, size := range [][2]float64{{576, 330}, {310, 300}} {
		in, err := f.Inline(size[0], size[1])
		require.NoError(t, err)
		assert.NotContains(t, in.SVG, "NaN")
	}
}

// The title of the turnover's figure is what its stop says, by its method.
func TestTurnoverIsTitledByItsMethod(t *testing.T) {
	r := madeUp(shape{6400, 0.999, 1.24}, 180, []float64{180}, steps(500, 20000, 40), 0.9)
	r.Turnover = []sim.Turn{{Tank: 1000, Times: 40}, {Tank: 6000, Times: 0.5}, {Tank: 20_000, Times: 0.1}}
	title := func(stop sim.Stop) string {
		r.Stop = stop
		f, ok := turnoverFigure(r, nil, Options{})
		require.True(t, ok)
		return strings.ReplaceAll(f.Title, "\u00a0", " ")
	}
	assert.Regexp(t, `^Up to 6,000 L, the last .* is used at least every other year$`, title(sim.Stop{Method: sim.ByTurnover, Tank: 6000}))
	r.Study.Costs = &sim.Costs{Sizes: []float64{6000}, Prices: []float64{900}, Water: 3, Life: 20, Discount: 0.03}
	assert.Equal(t, "At these prices, 6,000 L is worth most", title(sim.Stop{Method: sim.ByValue, Tank: 6000, Supplied: 60_000}))
	assert.Equal(t, "At these prices, 6,000 L loses least", title(sim.Stop{Method: sim.ByValue, Tank: 6000, Supplied: 100}))
	assert.Regexp(t, `^How often a year the last .* of a tank is used$`, title(sim.Stop{Method: sim.ByValue, Tank: math.NaN()}))
}

// The bars of a record are its water years; those that its ends cut short are left out
// where they are of no use, and a year between that is of none is a gap.
func TestBarsOfARecord(t *testing.T) {
	labels := func(rec *rainfall.Summary) (out []int, gaps int) {
		for _, b := range yearBars(rec) {
			out = append(out, b.label)
			if math.IsNaN(b.mm) {
				gaps++
			}
		}
		return out, gaps
	}
	m := &rainfall.Summary{Start: time.October, First: rainfall.Day(2001, time.January, 1), Last: rainfall.Day(2005, time.December, 31),
		Usable: []rainfall.WaterYear{{Label: 2001, MM: 500}, {Label: 2003, MM: 700}, {Label: 2004, MM: 600}}}
	m.Rejected = []rainfall.Rejected{{Label: 2000, Why: rainfall.Begins}, {Label: 2002, Why: rainfall.Gap}, {Label: 2005, Why: rainfall.Ends}}
	got, gaps := labels(m)
	assert.Equal(t, []int{2001, 2002, 2003, 2004}, got)
	assert.Equal(t, 1, gaps)
	m.Rejected[0].Why, m.Rejected[2].Why = rainfall.Misses, rainfall.Gap // as where little of an end is lacking
	got, gaps = labels(m)
	assert.Equal(t, []int{2000, 2001, 2002, 2003, 2004, 2005}, got)
	assert.Equal(t, 3, gaps)
}
