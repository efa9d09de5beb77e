package rainfall

import (
	"fmt"
	"math"
	"strings"
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
	return format{"NCEI past weather CSV", sniffNCEIPast, readNCEIPast}
}

// nceiPastHeader returns the line of the header, 0 where there is none.
func nceiPastHeader(in *input) int {
	for n := 1; n <= 3; n++ {
		s := strings.ReplaceAll(in.line(n), `"`, "")
		if strings.HasPrefix(s, "Date,") && (strings.Contains(s, ",PRCP (") || n > 1 && strings.Contains(s, " (Degrees ")) {
			return n
		}
	}
	return 0
}

func sniffNCEIPast(in *input) bool { return nceiPastHeader(in) > 0 }

func readNCEIPast(in *input) (*Record, error) {
	header := nceiPastHeader(in)
	t, err := in.table(header, ',', false)
	if err != nil {
		return nil, err
	}
	at := -1
	for i, h := range t.header {
		if strings.HasPrefix(h, "PRCP (") {
			at = i
		}
	}
	if at < 0 {
		return nil, in.fail(header, "no column PRCP: the file holds no daily rain", "download it with precipitation")
	}
	u, ok := parseUnit(strings.TrimSuffix(strings.TrimPrefix(t.header[at], "PRCP ("), ")"))
	if !ok {
		return nil, in.fail(header, fmt.Sprintf("the unit of column %q is not known here", t.header[at]), "write PRCP (Inches) or PRCP (mm)")
	}
	b := &builder{in: in}
	date, rain := t.column(0), t.column(at)
	for k, line := range t.line {
		day, err := in.iso(line, date[k])
		if err != nil {
			return nil, err
		}
		mm, mark := math.NaN(), Mark(0)
		switch c := rain[k]; {
		case c == "" || c == "M":
		case strings.EqualFold(c, "T"):
			mm, mark = 0, Trace
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
	if header > 1 {
		r.Place, r.Station = nceiTitle(in.line(1))
	}
	return r, nil
}

// nceiTitle splits "PHOENIX AIRPORT, AZ US (USW00023183)" into the place and
// the station.
func nceiTitle(s string) (place, station string) {
	s = strings.Trim(strings.TrimSpace(s), `",`)
	if at := strings.LastIndex(s, " ("); at >= 0 && strings.HasSuffix(s, ")") {
		return s[:at], s[at+2 : len(s)-1]
	}
	return s, ""
}
