package read

import (
	"fmt"
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
//
// Such a file does not say where the station stands.
func nceiPastWeather() format {
	return delimited{
		name: "NCEI past weather CSV", within: 3, titled: true,
		header: func(c []string) bool {
			return equalsAny("Date", c) && slices.ContainsFunc(c, func(h string) bool {
				return strings.HasPrefix(h, "PRCP (") || strings.Contains(h, "(Degrees Fahrenheit)") || strings.Contains(h, "(Degrees Celsius)")
			})
		},
		keep:    func(name string) bool { return strings.EqualFold(name, "Date") || strings.HasPrefix(name, "PRCP (") },
		thermal: func(name string) bool { return strings.HasPrefix(name, "TMAX (") || strings.HasPrefix(name, "TMIN (") },
		read:    readNCEIPast,
	}.format()
}

func readNCEIPast(t *table) *rainfall.Record {
	in := t.in
	at := -1
	for i, h := range t.header {
		if strings.HasPrefix(h, "PRCP (") {
			at = i
		}
	}
	if at < 0 {
		in.fail(t.heading.line, "no column PRCP: the file holds no daily rain", "download it with precipitation")
	}
	u, ok := parseUnit(strings.TrimSuffix(strings.TrimPrefix(t.header[at], "PRCP ("), ")"))
	if !ok {
		in.fail(t.heading.line, fmt.Sprintf("the unit of column %q is not known here", t.header[at]), "write PRCP (Inches) or PRCP (mm)")
	}
	r := t.record(at, []int{t.find("Date")}, func(i int, amount string) (float64, rainfall.Mark) {
		switch {
		case strings.EqualFold(amount, "T"):
			return 0, rainfall.Trace
		case amount == "M":
			amount = ""
		}
		return u.inMM(t.number(i, amount, "PRCP")), 0
	})
	r.Unit = u.name
	if in.opt.Temperatures {
		t.temperatures(r, t.pastThermometer("TMAX ("), t.pastThermometer("TMIN ("))
	}
	if above := t.above(); len(above) > 0 {
		r.Place, r.Station = nceiTitle(above[0])
	}
	return r
}

// pastThermometer finds a column of temperatures, whose name states its unit.
func (t *table) pastThermometer(name string) thermometer {
	at := slices.IndexFunc(t.header, func(h string) bool { return strings.HasPrefix(h, name) })
	if at < 0 {
		return thermometer{column: -1}
	}
	u, ok := parseDegrees(strings.TrimSuffix(t.header[at][len(name):], ")"))
	if !ok {
		t.in.fail(t.heading.line, fmt.Sprintf("the unit of column %q is not known here", clipped(t.header[at])), "write "+name+"Degrees Fahrenheit) or "+name+"Degrees Celsius)")
	}
	return thermometer{column: at, unit: u}
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
