package read

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"tankodds/rainfall"
)

// nasaPower reads a daily point file of NASA POWER: a head from -BEGIN
// HEADER- to -END HEADER-, then YEAR,MO,DY or YEAR,DOY and the parameters.
// PRECTOTCORR is in mm a day, −999 missing. It is a modelled grid, not a
// gauge; its elevation is the mean of a cell. T2M_MAX and T2M_MIN are in the unit that the head states.
func nasaPower() format {
	return delimited{
		name:     "NASA POWER daily point (modelled)",
		known:    func(in *input) bool { return trimmed(in.line(1)) == "-BEGIN HEADER-" },
		noHeader: "the head has no table with a column YEAR after it", hint: "download the file again",
		within: 300, titled: true,
		header:  func(c []string) bool { return len(c) > 2 && equalsAny("YEAR", c) },
		keep:    among("YEAR", "MO", "DY", "DOY", "PRECTOTCORR"),
		thermal: among("T2M_MAX", "T2M_MIN"),
		read:    readNASA,
	}.format()
}

var (
	nasaPlace  = regexp.MustCompile(`(?i)^location: *latitude +(-?[\d.]+) +longitude +(-?[\d.]+)`)
	nasaHeight = regexp.MustCompile(`(?i)^elevation from .*= *(-?[\d.]+) *meters$`)
	nasaHeat   = regexp.MustCompile(`^(T2M_MAX|T2M_MIN)\s.*\(([^()]*)\)\s*$`)
	nasaUnit   = regexp.MustCompile(`^PRECTOTCORR\s.*\(([^()]*)\)\s*$`)
)

func readNASA(t *table) *rainfall.Record {
	in, place, where := t.in, "", rainfall.Nowhere()
	heat := map[string]degrees{"T2M_MAX": celsius, "T2M_MIN": celsius}
	for i, s := range t.above() {
		s = trimmed(s)
		if m := nasaPlace.FindStringSubmatch(s); m != nil {
			place = "grid cell at " + m[1] + ", " + m[2]
			where.Latitude, where.Longitude = latitude(m[1]), longitude(m[2])
		}
		if m := nasaHeight.FindStringSubmatch(s); m != nil {
			where.Elevation = elevation(m[1])
		}
		if m := nasaHeat.FindStringSubmatch(s); m != nil && in.opt.Temperatures {
			u, ok := parseDegrees(m[2])
			if !ok {
				in.fail(i+1, fmt.Sprintf("%s is in %s, not C", m[1], m[2]), "order the file in SI units")
			}
			heat[m[1]] = u
		}
		if m := nasaUnit.FindStringSubmatch(s); m != nil && !strings.HasPrefix(m[1], "mm") {
			in.fail(i+1, fmt.Sprintf("PRECTOTCORR is in %s, not mm/day", m[1]), "order the file in SI units")
		}
	}
	rain := t.need("order the parameter PRECTOTCORR", "PRECTOTCORR")
	y, m, d, doy := t.find("YEAR"), t.find("MO"), t.find("DY"), t.find("DOY")
	date := []int{y, m, d}
	if m < 0 || d < 0 {
		date = []int{y, doy}
	}
	switch {
	case t.find("HR") >= 0:
		in.fail(t.heading.line, "the values are of hours, not days", "order the daily values")
	case slices.Contains(date, -1):
		in.fail(t.heading.line, "no columns YEAR, MO, DY or YEAR, DOY", "order the daily values")
	}
	r := t.record(rain, date, func(i int, amount string) (float64, rainfall.Mark) {
		mm := in.number(t.line[i], amount, "PRECTOTCORR")
		if mm == -999 {
			mm = math.NaN()
		}
		return mm, 0
	})
	r.Place, r.Unit, r.Position = place, "mm", where
	t.temperatures(r, thermometer{column: t.find("T2M_MAX"), unit: heat["T2M_MAX"]}, thermometer{column: t.find("T2M_MIN"), unit: heat["T2M_MIN"]})
	modelled(r, "NASA POWER")
	return r
}
