package main

import (
	"errors"
	"fmt"
	"io"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/report/site"
	"tankodds/report/units"
)

// readSource reads the whole record asked for, whatever Since says.
func readSource(s site.Source, stdin io.Reader) (*rainfall.Record, error) {
	s.Options.Temperatures = s.Weather
	switch {
	case s.Embedded:
		rec, err := read.Bytes(demoRainName, demoCSV, read.Options{Temperatures: s.Weather})
		if err == nil {
			rec.Place = demoName
		}
		return rec, err
	case s.File == "-":
		return read.From("-", stdin, s.Options)
	}
	return read.File(s.File, s.Options)
}

// fullest tells when stores are fullest over a record; nil for none.
type fullest func(*rainfall.Record) (time.Month, bool)

// fill cuts a record to what is used of it, fills its usable years, which begin
// when a site's stores are fullest unless another month is asked for, and says
// what is known of it.
func fill(s site.Source, rec *rainfall.Record, when fullest) (_ *rainfall.Summary, _ *rainfall.Series, err error) {
	if s.Second != "" {
		if rec, err = filledFrom(s, rec); err != nil {
			return nil, nil, err
		}
	}
	if s.Since > 0 {
		if rec, err = read.Since(rec, s.Since); err != nil {
			return nil, nil, err
		}
	}
	if s.Scale != 0 {
		rec = rec.Scaled(s.Scale)
	}
	if s.Weather {
		if err := evaporation(s, rec); err != nil {
			return nil, nil, err
		}
	}
	start, by := s.Start(rec, when)
	series, err := rec.Fill(start)
	if err != nil {
		return nil, nil, &read.Error{File: rec.File, Text: err.Error()}
	}
	m := rainfall.Summarise(rec, series)
	m.StartBy = by
	return m, series, nil
}

// filledFrom takes the record's missing days from the second gauge.
func filledFrom(s site.Source, rec *rainfall.Record) (*rainfall.Record, error) {
	second, err := read.File(s.Second, read.Options{})
	if err != nil {
		return nil, err
	}
	if second.SHA256 == rec.SHA256 {
		return nil, &read.Error{File: s.Second, Text: "is the record itself", Hint: "a second gauge is another file; leave out fill_from"}
	}
	out, err := rec.FilledFrom(second)
	if errors.Is(err, rainfall.ErrFewCommon) {
		return nil, &read.Error{
			File: s.Second, Text: fmt.Sprintf("has fewer than %d days with rain measured at both gauges", rainfall.LeastCommon),
			Hint: "a second gauge must have stood beside the first for two years; leave out fill_from",
		}
	}
	var unlike *rainfall.Unlike
	if errors.As(err, &unlike) {
		return nil, &read.Error{
			File: s.Second, Text: fmt.Sprintf("has other rain than the record: their months go together by %.2f, and %.1f is the least", unlike.Correlation, rainfall.LeastAlike),
			Hint: "a second gauge stands near by; leave out fill_from",
		}
	}
	return out, err
}

// evaporation reckons it from the record's temperatures.
func evaporation(s site.Source, rec *rainfall.Record) (err error) {
	latitude := rec.Latitude
	if s.Latitude != nil {
		latitude = *s.Latitude
	}
	rec.ET0, _, err = rec.ReferenceET(latitude)
	var few *rainfall.FewTemperatures
	switch {
	case err == nil:
		return nil
	case errors.As(err, &few):
		return &read.Error{
			File: rec.File,
			Text: fmt.Sprintf("has temperatures on %s of its days; et0: temperatures wants %s", units.Percent(few.Share), units.Percent(rainfall.LeastTemperatures)),
			Hint: "give rain: et0: twelve monthly depths instead",
		}
	case errors.Is(err, rainfall.ErrLatitude):
		return &read.Error{File: rec.File, Text: "says no latitude, which evaporation from temperatures needs", Hint: "give it in the site file, as in rain: {latitude: 33.43}"}
	}
	return err
}

// series reads the record and fills it.
func (c *call) series(s site.Source, when fullest) (*rainfall.Summary, *rainfall.Series, error) {
	rec, err := readSource(s, c.stdin)
	if err != nil {
		return nil, nil, err
	}
	return fill(s, rec, when)
}

// usable is series for a record that must have a usable year.
func (c *call) usable(s site.Source, when fullest) (*rainfall.Summary, *rainfall.Series, error) {
	rec, series, err := c.series(s, when)
	if err == nil && series.Years.Len() == 0 {
		err = noUsableYear(rec)
	}
	return rec, series, err
}

func noUsableYear(rec *rainfall.Summary) error {
	return &read.Error{
		File: rec.File,
		Text: "no usable water year: a year counts if no month of it misses 11 days, or 5 in a row",
		Hint: "tankodds record shows what is missing; another --water-year may save a year",
	}
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
