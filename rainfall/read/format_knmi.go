package read

import (
	"math"
	"regexp"
	"strings"

	"tankodds/rainfall"
)

// knmi reads the Dutch weather service's daily values (etmgeg and the files
// of the same make): about fifty lines of head, a header that begins # STN,
// padded cells. RH is the day's precipitation in tenths of a millimetre; −1
// is less than 0.05 mm, a trace; blank is missing.
func knmi() format {
	return delimited{
		name: "KNMI daily values (etmgeg)", within: 300, titled: true,
		header: func(c []string) bool {
			return len(c) > 1 && strings.TrimLeft(c[0], "# ") == "STN" && c[1] == "YYYYMMDD"
		},
		keep: among("# STN", "#STN", "STN", "YYYYMMDD", "RH"), station: []string{"# STN", "#STN", "STN"},
		read: readKNMI,
	}.format()
}

// knmiPlace is a line of the head that names a station, where there is one:
// number, longitude, latitude, altitude, name.
var knmiPlace = regexp.MustCompile(`^#? *(\d{3}):?\s+[-\d.]+\s+[-\d.]+\s+[-\d.]+\s+(\S.*?)\s*$`)

func readKNMI(t *table) (*rainfall.Record, error) {
	in := t.in
	if t.find("HH", "H") >= 0 {
		return nil, in.fail(t.heading.line, "the values are of hours, not days", "download the daily values, etmgeg")
	}
	rh, err := t.need("RH is the daily precipitation amount; download the daily values, etmgeg", "RH")
	if err != nil {
		return nil, err
	}
	amount, err := t.amounts(rh)
	if err != nil {
		return nil, err
	}
	days, err := t.days(t.find("YYYYMMDD"))
	if err != nil {
		return nil, err
	}
	b := &builder{in: in}
	for i, d := range days {
		line := t.line[i]
		mm, mark := math.NaN(), rainfall.Mark(0)
		if amount[i] != "" {
			v, err := in.wholeOf(line, amount[i], "RH")
			if err != nil {
				return nil, err
			}
			if mm = v / 10; v == -1 {
				mm, mark = 0, rainfall.Trace
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
	for _, s := range t.above() {
		if m := knmiPlace.FindStringSubmatch(s); m != nil && m[1] == t.id {
			r.Place = m[2]
		}
	}
	r.Station, r.Unit = t.id, "0.1 mm"
	return r, nil
}
