package read

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tankodds/rainfall"
)

// The temperatures that a day may have, °C; what lies beyond is missing, as
// are the codes for it. Records are −89.2 (Vostok, 1983) and 56.7 (Death
// Valley, 1913; WMO archive of extremes, from memory, unverified).
const (
	coldest = -90
	hottest = 60
)

// degrees is a unit of temperature: °C = (x − zero)/per.
type degrees struct {
	name      string
	zero, per float64
}

var (
	celsius      = degrees{"°C", 0, 1}
	tenthCelsius = degrees{"0.1 °C", 0, 10}
	fahrenheit   = degrees{"°F", 32, 1.8}
	kelvin       = degrees{"K", 273.15, 1}
)

func (d degrees) inC(x float64) float64 { return (x - d.zero) / d.per }

// parseDegrees reads a unit of temperature, letter case aside.
func parseDegrees(s string) (degrees, bool) {
	switch strings.NewReplacer(" ", "", "°", "", "º", "", "degrees", "", "degree", "", "deg", "").Replace(strings.ToLower(s)) {
	case "c", "celsius", "centigrade":
		return celsius, true
	case "f", "fahrenheit":
		return fahrenheit, true
	case "k", "kelvin", "kelvins":
		return kelvin, true
	case "0.1c":
		return tenthCelsius, true
	}
	return degrees{}, false
}

// degreesWith returns the unit of temperatures in a file whose rain is in a
// unit: a publisher who lets people choose gives both in one system.
func degreesWith(rain unit) degrees {
	switch rain {
	case unitInch:
		return fahrenheit
	case unitTenth:
		return tenthCelsius
	}
	return celsius
}

// heat gathers the temperatures of a file's days, in any order. The zero heat
// is ready.
type heat struct{ max, min []reading }

// reading is a temperature of a day, °C.
type reading struct {
	day rainfall.Date
	c   float64
}

func (h *heat) add(in *input, line int, max bool, day rainfall.Date, c float64) {
	to := &h.min
	if max {
		to = &h.max
	}
	if *to = append(*to, reading{day, c}); len(*to) > maxValues {
		in.fail(line, fmt.Sprintf("the file has gone on for %s temperatures of one station: this is no daily record", thousands(maxValues)), "cut the daily values out of it")
	}
}

// before returns the readings of both, the receiver's first.
func (h *heat) before(o heat) heat {
	return heat{append(h.max, o.max...), append(h.min, o.min...)}
}

// into puts the readings on the days of a record. Of several on one day the
// first counts.
func (h *heat) into(in *input, r *rainfall.Record) {
	if h.max != nil || h.min != nil {
		r.Max, r.Min = onDays(in, r, h.max), onDays(in, r, h.min)
	}
}

// tooHot is the share of days above hottest from which on the file must be in
// another unit than it was read in; hotUnits is the highest that one would
// make of it: a summer's day in tenths read as whole degrees.
const (
	tooHot   = 0.01
	hotUnits = 600
)

func onDays(in *input, r *rainfall.Record, readings []reading) []float64 {
	out := make([]float64, len(r.Depth))
	for i := range out {
		out[i] = math.NaN()
	}
	hot, n := 0, 0
	for _, x := range readings {
		n += one(x.c < hotUnits)
		hot += one(x.c > hottest && x.c < hotUnits)
		if i := int(x.day - r.First); x.day != rainfall.NoDate && i >= 0 && i < len(out) && math.IsNaN(out[i]) && x.c >= coldest && x.c <= hottest {
			out[i] = x.c
		}
	}
	if float64(hot) > tooHot*float64(n) {
		in.fail(in.header, fmt.Sprintf("%s of %s would be above %d °C: they are in another unit", thousands(hot), count(n, "temperature", "temperatures"), hottest), "download the file again, or state their unit in the names of their columns, as in tmax_f and tmin_f")
	}
	return out
}

// thermometer says where a table has a day's highest or lowest temperature.
type thermometer struct {
	column int // −1 where it has none
	unit   degrees
	failed func(row int) bool // the value failed its publisher's checks; nil where none can
}

// temperatures reads a table's temperatures into its record, where they are
// wanted.
func (t *table) temperatures(r *rainfall.Record, max, min thermometer) {
	if !t.in.opt.Temperatures {
		return
	}
	var h heat
	for _, x := range []struct {
		thermometer
		max bool
	}{{max, true}, {min, false}} {
		if x.column < 0 {
			continue
		}
		for k, c := range t.amounts(x.column) {
			if x.failed == nil || !x.failed(k) {
				h.add(t.in, t.line[k], x.max, t.day[k], t.celsius(k, c, x.thermometer))
			}
		}
	}
	h.into(t.in, r)
}

// celsius reads a temperature, NaN where it is missing.
func (t *table) celsius(row int, cell string, from thermometer) float64 {
	if star := strings.TrimSuffix(cell, "*"); star != cell { // of hourly reports, in GSOD
		cell = strings.Replace(star, ",", ".", 1)
	}
	if isMissingWord(cell) {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(cell, 64)
	name := t.header[from.column]
	switch {
	case err != nil || x-x != 0:
		t.in.fail(t.line[row], fmt.Sprintf("%s %q is not a temperature", clipped(name), clipped(cell)), "leave the cell blank if the value is missing")
	case from.unit == tenthCelsius && x != math.Trunc(x):
		t.in.fail(t.line[row], fmt.Sprintf("%s %q is not a whole number, as the publisher writes tenths of a degree", clipped(name), clipped(cell)), "download the file again")
	case isNines(cell) && (from.unit == fahrenheit && x <= -99 || from.unit.inC(x) > hottest):
		return math.NaN() // −99.9 °F could be a temperature, and is a code wherever rain is gathered
	}
	return from.unit.inC(x)
}

// isNines reports whether a number is written with nothing but nines: a code.
func isNines(cell string) bool {
	digits := strings.Replace(strings.TrimLeft(cell, "-+"), ".", "", 1)
	if whole, zeros, ok := strings.Cut(strings.TrimLeft(cell, "-+"), "."); ok && strings.Trim(zeros, "0") == "" {
		digits = whole
	}
	return len(digits) > 1 && strings.Trim(digits, "9") == ""
}

// latitude reads a latitude in degrees, NaN where the text is none.
func latitude(s string) float64 {
	x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(s), ",", ".", 1), 64)
	if err != nil || !(math.Abs(x) <= 90) {
		return math.NaN()
	}
	return x
}

// longitude reads a longitude in degrees, NaN where the text is none.
func longitude(s string) float64 { return within(s, -180, 180) }

// elevation reads metres above the sea, NaN where the text is none on land:
// -999.9 and 9999 are written where it is not known.
func elevation(s string) float64 { return within(s, -500, 9000) }

// within reads a number between bounds, NaN where the text is none.
func within(s string, least, most float64) float64 {
	x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(s), ",", ".", 1), 64)
	if err != nil || !(x >= least && x <= most) {
		return math.NaN()
	}
	return x
}
