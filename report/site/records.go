package site

import (
	"errors"
	"fmt"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/report/units"
)

// Files are the records that a plan can name: those on a disk, or what somebody
// handed over.
type Files interface {
	// Record reads a record by the name that the plan gives it.
	Record(file string, o read.Options) (*rainfall.Record, error)
	// Demo reads the invented record that the program carries.
	Demo(o read.Options) (*rainfall.Record, error)
}

// Read reads the whole record asked for, whatever Since says.
func (s Source) Read(from Files) (*rainfall.Record, error) {
	s.Options.Temperatures = s.Weather
	if s.Embedded {
		return from.Demo(read.Options{Temperatures: s.Weather})
	}
	return from.Record(s.File, s.Options)
}

// Fullest tells when stores are fullest over a record; nil for none.
type Fullest func(*rainfall.Record) (time.Month, bool)

// Series reads the record and fills it.
func (s Source) Series(from Files, when Fullest) (*rainfall.Summary, *rainfall.Series, error) {
	rec, err := s.Read(from)
	if err != nil {
		return nil, nil, err
	}
	return s.Fill(from, rec, when)
}

// Usable is Series for a record that must have a usable year.
func (s Source) Usable(from Files, when Fullest) (*rainfall.Summary, *rainfall.Series, error) {
	rec, series, err := s.Series(from, when)
	if err == nil && series.Years.Len() == 0 {
		err = NoUsableYear(rec)
	}
	return rec, series, err
}

// NoUsableYear says that a record has none.
func NoUsableYear(rec *rainfall.Summary) error {
	return &read.Error{
		File: rec.File,
		Text: "no usable water year: a year counts if no month of it misses 11 days, or 5 in a row",
		Hint: "tankodds record shows what is missing; another --water-year may save a year",
	}
}

// Fill cuts a record to what is used of it, fills its usable years, which begin
// when a site's stores are fullest unless another month is asked for, and says
// what is known of it.
func (s Source) Fill(from Files, rec *rainfall.Record, when Fullest) (_ *rainfall.Summary, _ *rainfall.Series, err error) {
	if s.Second != "" {
		if rec, err = s.filledFrom(from, rec); err != nil {
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
		if err := s.evaporation(rec); err != nil {
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
func (s Source) filledFrom(from Files, rec *rainfall.Record) (*rainfall.Record, error) {
	second, err := from.Record(s.Second, read.Options{})
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
func (s Source) evaporation(rec *rainfall.Record) (err error) {
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
