package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"tankodds/report/codec"
	"tankodds/report/units"
)

// Comparison is the same site under several records, ready to be shown. The
// order is the one the records were given in.
type Comparison struct {
	Version string
	Title   string // of the site, "" where it has none
	Sizings []*Sizing
	Units   units.System
}

// Text prints one table and what it rests on, at most 80 columns.
func (z *Comparison) Text(w io.Writer) {
	p := &prose{w}
	s := z.Sizings[0].Result.Study
	if z.Title != "" {
		p.line("%s", z.Title)
	}
	p.para("%s", siteLine(z.Sizings[0].Result.Study, z.Sizings[0].Units))
	p.para("target: %s", goalWords(s))
	p.gap()
	var depths, sizes []float64
	for _, x := range z.Sizings {
		depths = append(depths, x.Record.MeanAnnual)
		a := x.Result.Main
		sizes = append(sizes, a.Tank, a.High, a.Safe)
	}
	depth, size := z.Units.DepthColumn(depths...), z.Units.VolumeColumn(sizes...)
	t := &textTable{left: true, header: [][]string{
		{"record", "usable", "rain", "tank for", "", "safe", "stops"},
		{"", "years", depth.Unit + "/yr", "target " + size.Unit, "band", size.Unit, "paying"},
	}}
	for i, x := range z.Sizings {
		r := x.Result
		stop := math.NaN()
		if len(r.Stops) > 0 {
			stop = r.Stops[0].Tank
		}
		t.rows = append(t.rows, []string{
			clip(x.Record.Name(), 22), fmt.Sprint(r.Usable), depth.Cell(depths[i]),
			size.Cell(r.Main.Tank), bandCell(size, r.Main.Low, r.Main.High), size.Cell(r.Main.Safe), size.Cell(stop),
		})
	}
	t.print(p)
	p.para("– where no size in the range is enough; %s.", sizeBandWords(s))
	p.gap()
	for _, x := range z.Sizings {
		p.para("%s: %s", x.Record.Name(), x.basis())
		p.mind(x.told(x.Units, true))
	}
	p.para("%s", shortCaution)
}

// clip shortens a name to n characters.
func clip(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "…"
}

// CSV returns every curve as one tidy table: a row a record and cell.
func (z *Comparison) CSV() ([]byte, error) {
	var b bytes.Buffer
	w := codec.NewCSV(&b)
	w.Write(append([]string{"record", "file", "sha256", "usable_years", "mean_annual_mm"}, curveColumns...))
	for _, x := range z.Sizings {
		head := []string{x.Record.Name(), x.Record.File, x.Record.SHA256, fmt.Sprint(x.Result.Usable), codec.Exact(x.Record.MeanAnnual)}
		for _, c := range x.Result.Cells {
			w.Write(append(append([]string(nil), head...), curveRow(c)...))
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// JSON returns one object of the schema tankodds/compare/1 that holds a size
// object for each record.
func (z *Comparison) JSON() ([]byte, error) {
	var sizes []json.RawMessage
	for _, x := range z.Sizings {
		b, err := x.JSON()
		if err != nil {
			return nil, err
		}
		sizes = append(sizes, b)
	}
	return marshal(struct {
		Schema  string            `json:"schema"`
		Version string            `json:"version"`
		Title   string            `json:"title"`
		Sizes   []json.RawMessage `json:"sizes"`
	}{"tankodds/compare/1", z.Version, z.Title, sizes})
}
