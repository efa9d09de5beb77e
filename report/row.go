package report

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"sync"

	"tankodds/rainfall/read"
	"tankodds/report/codec"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Row is all that a comparison keeps of one record.
type Row struct {
	At      int             `key:"at" doc:"which record of the list, from 0"`
	Station Station         `key:"station" doc:"what answers.csv has of it"`
	Basis   string          `key:"basis" doc:"what the answer rests on"`
	Told    []words.Warning `key:"told" doc:"what must be minded of record and answer"`
	Rests   []string        `key:"rests" doc:"the lines of provenance.txt"`
	Curves  string          `key:"curves" doc:"the lines of curves.csv"`
	Points  [][4]float64    `key:"points" doc:"the curve of the site's own roofs: nominal size in L, share of the measure, its bounds"`
	Years   []YearNeed      `key:"years" doc:"the usable years of the record"`
}

// Listed is a column of a list of stations.
type Listed struct {
	Key   string `key:"column" doc:"its name"`
	Value string `key:"value" doc:"its cell"`
}

// YearNeed is the smallest tank that a year of the record needed.
type YearNeed struct {
	Year  int     `key:"year" doc:"calendar year in which it begins"`
	Needs float64 `key:"needs_l" doc:"smallest nominal size that would have made it a good year, at most sim.MostTank; null where it cannot be told"`
	Rain  float64 `key:"rain_mm" doc:"its rain"`
}

// NewRow keeps an answered record.
func NewRow(at int, x *Sizing) (*Row, error) {
	out := &Row{At: at, Station: stationOf(x), Basis: x.basis(), Told: x.told(x.Units, true), Rests: x.provenance()}
	text, err := curveRows(x)
	if err != nil {
		return nil, err
	}
	if end := bytes.IndexByte(text, '\n'); end >= 0 {
		out.Curves = string(text[end+1:])
	}
	m := x.Result.Study.Measure
	for _, c := range x.Result.Curve {
		i := c.Of(m)
		out.Points = append(out.Points, [4]float64{c.Tank, i.Estimate, i.Low, i.High})
	}
	for _, y := range x.Result.Real {
		if y.Whole {
			out.Years = append(out.Years, YearNeed{y.Label, min(y.Needs, sim.MostTank), y.Rain})
		}
	}
	return out, nil
}

// Locate says of a station what a list knows of it.
func (x *Station) Locate(list *read.Listing) {
	if list == nil {
		return
	}
	l := list.Of(x.File, x.Station)
	if l == nil {
		return
	}
	for _, p := range []struct {
		to *float64
		is float64
	}{{&x.Latitude, l.Latitude}, {&x.Longitude, l.Longitude}, {&x.Elevation, l.Elevation}} {
		if !math.IsNaN(p.is) {
			*p.to = p.is
		}
	}
	for k, name := range list.Columns {
		x.Listed = append(x.Listed, Listed{listedAs(name), l.Values[k]})
	}
}

// listedAs is what a column of the list is called in the table.
func listedAs(name string) string {
	if slices.Contains(ownColumns(), name) { // of answers.csv
		return "listed_" + name
	}
	return name
}

// ownColumns are those of answers.csv, and the one that counts rows.
var ownColumns = sync.OnceValue(func() []string {
	text, _ := codec.Rows([]Station{{}})
	head, _, _ := strings.Cut(string(text), "\n")
	return append(strings.Split(head, ","), rowColumn)
})

// Before tells which of some files may meet the conditions by what the list of
// stations says of them: their places in the order given.
func Before(files []string, list *read.Listing, where []site.Condition) ([]int, error) {
	z := &Comparison{}
	all := true // whether the list tells where each is
	for i, file := range files {
		x := unanswered(file, "")
		x.Locate(list)
		z.Stations, z.at = append(z.Stations, x), append(z.at, i)
		all = all && !math.IsNaN(x.Latitude) && !math.IsNaN(x.Longitude) && !math.IsNaN(x.Elevation)
	}
	var now []site.Condition
	for _, c := range where {
		position := slices.Contains([]string{"latitude_degrees", "longitude_degrees", "elevation_m"}, c.Column)
		if position && all || list != nil && slices.Contains(list.Columns, c.Column) {
			now = append(now, c)
		}
	}
	err := z.Select(now, "", false)
	return z.at, err
}

// FailedRow keeps a record that could not be answered for, and why.
func FailedRow(at int, file string, why error) *Row {
	return &Row{At: at, Station: unanswered(file, why.Error()), Rests: []string{file + ": left out: " + why.Error()}}
}

// curveRows returns the curve of one answered record for a tidy table of all, under
// its header: the sizes asked about, and the answer where it is larger.
func curveRows(x *Sizing) ([]byte, error) {
	var rows []curveRow
	cells, main := x.Result.Cells, x.Result.Main.Cell
	own := x.ownCells()
	if last := own[len(own)-1]; main.Tank > last.Tank { // the answer lies beyond the sizes asked about
		at := slices.IndexFunc(cells, func(c sim.Cell) bool { return c.Area == last.Area && c.Tank == last.Tank })
		if at < 0 { // the site's own roofs are none of those asked about
			at = len(cells) - 1
		}
		cells = slices.Insert(slices.Clone(cells), at+1, main)
	}
	for _, c := range cells {
		rows = append(rows, curveRow{x.Record.File, x.Record.Station, c})
	}
	return codec.Rows(rows)
}

type curveRow struct {
	File    string `key:"file"`
	Station string `key:"station"`
	sim.Cell
}

// CurvesHeader is the first line of curves.csv.
func CurvesHeader() string {
	text, _ := codec.Rows([]curveRow{{}})
	head, _, _ := strings.Cut(string(text), "\n")
	return head + "\n"
}

// provenance says what the answer under one record rests on and what must be minded
// of it, in lines.
func (z *Sizing) provenance() []string {
	out := []string{z.Record.File + ": " + z.basis()}
	for _, text := range words.Ordered(z.told(z.Units, false), words.InJSON) {
		out = append(out, "  Mind: "+text+".")
	}
	return out
}

// minds counts what must be minded.
func (z *Sizing) minds() int { return len(words.Ordered(z.told(units.SI, false), words.InJSON)) }
