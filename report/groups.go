package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/rainfall"
	"tankodds/report/codec"
	"tankodds/report/sheet"
	"tankodds/report/words"
	"tankodds/sim"
)

// Group is what records of one kind have in common.
type Group struct {
	Group    string  `key:"group" doc:"the value of the column that the records are counted by; empty where a record has none"`
	Records  int     `key:"records" doc:"how many it has"`
	Answered int     `key:"answered" doc:"of them answered for"`
	Sized    int     `key:"sized" doc:"of them with a size for the target"`
	Beyond   int     `key:"out_of_reach" doc:"of them where no tank meets it"`
	Rain     float64 `key:"mean_annual_mm" doc:"median of the rain of a year"`
	Tank     float64 `key:"tank_l" doc:"median of the sizes for the target"`
	Lower    float64 `key:"tank_lower_quartile_l" doc:"a quarter of them need less; of at least four"`
	Upper    float64 `key:"tank_upper_quartile_l" doc:"a quarter of them need more"`
	Demand   float64 `key:"demand_fraction" doc:"median"`
	Store    float64 `key:"storage_fraction" doc:"median, of those with a size"`
}

// groups counts the stations by the column Group: climate in the order of seasonality,
// other values in their own; none where no column is named.
func (z *Comparison) groups() ([]Group, error) {
	by := z.Group
	if by == "" {
		return nil, nil
	}
	df, err := z.frame()
	if err != nil {
		return nil, err
	}
	if err := known(df.Names(), by, "group"); err != nil {
		return nil, err
	}
	of := df.Col(by).Records()
	for i := range of {
		if of[i] == "NaN" {
			of[i] = ""
		}
	}
	z.groupOf = of
	names := slices.Clone(of)
	slices.SortFunc(names, func(a, b string) int {
		order := rainfall.SeasonClasses()
		if i, j := slices.Index(order, a), slices.Index(order, b); i >= 0 && j >= 0 {
			return i - j
		}
		if (a == "") != (b == "") { // those without one last
			return strings.Compare(b, a)
		}
		return strings.Compare(a, b)
	})
	var out []Group
	for _, name := range slices.Compact(names) {
		g := Group{Group: name}
		var rain, tank, demand, store []float64
		for i := range z.Stations {
			x := &z.Stations[i]
			if of[i] != name {
				continue
			}
			g.Records++
			if !x.answered() {
				continue
			}
			g.Answered++
			rain, demand = append(rain, x.Annual), append(demand, x.Demand)
			if x.Grade == sim.OutOfReach.String() {
				g.Beyond++
			}
			if !math.IsNaN(x.Tank) {
				tank, store = append(tank, x.Tank), append(store, x.Store)
			}
		}
		g.Sized = len(tank)
		g.Rain, g.Demand, g.Store = quantile(rain, 0.5), quantile(demand, 0.5), quantile(store, 0.5)
		g.Tank, g.Lower, g.Upper = quantile(tank, 0.5), math.NaN(), math.NaN()
		if len(tank) >= 4 {
			g.Lower, g.Upper = quantile(tank, 0.25), quantile(tank, 0.75)
		}
		out = append(out, g)
	}
	return out, nil
}

// GroupOf is the group of a station, "" for none; after Work.
func (z *Comparison) GroupOf(i int) string {
	if z.groupOf == nil {
		return ""
	}
	return strings.ReplaceAll(z.groupOf[i], "-", " ")
}

// quantile is one of values, NaN of none.
func quantile(x []float64, p float64) float64 {
	x = slices.DeleteFunc(slices.Clone(x), math.IsNaN)
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	at := p * float64(len(x)-1)
	k := min(int(at), len(x)-2)
	if k < 0 {
		return x[0]
	}
	return x[k] + (at-float64(k))*(x[k+1]-x[k]) // straight between two
}

// GroupsCSV returns groups as a tidy table.
func GroupsCSV(groups []Group) ([]byte, error) { return codec.Rows(groups) }

// mostGroups is how many groups a sheet shows.
const mostGroups = 20

// grouped is the table of the groups.
func (z *Comparison) grouped() *sheet.Table {
	groups := z.Groups
	shown := groups[:min(len(groups), mostGroups)]
	var depths []float64
	for _, g := range shown {
		depths = append(depths, g.Rain)
	}
	depth, size := z.Units.DepthColumn(depths...), z.sizeColumn()
	t := &sheet.Table{Name: "groups",
		Columns: []sheet.Column{{Title: "Group", Words: true}, {Title: "Records"}, {Title: "With a size"}, {Title: "Out of reach"}, {Title: "Rain a year", Unit: depth.Unit},
			{Title: "Median tank", Unit: size.Unit}, {Title: "Middle half", Unit: size.Unit}},
		Notes: []string{"Rain and tank are medians of the records; the middle half leaves out a quarter at either end."},
	}
	if more := len(groups) - len(shown); more > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s more in groups.csv.", words.Plural(more, "group")))
	}
	for _, g := range shown {
		name := g.Group
		if name == "" {
			name = "none"
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{strings.ReplaceAll(name, "-", " "), fmt.Sprint(g.Records), fmt.Sprint(g.Sized), fmt.Sprint(g.Beyond),
			depth.Cell(g.Rain), size.Cell(g.Tank), bandCell(size, g.Lower, g.Upper)}})
	}
	return t
}
