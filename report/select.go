package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"tankodds/rainfall/read"
	"tankodds/report/codec"
	"tankodds/report/site"
	"tankodds/report/words"
)

// rowColumn is the place of a station among all in the table that they are chosen from.
const rowColumn = "row"

// frame is the table of the stations: the columns of answers.csv and those of their
// list. A column is of numbers where every cell that is not empty is one.
func (z *Comparison) frame() (dataframe.DataFrame, error) {
	text, err := codec.Rows(z.Stations)
	if err != nil {
		return dataframe.DataFrame{}, err
	}
	// In a column of text an empty cell is a text, and no number is missing there.
	head, types := dataframe.ReadCSV(strings.NewReader(string(text)), dataframe.DetectTypes(false), dataframe.DefaultType(series.String), dataframe.NaNValues(nil)), []series.Series(nil)
	if head.Err != nil {
		return head, head.Err
	}
	for _, name := range head.Names() {
		types = append(types, seriesOf(name, head.Col(name).Records()))
	}
	for _, name := range z.listedColumns() {
		cells := make([]string, len(z.Stations))
		for i := range cells {
			cells[i] = z.Stations[i].listed(name)
		}
		types = append(types, seriesOf(name, cells))
	}
	rows := make([]int, len(z.Stations))
	for i := range rows {
		rows[i] = i
	}
	types = append(types, series.New(rows, series.Int, rowColumn))
	out := dataframe.New(types...)
	return out, out.Err
}

// seriesOf makes a column of numbers of cells that are, and else one of texts.
func seriesOf(name string, cells []string) series.Series {
	numbers := make([]float64, len(cells))
	any := false
	for i, c := range cells {
		if c == "" || c == "NaN" {
			numbers[i] = math.NaN()
			continue
		}
		x, err := strconv.ParseFloat(c, 64)
		if err != nil {
			return series.New(cells, series.String, name)
		}
		numbers[i], any = x, true
	}
	if !any {
		return series.New(cells, series.String, name)
	}
	return series.New(numbers, series.Float, name)
}

// comparators are the library's, by how they are typed.
var comparators = map[string]series.Comparator{
	"=": series.Eq, "!=": series.Neq, "<": series.Less, "<=": series.LessEq, ">": series.Greater, ">=": series.GreaterEq,
}

// Select keeps the stations that meet all conditions, in the order of a column where
// one is named: what is not known comes last. It counts those left out.
func (z *Comparison) Select(where []site.Condition, by string, falling bool) error {
	if where == nil && by == "" {
		return nil
	}
	df, err := z.frame()
	if err != nil {
		return err
	}
	for _, c := range where {
		if err := known(df.Names(), c.Column, "where"); err != nil {
			return err
		}
		all := df.Nrow()
		none := func() error {
			return &site.Misuse{Text: fmt.Sprintf("--where: none of %s has %s", words.Plural(all, "record"), c), Hint: "give a condition that some meet"}
		}
		if c.Value == "" {
			df = df.Subset(emptyRows(df.Col(c.Column), c.Is == "="))
			if df.Err != nil || df.Nrow() == 0 {
				return none()
			}
			continue
		}
		var value any = c.Value
		if df.Col(c.Column).Type() == series.Float {
			x, err := strconv.ParseFloat(c.Value, 64)
			if err != nil {
				return &site.Misuse{Text: fmt.Sprintf("--where: %s is a number, and %q is none", c.Column, c.Value), Hint: fmt.Sprintf("as in --where '%s>0.6', in the units of answers.csv", c.Column)}
			}
			value = x
		} else if _, err := strconv.ParseFloat(c.Value, 64); err == nil && strings.ContainsAny(c.Is, "<>") {
			for i, cell := range df.Col(c.Column).Records() {
				if _, err := strconv.ParseFloat(cell, 64); err != nil && cell != "" {
					return &site.Misuse{Text: fmt.Sprintf("--where: %s of %s is %q, which is no number", c.Column, df.Col("file").Records()[i], cell), Hint: "a column that is compared by size holds numbers alone, without commas"}
				}
			}
		}
		df = df.Filter(dataframe.F{Colname: c.Column, Comparator: comparators[c.Is], Comparando: value})
		if df.Err != nil || df.Nrow() == 0 {
			return none()
		}
	}
	if by != "" {
		if err := known(df.Names(), by, "sort"); err != nil {
			return err
		}
		order := dataframe.Sort(by)
		if falling {
			order = dataframe.RevSort(by)
		}
		if df = df.Arrange(order); df.Err != nil {
			return df.Err
		}
	}
	rows, err := df.Col(rowColumn).Int()
	if err != nil {
		return err
	}
	z.take(rows)
	return nil
}

// emptyRows are the rows in which a column has nothing, or those in which it has something.
func emptyRows(column series.Series, empty bool) []int {
	rows := []int{}
	for i, cell := range column.Records() {
		if (cell == "" || cell == "NaN") == empty {
			rows = append(rows, i)
		}
	}
	return rows
}

// KnownColumns refuses a condition, an order or a group of a column that no comparison
// has, before anything is worked on. list is that of stations, nil for none.
func KnownColumns(list *read.Listing, m site.Many) error {
	names := codec.Columns(Station{})
	if list != nil {
		for _, name := range list.Columns {
			names = append(names, listedAs(name))
		}
	}
	for _, c := range m.Where {
		if err := known(names, c.Column, "where"); err != nil {
			return err
		}
	}
	for _, x := range []struct{ column, flag string }{{m.Sort, "sort"}, {m.Group, "group"}} {
		if x.column == "" {
			continue
		}
		if err := known(names, x.column, x.flag); err != nil {
			return err
		}
	}
	return nil
}

// known refuses a column that is none of those that there are.
func known(names []string, column, flag string) error {
	if column != rowColumn && slices.Contains(names, column) {
		return nil
	}
	hint := "tankodds help results lists the columns of answers.csv; the list of stations may have more"
	if near := site.Nearest(column, names); near != "" {
		hint = "did you mean " + near
	}
	return &site.Misuse{Text: fmt.Sprintf("--%s: no column is called %q", flag, column), Hint: hint}
}

// take keeps the stations of some rows, in their order.
func (z *Comparison) take(rows []int) {
	z.LeftOut += len(z.Stations) - len(rows)
	stations, at := z.Stations, z.at
	z.Stations, z.at = nil, nil
	for _, i := range rows {
		z.Stations, z.at = append(z.Stations, stations[i]), append(z.at, at[i])
	}
}

// listedColumns are the columns that a list of stations adds to the table: those
// that it does not have.
func (z *Comparison) listedColumns() []string {
	var out []string
	for i := range z.Stations {
		for _, l := range z.Stations[i].Listed {
			if !slices.Contains(out, l.Key) {
				out = append(out, l.Key)
			}
		}
	}
	return out
}

// listed is what the list says of the station in a column of its own.
func (x *Station) listed(column string) string {
	for _, l := range x.Listed {
		if l.Key == column {
			return l.Value
		}
	}
	return ""
}
