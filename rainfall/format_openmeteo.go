package rainfall

import (
	"fmt"
	"math"
	"regexp"
	"strings"
)

// openMeteo reads a daily file of the Open-Meteo archive: three lines of
// metadata (names, values, blank), then a table whose column names carry
// their units, millimetres or inches. NaN is missing; the last row often is.
// It is a modelled grid, not a gauge.
//
// precipitation_sum (rain and the water of snow) is taken; rain_sum alone
// only where there is nothing better, with a warning.
func openMeteo() format {
	return format{"Open-Meteo daily (modelled)", sniffOpenMeteo, readOpenMeteo}
}

func sniffOpenMeteo(in *input) bool {
	return hasCells(splitCells(in.line(1), ","), "latitude", "longitude", "elevation", "utc_offset_seconds")
}

var openMeteoRain = regexp.MustCompile(`^(precipitation_sum|rain_sum)(_\w+)? \(([^()]+)\)$`)

func readOpenMeteo(in *input) (*Record, error) {
	head := in.headerLine(100, ",", func(c []string) bool {
		return hasCells(c, "time") && (strings.Contains(strings.Join(c, ","), "precipitation_sum") || strings.Contains(strings.Join(c, ","), "rain_sum"))
	})
	if head == 0 {
		return nil, in.fail(0, "no table with the columns time and precipitation_sum", "order the daily variable precipitation_sum")
	}
	t, err := in.table(head, ',', false)
	if err != nil {
		return nil, err
	}
	rain, unit, err := t.openMeteoColumn(head)
	if err != nil {
		return nil, err
	}
	scale := 1.0
	if unit == "in" {
		scale = 25.4
	}
	rows, station, err := t.rowsOf(t.find("location_id"))
	if err != nil {
		return nil, err
	}
	date, amount := t.column(t.find("time")), t.column(rain)
	b := &builder{in: in}
	for _, i := range rows {
		line := t.line[i]
		d, err := in.iso(line, date[i])
		if err != nil {
			return nil, err
		}
		mm := math.NaN()
		if amount[i] != "" && !strings.EqualFold(amount[i], "nan") {
			v, err := in.number(line, amount[i], "precipitation")
			if err != nil {
				return nil, err
			}
			mm = v * scale
		}
		if err := b.add(line, d, mm, 0); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	if c := splitCells(in.line(2), ","); station == "" && len(c) > 1 {
		r.Place = "grid cell at " + c[0] + ", " + c[1]
	}
	r.Station, r.Unit = station, unit
	r.modelled("Open-Meteo")
	if strings.HasPrefix(t.header[rain], "rain_sum") {
		r.warn("rain-only", "the file has rain_sum and no precipitation_sum: snow is left out")
	}
	return r, nil
}

// openMeteoColumn finds the precipitation column and its unit. A file of
// several models has several; the caller then chooses.
func (t *table) openMeteoColumn(head int) (column int, unit string, err error) {
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
		return 0, "", t.in.fail(head, "no column precipitation_sum with its unit, mm or inch", "order the daily variable precipitation_sum")
	case len(found) > 1:
		return 0, "", t.in.fail(head, fmt.Sprintf("several columns of precipitation: %s, %s", t.header[found[0]], t.header[found[1]]), "order one model, or choose with --column")
	}
	switch u := openMeteoRain.FindStringSubmatch(t.header[found[0]])[3]; u {
	case "mm":
		return found[0], "mm", nil
	case "inch":
		return found[0], "in", nil
	default:
		return 0, "", t.in.fail(head, fmt.Sprintf("precipitation is in %q, not mm or inch", u), "order the file in mm")
	}
}
