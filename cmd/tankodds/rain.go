package main

import (
	"io"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/report/site"
)

// disk is where the records of a command are read from.
type disk struct{ stdin io.Reader }

// Record reads a file, or standard input as -.
func (d disk) Record(file string, o read.Options) (*rainfall.Record, error) {
	if file == "-" {
		return read.From("-", d.stdin, o)
	}
	return read.File(file, o)
}

// Demo reads the invented record.
func (disk) Demo(o read.Options) (*rainfall.Record, error) {
	rec, err := read.Bytes(demoRainName, demoCSV, o)
	if err == nil {
		rec.Place = demoName
	}
	return rec, err
}

// series reads the record and fills it.
func (c *call) series(s site.Source, when site.Fullest) (*rainfall.Summary, *rainfall.Series, error) {
	return s.Series(disk{c.stdin}, when)
}

// usable is series for a record that must have a usable year.
func (c *call) usable(s site.Source, when site.Fullest) (*rainfall.Summary, *rainfall.Series, error) {
	return s.Usable(disk{c.stdin}, when)
}

// sources lists the records named, the invented one first where it is asked
// for.
func (c *call) sources() ([]site.Source, error) {
	var out []site.Source
	if c.plan.Record.Embedded {
		out = append(out, c.plan.Record)
	}
	stdin := 0
	for _, file := range c.args {
		s := c.plan.Record
		s.Embedded, s.File = false, file
		out = append(out, s)
		if file == "-" {
			stdin++
		}
	}
	switch {
	case len(out) == 0:
		return nil, misuse("name its file, or give --demo for an invented one", "no rain record is named")
	case stdin > 1:
		return nil, misuse("name - once", "standard input can be read only once")
	}
	return out, nil
}
