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
// is less than 0.05 mm, a trace; blank is missing. TX and TN are in tenths of
// a degree Celsius.
func knmi() format {
	return delimited{
		name: "KNMI daily values (etmgeg)", within: 300, titled: true,
		header: func(c []string) bool {
			return len(c) > 1 && strings.TrimLeft(c[0], "# ") == "STN" && c[1] == "YYYYMMDD"
		},
		keep:    among("# STN", "#STN", "STN", "YYYYMMDD", "RH"),
		thermal: among("TX", "TN"),
		station: []string{"# STN", "#STN", "STN"},
		read:    readKNMI,
	}.format()
}

// knmiPlace is a line of the head that names a station, where there is one:
// number, longitude, latitude, altitude, name.
var knmiPlace = regexp.MustCompile(`^#? *(\d{3}):?\s+([-\d.]+)\s+([-\d.]+)\s+([-\d.]+)\s+(\S.*?)\s*$`)

func readKNMI(t *table) *rainfall.Record {
	if t.find("HH", "H") >= 0 {
		t.in.fail(t.heading.line, "the values are of hours, not days", "download the daily values, etmgeg")
	}
	rh := t.need("RH is the daily precipitation amount; download the daily values, etmgeg", "RH")
	r := t.record(rh, []int{t.find("YYYYMMDD")}, func(i int, amount string) (float64, rainfall.Mark) {
		if amount == "" {
			return math.NaN(), 0
		}
		v := t.tenths(i, amount, "RH")
		if v == -1 {
			return 0, rainfall.Trace
		}
		return v / 10, 0
	})
	for _, s := range t.above() { // a line for each station
		if m := knmiPlace.FindStringSubmatch(s); m != nil && m[1] == t.id {
			r.Place = m[5]
			r.Position = rainfall.Position{Latitude: latitude(m[3]), Longitude: longitude(m[2]), Elevation: elevation(m[4])}
		}
	}
	t.temperatures(r, thermometer{column: t.find("TX"), unit: tenthCelsius}, thermometer{column: t.find("TN"), unit: tenthCelsius})
	r.Unit = "0.1 mm"
	return r
}
