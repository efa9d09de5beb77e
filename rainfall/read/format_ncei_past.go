package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/rainfall"
)

// nceiPastWeather reads a past-weather download of NOAA NCEI: a quoted title
// line that names the station, then a header of which each column states its
// unit, as in
//
//	"PHOENIX AIRPORT, AZ US (USW00023183)"
//	Date,TMAX (Degrees Fahrenheit),PRCP (Inches)
//
// A blank is missing; T is a trace.
func nceiPastWeather() format {
	return delimited{
		name: "NCEI past weather CSV", within: 3, titled: true,
		header: func(c []string) bool {
			return equalsAny("Date", c) && slices.ContainsFunc(c, func(h string) bool {
				return strings.HasPrefix(h, "PRCP (") || strings.Contains(h, "(Degrees Fahrenheit)") || strings.Contains(h, "(Degrees Celsius)")
			})
		},
		keep: func(name string) bool { return strings.EqualFold(name, "Date") || strings.HasPrefix(name, "PRCP (") },
		read: readNCEIPast,
	}.format()
}

func readNCEIPast(t *table) (*rainfall.Record, error) {
	in := t.in
	at := -1
	for i, h := range t.header {
		if strings.HasPrefix(h, "PRCP (") {
			at = i
		}
	}
	if at < 0 {
		return nil, in.fail(t.heading.line, "no column PRCP: the file holds no daily rain", "download it with precipitation")
	}
	u, ok := parseUnit(strings.TrimSuffix(strings.TrimPrefix(t.header[at], "PRCP ("), ")"))
	if !ok {
		return nil, in.fail(t.heading.line, fmt.Sprintf("the unit of column %q is not known here", t.header[at]), "write PRCP (Inches) or PRCP (mm)")
	}
	days, err := t.days(t.find("Date"))
	if err != nil {
		return nil, err
	}
	rain, err := t.amounts(at)
	if err != nil {
		return nil, err
	}
	b := &builder{in: in}
	for k, day := range days {
		line := t.line[k]
		mm, mark := math.NaN(), rainfall.Mark(0)
		switch c := rain[k]; {
		case c == "" || c == "M":
		case strings.EqualFold(c, "T"):
			mm, mark = 0, rainfall.Trace
		default:
			x, err := in.number(line, c, "PRCP")
			if err != nil {
				return nil, err
			}
			mm = u.inMM(x)
		}
		if err := b.add(line, day, mm, mark); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	r.Unit = u.name
	if above := t.above(); len(above) > 0 {
		r.Place, r.Station = nceiTitle(above[0])
	}
	return r, nil
}

// nceiTitle splits "PHOENIX AIRPORT, AZ US (USW00023183)" into the place and
// the station.
func nceiTitle(s string) (place, station string) {
	s = trimmed(s)
	if at := strings.LastIndex(s, " ("); at >= 0 && strings.HasSuffix(s, ")") {
		return s[:at], s[at+2 : len(s)-1]
	}
	return s, ""
}
