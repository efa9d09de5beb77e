package main

import (
	"cmp"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

// rainOptions says which record to read and how.
type rainOptions struct {
	read.Options
	file      string     // "-" is standard input; "" with demo
	demo      bool       // the embedded record
	waterYear time.Month // 0 for the month after the driest half-year
	since     int        // the first calendar year used; 0 for all
}

// read reads the whole record, whatever since says.
func (r rainOptions) read(stdin io.Reader) (*rainfall.Record, error) {
	switch {
	case r.demo:
		rec, err := read.Bytes(demoRainName, demoCSV, read.Options{})
		if err == nil {
			rec.Place = demoName
		}
		return rec, err
	case r.file == "-":
		return read.From("-", stdin, r.Options)
	}
	return read.File(r.file, r.Options)
}

// replace takes another record. What the site file says of how to read its
// own is not carried over.
func (r *rainOptions) replace(file string) {
	*r = rainOptions{file: file, waterYear: r.waterYear, since: r.since}
}

// readOptions applies the flags about reading to r; for commands that take
// their records as arguments.
func (o *options) readOptions(r *rainOptions) (err error) {
	r.Unit = cmp.Or(o.unit, r.Unit)
	r.Station = cmp.Or(o.station, r.Station)
	r.Column = cmp.Or(o.column, r.Column)
	r.Columns = cmp.Or(o.columns, r.Columns)
	r.Dates = cmp.Or(o.dates, r.Dates)
	r.Absent = cmp.Or(o.absent, r.Absent)
	r.Missing = cmp.Or(o.missing, r.Missing)
	if r.Unit, err = parseRainUnit(r.Unit); err != nil {
		return misuse("", "--unit: %v", err)
	}
	if err := r.Check(""); err != nil {
		return misuse(err.Hint, "%s", err.Text)
	}
	if o.waterYear != "" {
		if r.waterYear, err = parseMonth(o.waterYear); err != nil {
			return misuse("", "--water-year: %v", err)
		}
	}
	if o.given("since") {
		if r.since = o.since; o.since < 1 || o.since > 9999 {
			return misuse("", "--since %d is no year", o.since)
		}
	}
	return nil
}

// parseRainUnit reads the unit that a rain file holds; "" is the format's own.
func parseRainUnit(s string) (string, error) {
	switch u := strings.ToLower(strings.ReplaceAll(s, " ", "")); u {
	case "", "mm", "in", "0.1mm":
		return u, nil
	case "inch", "inches":
		return "in", nil
	}
	return "", fmt.Errorf("%q is none of mm, in and 0.1mm", s)
}

// beside returns a path that a file at site names, relative to its folder.
func beside(site, path string) string {
	if path == "-" || filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(filepath.Dir(site), path)
}
