package read

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"tankodds/rainfall"
)

// ghcnDaily reads NOAA NCEI's fixed-width GHCN-Daily station file (.dly,
// readme v3.26): a line a month and element, 31 values of 5 characters and
// three flags. PRCP is in tenths of a millimetre; MDPR and DAPR are totals
// over several days and their number; TMAX and TMIN are in tenths of a degree
// Celsius. Where the station stands is in another file.
func ghcnDaily() format {
	return format{"GHCN-Daily station file (.dly)", sniffGHCN, readGHCN}
}

func sniffGHCN(in *input) bool { return isGHCN(in.line(1)) }

// isGHCN recognises the start of a line of the format.
func isGHCN(s string) bool {
	if len(s) < 29 || strings.ContainsAny(s[:21], ",;\t") {
		return false
	}
	_, e1 := strconv.Atoi(s[11:15])
	m, e2 := strconv.Atoi(s[15:17])
	return e1 == nil && e2 == nil && m >= 1 && m <= 12 && strings.TrimSpace(s[17:21]) == s[17:21]
}

// ghcnReader gathers the rain of a station file.
type ghcnReader struct {
	ghcnDays
	station string // the one asked for, or the first line's
	found   bool   // it has a line
	other   string // another that has
}

func readGHCN(in *input) *rainfall.Record {
	g := ghcnReader{ghcnDays: newGHCNDays(in), station: cmp.Or(in.opt.Station, in.line(1)[:11])}
	in.eachLine(g.line)
	if !g.found {
		in.fail(0, fmt.Sprintf("no line of station %s; the file holds %s", g.station, g.other), "--station takes an identifier as the file writes it")
	}
	if g.empty() {
		in.fail(0, fmt.Sprintf("station %s has no PRCP element", g.station), "it measured no daily rain: choose another")
	}
	return g.of(g.station)
}

func (g *ghcnReader) line(line int, s []byte) {
	switch {
	case blankLine(s):
		return
	case len(s) < 21:
		g.in.fail(line, "the line is cut short", "download the file again")
	case string(s[:11]) == g.station: // compared only: no copy is made
		g.found = true
	case g.in.opt.Station != "":
		g.other = string(s[:11])
		return
	default:
		g.in.fail(line, fmt.Sprintf("station %s in a file of %s", s[:11], g.station), "choose one with --station "+g.station)
	}
	element := s[17:21]
	if !isRainElement(element) && !g.isHeat(element) {
		return
	}
	y, ok1 := wholeNumber(s[11:15])
	m, ok2 := wholeNumber(s[15:17])
	if !ok1 || !ok2 || m < 1 || m > 12 {
		g.in.fail(line, fmt.Sprintf("year and month %q are no month", s[11:17]), "download the file again")
	}
	days := rainfall.DaysIn(y, time.Month(m))
	if len(s) < 21+8*days-3 {
		g.in.fail(line, fmt.Sprintf("the line ends before day %d", days), "download the file again")
	}
	first := rainfall.Day(y, time.Month(m), 1)
	for d := range days {
		at := 21 + 8*d
		v, ok := wholeNumber(bytes.TrimLeft(s[at:at+5], " "))
		if !ok {
			g.in.fail(line, fmt.Sprintf("value %q of day %d is not a whole number", s[at:at+5], d+1), "download the file again")
		}
		var mflag, qflag byte = ' ', ' '
		if at+6 < len(s) {
			mflag, qflag = s[at+5], s[at+6]
		}
		g.element(line, element, first+rainfall.Date(d), v, mflag, qflag)
	}
}

// ghcnDays gathers the elements of GHCN-Daily's days: PRCP and MDPR in tenths
// of a millimetre, DAPR in days, TMAX and TMIN in tenths of a degree; −9999 is
// missing.
type ghcnDays struct {
	*builder
	amount map[rainfall.Date]ghcnTotal
	span   map[rainfall.Date]int // days
	heat   heat
}

// ghcnTotal is a total over several days, and its line.
type ghcnTotal struct {
	line int
	mm   float64
}

func newGHCNDays(in *input) ghcnDays {
	return ghcnDays{&builder{in: in}, map[rainfall.Date]ghcnTotal{}, map[rainfall.Date]int{}, heat{}}
}

func (g *ghcnDays) element(line int, name []byte, day rainfall.Date, v int, mflag, qflag byte) {
	switch {
	case string(name) == "PRCP" && v == -9999:
		g.add(line, day, math.NaN(), 0)
	case string(name) == "PRCP":
		mm, mark := g.flagged(line, day, float64(v)/10, mflag, qflag)
		g.add(line, day, mm, mark)
	case v == -9999 || qflag != ' ':
	case g.isHeat(name):
		g.heat.add(g.in, line, string(name) == "TMAX", day, tenthCelsius.inC(float64(v)))
	case string(name) == "MDPR":
		g.amount[day] = ghcnTotal{line, float64(v) / 10}
	default:
		g.span[day] = v
	}
}

// flagged returns a value in mm with the flags of GHCN-Daily as a day's, in
// whatever form they come: measurement flag T trace, P "missing presumed
// zero", and A, in the publisher's older descriptions, a total over the days
// since the last measurement (from memory, unverified); any quality flag means
// that the value failed a check.
func (b *builder) flagged(line int, day rainfall.Date, mm float64, mflag, qflag byte) (float64, rainfall.Mark) {
	switch {
	case qflag != ' ':
		return mm, rainfall.Failed
	case mflag == 'A':
		b.addTotal(line, day, 0, mm)
		return math.NaN(), 0
	case mflag == 'T':
		return mm, rainfall.Trace
	case mflag == 'P':
		return mm, rainfall.Presumed
	}
	return mm, 0
}

// of makes the record of a station. It pairs each MDPR total with its DAPR
// number of days, in date order so that the same file fails on the same line
// every time.
func (g *ghcnDays) of(station string) *rainfall.Record {
	for _, day := range slices.Sorted(maps.Keys(g.amount)) {
		total := g.amount[day]
		g.addTotal(total.line, day, g.span[day], total.mm)
	}
	r := g.record()
	r.Station, r.Unit = station, unitTenth.name
	g.heat.into(g.in, r)
	return r
}

// isHeat reports whether an element is a temperature that is wanted.
func (g *ghcnDays) isHeat(b []byte) bool {
	return g.in.opt.Temperatures && (string(b) == "TMAX" || string(b) == "TMIN")
}
