package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/rainfall"
)

// The names of a plain file's columns of temperatures, letter case, signs and
// the unit aside, and of its latitude.
var (
	maxNames      = []string{"tmax", "tempmax", "maxtemp", "temperaturemax", "maxtemperature", "maximumtemperature", "tmaximum", "maxairtemperature", "tx", "temperature2mmax"}
	minNames      = []string{"tmin", "tempmin", "mintemp", "temperaturemin", "mintemperature", "minimumtemperature", "tminimum", "minairtemperature", "tn", "temperature2mmin"}
	latitudeNames = []string{"latitude", "lat"}
)

// findHeat finds the columns of temperatures and of the latitude.
func (p *plainTable) findHeat() {
	c := &p.cols
	c.max.column, c.min.column, c.lat = -1, -1, -1
	if !p.in.opt.Temperatures {
		return
	}
	for i, h := range p.header {
		if slices.Contains(c.dates, i) || i == p.station || i == c.rain {
			continue
		}
		name, unit := parseHeatName(h)
		for _, x := range []struct {
			at    *thermometer
			names []string
		}{{&c.max, maxNames}, {&c.min, minNames}} {
			if slices.Contains(x.names, name) && x.at.column < 0 {
				*x.at = thermometer{column: i, unit: unit}
			}
		}
	}
	c.lat = findName(p.header, latitudeNames)
}

// parseHeatName parts a column's name from the unit that it ends in, the zero
// unit where it states none: "Tmax (°C)", "temp_max_f", "tmaxC".
func parseHeatName(name string) (bareName string, unit degrees) {
	s := strings.TrimRight(strings.TrimSpace(name), ")] ")
	for at := range s { // the longest end that is a unit
		if strings.ContainsRune("([_ ,-", rune(s[at])) && at > 0 {
			if u, ok := parseDegrees(strings.Trim(s[at+1:], "([")); ok {
				return bare(s[:at]), u
			}
		}
	}
	b := bare(name)
	for _, u := range []struct {
		end string
		degrees
	}{{"degc", celsius}, {"degf", fahrenheit}, {"c", celsius}, {"f", fahrenheit}, {"k", kelvin}} {
		if head, ok := strings.CutSuffix(b, u.end); ok && (slices.Contains(maxNames, head) || slices.Contains(minNames, head)) {
			return head, u.degrees
		}
	}
	return b, degrees{}
}

// heat reads the temperatures and the latitude into the record.
func (p *plainTable) heat(r *rainfall.Record) {
	if !p.in.opt.Temperatures {
		return
	}
	max, min := p.cols.max, p.cols.min
	if max.column >= 0 || min.column >= 0 {
		unit := cmp.Or(max.unit, min.unit)
		if unit == (degrees{}) {
			unit = p.guessDegrees()
		}
		max.unit, min.unit = cmp.Or(max.unit, unit), cmp.Or(min.unit, unit)
		p.temperatures(r, max, min)
	}
}

// The warmest days tell the unit of a year's highest temperatures: the 99th
// hundredth of them is above hottest only in degrees Fahrenheit, and below
// mildest only in degrees Celsius but at stations in the ice, which gather no
// rain. Between the two it may be either. Common practice, no source.
const mildest = 50

func (p *plainTable) guessDegrees() degrees {
	at := p.cols.max.column
	var seen []float64
	if at >= 0 {
		for _, x := range numbersOf(p.amounts(at)) {
			if math.Abs(x) < 150 { // and no code
				seen = append(seen, x)
			}
		}
	}
	if len(seen) >= 360 {
		slices.Sort(seen)
		switch warm := seen[len(seen)*99/100]; {
		case warm > hottest:
			return fahrenheit
		case warm < mildest:
			return celsius
		}
	}
	if at < 0 {
		at = p.cols.min.column
	}
	p.in.fail(p.heading.line, fmt.Sprintf("the unit of the temperatures in column %q is not stated", clipped(p.header[at])), "write it behind the names, as in tmax_c and tmin_c, or tmax_f and tmin_f")
	return degrees{}
}
