package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/sim"
)

// comparedStations are of three climates, one of them not answered for.
func comparedStations() *Comparison {
	s := sim.Defaults()
	z := &Comparison{Study: s, Units: units.SI}
	for i, x := range []struct {
		file, climate, coast string
		tank, rain           float64
		grade                string
	}{
		{"a.csv", "seasonal", "east", 9000, 700, "shown"}, {"b.csv", "very-equable", "west", 4000, 1100, "shown"},
		{"c.csv", "seasonal", "west", 12_000, 650, "indicated"}, {"d.csv", "", "", math.NaN(), math.NaN(), ""},
		{"e.csv", "extreme", "east", math.NaN(), 300, "out-of-reach"},
	} {
		st := unanswered(x.file, "")
		st.Climate, st.Tank, st.Annual, st.Grade, st.Usable = x.climate, x.tank, x.rain, x.grade, 20+i
		st.Demand, st.Store = 0.5, x.tank/50_000
		if x.coast != "" {
			st.Listed = []Listed{{"coast", x.coast}}
		}
		z.Stations, z.at = append(z.Stations, st), append(z.at, i)
	}
	return z
}

func names(z *Comparison) (out string) {
	for i := range z.Stations {
		out += z.Stations[i].File[:1]
	}
	return out
}

// Conditions and order by the columns of the table and of the list; what is not known
// meets no condition on a number, and comes last in either order.
func TestSelect(t *testing.T) {
	for _, c := range []struct {
		where   []site.Condition
		sort    string
		falling bool
		want    string
		left    int
	}{
		{nil, "", false, "abcde", 0},
		{[]site.Condition{{Column: "tank_l", Is: ">", Value: "4000"}}, "", false, "ac", 3},
		{[]site.Condition{{Column: "tank_l", Is: "!=", Value: "4000"}}, "", false, "ac", 3},
		{[]site.Condition{{Column: "tank_l", Is: "<=", Value: "9e3"}, {Column: "coast", Is: "=", Value: "west"}}, "", false, "b", 4},
		{[]site.Condition{{Column: "coast", Is: "!=", Value: "west"}}, "", false, "ade", 2},
		{[]site.Condition{{Column: "coast", Is: "="}}, "", false, "d", 4},
		{[]site.Condition{{Column: "coast", Is: "!="}}, "", false, "abce", 1},
		{[]site.Condition{{Column: "tank_l", Is: "="}}, "", false, "de", 3},
		{[]site.Condition{{Column: "tank_l", Is: "!="}, {Column: "coast", Is: "=", Value: "west"}}, "", false, "bc", 3},
		{nil, "tank_l", false, "bacde", 0},
		{nil, "tank_l", true, "cabde", 0},
		{[]site.Condition{{Column: "climate", Is: "=", Value: "seasonal"}}, "mean_annual_mm", false, "ca", 3},
	} {
		z := comparedStations()
		require.NoError(t, z.Select(c.where, c.sort, c.falling))
		assert.Equal(t, c.want, names(z), "%+v", c)
		assert.Equal(t, c.left, z.LeftOut)
	}
	slip := &site.Misuse{}
	require.ErrorAs(t, comparedStations().Select(nil, "row", false), &slip, "a column that nobody sees")
	z := comparedStations()
	for i, people := range []string{"900", "1,200", "n/a", "5", ""} {
		z.Stations[i].Listed = []Listed{{"people", people}}
	}
	err := z.Select([]site.Condition{{Column: "people", Is: ">", Value: "1000"}}, "", false)
	require.ErrorAs(t, err, &slip)
	assert.Contains(t, slip.Text, `people of b.csv is "1,200", which is no number`)
}

// Groups are in the order of seasonality, those without one last; medians are of what
// is known.
func TestGroups(t *testing.T) {
	z := comparedStations()
	z.Group = "climate"
	got, err := z.groups()
	require.NoError(t, err)
	require.Len(t, got, 4)
	for i, want := range []struct {
		name                          string
		records, answered, sized, out int
	}{{"very-equable", 1, 1, 1, 0}, {"seasonal", 2, 2, 2, 0}, {"extreme", 1, 1, 0, 1}, {"", 1, 0, 0, 0}} {
		g := got[i]
		assert.Equal(t, want.name, g.Group)
		assert.Equal(t, []int{want.records, want.answered, want.sized, want.out}, []int{g.Records, g.Answered, g.Sized, g.Beyond})
	}
	assert.Equal(t, 10_500.0, got[1].Tank, "half-way between the two")
	assert.Equal(t, 2.5, quantile([]float64{4, 1, math.NaN(), 2, 3}, 0.5))
	assert.Equal(t, 1.75, quantile([]float64{4, 1, 2, 3}, 0.25))
	assert.True(t, math.IsNaN(got[1].Lower), "two records have no quartiles")
	assert.True(t, math.IsNaN(got[2].Tank))
	z.Group = "coast"
	got, err = z.groups()
	require.NoError(t, err)
	assert.Equal(t, "east", got[0].Group)
	assert.Empty(t, got[2].Group)
}

// What is said of two records, word by word, at the numbers it is said of.
func TestDifferInWords(t *testing.T) {
	z := comparedStations()
	nan := math.NaN()
	ratio := func(e, low, high float64) sim.Interval { return sim.Interval{Estimate: e, Low: low, High: high} }
	for _, c := range []struct {
		d    sim.Difference
		want string
	}{
		{sim.Difference{Ratio: ratio(1.2, 0.9, 1.6), Sizes: sim.CannotTell, Years: 12}, "cannot tell from 20 and 21 years, 12 of which both have. Its tank may be between 0.90 and 1.60 times that of a (90 %)."},
		{sim.Difference{Ratio: ratio(1.5, 1.1, 2), Sizes: sim.Larger}, "needs a larger tank than a: between 1.10 and 2.00 times its size (90 %; from 20 and 21 years)."},
		{sim.Difference{Ratio: ratio(1.5, 1.1, nan), Sizes: sim.Larger}, "needs a larger tank than a: at least 1.10 times its size (90 %; from 20 and 21 years)."},
		{sim.Difference{Ratio: ratio(0.5, nan, 0.8), Sizes: sim.Smaller}, "needs a smaller tank than a: at most 0.80 times its size (90 %; from 20 and 21 years)."},
		{sim.Difference{Ratio: ratio(1, nan, nan), Sizes: sim.CannotTell}, "cannot tell: one of the two has no band."},
		{sim.Difference{Ratio: ratio(nan, nan, nan)}, "no size is told for one of the two, so the sizes cannot be compared."},
	} {
		assert.Equal(t, c.want, z.differs(&Pair{Difference: c.d, first: 0, second: 1}, "a", "90 %"))
	}
}
