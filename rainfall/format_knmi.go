package rainfall

import (
	"math"
	"regexp"
	"strings"
)

// knmi reads the Dutch weather service's daily values (etmgeg and the files
// of the same make): about fifty lines of head, a header that begins # STN,
// padded cells. RH is the day's precipitation in tenths of a millimetre; −1
// is less than 0.05 mm, a trace; blank is missing.
func knmi() format {
	return format{"KNMI daily values (etmgeg)", func(in *input) bool { return knmiHeader(in) > 0 }, readKNMI}
}

func knmiHeader(in *input) int {
	return in.headerLine(300, ",", func(c []string) bool {
		return strings.TrimLeft(c[0], "# ") == "STN" && len(c) > 1 && c[1] == "YYYYMMDD"
	})
}

// knmiPlace is a line of the head that names a station, where there is one:
// number, longitude, latitude, altitude, name.
var knmiPlace = regexp.MustCompile(`^#? *(\d{3}):?\s+[-\d.]+\s+[-\d.]+\s+[-\d.]+\s+(\S.*?)\s*$`)

func readKNMI(in *input) (*Record, error) {
	head := knmiHeader(in)
	t, err := in.table(head, ',', false, "# STN", "STN", "YYYYMMDD", "RH")
	if err != nil {
		return nil, err
	}
	if t.find("HH", "H") >= 0 {
		return nil, in.fail(head, "the values are of hours, not days", "download the daily values, etmgeg")
	}
	rh, err := t.need(head, "RH is the daily precipitation amount; download the daily values, etmgeg", "RH")
	if err != nil {
		return nil, err
	}
	date, amount := t.column(1), t.column(rh)
	rows, station, err := t.rowsOf(0)
	if err != nil {
		return nil, err
	}
	b := &builder{in: in}
	for _, i := range rows {
		line := t.line[i]
		d, err := in.ymd(line, date[i])
		if err != nil {
			return nil, err
		}
		mm, mark := math.NaN(), Mark(0)
		if amount[i] != "" {
			v, err := in.number(line, amount[i], "RH")
			if err != nil {
				return nil, err
			}
			if mm = v / 10; v == -1 {
				mm, mark = 0, Trace
			}
		}
		if err := b.add(line, d, mm, mark); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	for _, s := range in.lines[:head-1] {
		if m := knmiPlace.FindStringSubmatch(s); m != nil && m[1] == station {
			r.Place = m[2]
		}
	}
	r.Station, r.Unit = station, "0.1 mm"
	return r, nil
}
