package read

import (
	"fmt"
	"regexp"
	"strings"

	"tankodds/rainfall"
)

// openMeteo reads a daily file of the Open-Meteo archive: three lines of
// metadata (names, values, blank), then a table whose column names carry
// their units, millimetres or inches. NaN is missing; the last row often is.
// It is a modelled grid, not a gauge.
//
// precipitation_sum (rain and the water of snow) is taken; rain_sum alone
// only where there is nothing better, with a warning. The names of the columns
// of temperatures carry their units too.
func openMeteo() format {
	return delimited{
		name: "Open-Meteo daily (modelled)",
		known: func(in *input) bool {
			return in.findHeader(1, func(c []string) bool {
				return hasCells(c, "latitude", "longitude", "elevation", "utc_offset_seconds")
			}).line > 0
		},
		noHeader: "no table with the columns time and precipitation_sum", hint: "order the daily variable precipitation_sum",
		within: 100, titled: true,
		header: func(c []string) bool {
			all := strings.Join(c, " ")
			return hasCells(c, "time") && (strings.Contains(all, "precipitation_sum") || strings.Contains(all, "rain_sum"))
		},
		keep: func(name string) bool {
			return equalsAny(name, []string{"time", "location_id"}) || openMeteoRain.MatchString(name)
		},
		thermal: openMeteoHeat.MatchString,
		station: []string{"location_id"},
		read:    readOpenMeteo,
	}.format()
}

var (
	openMeteoRain = regexp.MustCompile(`^(precipitation_sum|rain_sum)(_\w+)? \(([^()]+)\)$`)
	openMeteoHeat = regexp.MustCompile(`^temperature_2m_(max|min)(_\w+)? \(([^()]+)\)$`)
)

func readOpenMeteo(t *table) *rainfall.Record {
	in := t.in
	rain, u := t.openMeteoColumn()
	r := t.record(rain, []int{t.find("time")}, func(i int, amount string) (float64, rainfall.Mark) {
		if strings.EqualFold(amount, "nan") {
			amount = ""
		}
		return u.inMM(t.number(i, amount, "precipitation")), 0
	})
	if c := splitCells(in.line(2), in.findHeader(1, func([]string) bool { return true }).comma); t.id == "" && len(c) > 1 {
		r.Place = "grid cell at " + c[0] + ", " + c[1]
	}
	r.Unit = u.name
	r.Position = t.openMeteoPosition()
	if in.opt.Temperatures {
		t.temperatures(r, t.openMeteoThermometer("max", rain), t.openMeteoThermometer("min", rain))
	}
	modelled(r, "Open-Meteo")
	if strings.HasPrefix(t.header[rain], "rain_sum") {
		tell(r, "rain-only", 0)
	}
	return r
}

// openMeteoColumn finds the precipitation column and its unit. A file of
// several models has several; the caller then chooses.
func (t *table) openMeteoColumn() (column int, u unit) {
	t.in.heed("column")
	var found []int
	for _, sum := range []string{"precipitation_sum", "rain_sum"} {
		for i, h := range t.header {
			m := openMeteoRain.FindStringSubmatch(h)
			if m != nil && m[1] == sum && (t.in.opt.Column == "" || strings.EqualFold(t.in.opt.Column, h) || t.in.opt.Column == m[1]+m[2]) {
				found = append(found, i)
			}
		}
		if len(found) > 0 {
			break
		}
	}
	switch {
	case len(found) == 0:
		t.in.fail(t.heading.line, "no column precipitation_sum with its unit, mm or inch", "order the daily variable precipitation_sum")
	case len(found) > 1:
		t.in.fail(t.heading.line, fmt.Sprintf("several columns of precipitation: %s, %s", t.header[found[0]], t.header[found[1]]), "order one model, or choose with --column")
	}
	name := openMeteoRain.FindStringSubmatch(t.header[found[0]])[3]
	u, ok := parseUnit(name)
	if !ok {
		t.in.fail(t.heading.line, fmt.Sprintf("precipitation is in %q, not mm or inch", name), "order the file in mm")
	}
	return found[0], u
}

// openMeteoPosition reads the head: a header, and a line for each location.
func (t *table) openMeteoPosition() rainfall.Position {
	h := t.in.findHeader(1, func([]string) bool { return true })
	id := firstOf(h.cells, []string{"location_id"}, strings.EqualFold)
	p := newPlacer(h.cells)
	for n := 2; n < t.heading.line; n++ {
		c := splitCells(t.in.line(n), h.comma)
		if len(c) >= len(h.cells) && (id < 0 || c[id] == t.id) {
			p.see(c)
			break
		}
	}
	return p.position()
}

// openMeteoThermometer finds the highest or lowest temperature of the model
// whose rain was taken, and else of the one that names none.
func (t *table) openMeteoThermometer(which string, rain int) thermometer {
	model := openMeteoRain.FindStringSubmatch(t.header[rain])[2]
	found := thermometer{column: -1}
	for i, h := range t.header {
		m := openMeteoHeat.FindStringSubmatch(h)
		if m == nil || m[1] != which || m[2] != model && (m[2] != "" || found.column >= 0) {
			continue
		}
		u, ok := parseDegrees(m[3])
		if !ok {
			t.in.fail(t.heading.line, fmt.Sprintf("column %q is in %q, not °C or °F", clipped(h), m[3]), "order the file in °C")
		}
		found.column, found.unit = i, u
		if m[2] == model {
			break
		}
	}
	return found
}
