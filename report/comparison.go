package report

import (
	"bytes"
	"encoding/json"
	"fmt"

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
