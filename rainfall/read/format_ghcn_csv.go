package read

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"tankodds/rainfall"
)

// ghcnCSV reads NOAA NCEI's GHCN-Daily as CSV, by year or by station:
// ID,DATE,ELEMENT,VALUE,MFLAG,QFLAG,SFLAG,OBSTIME with no header (one in some
// copies), a line a day and element, DATE as YYYYMMDD; units and flags are
// those of the .dly file.
//
// A year of the world is tens of millions of lines, so this reader walks the
// unpacked bytes as they stream by and keeps only the rain of one station.
//
// Such a file does not say where the station stands.
func ghcnCSV() format {
	return format{"GHCN-Daily CSV (by_year, by_station)", sniffGHCNCSV, readGHCNCSV}
}

func sniffGHCNCSV(in *input) bool { return ghcnSeparator(in.line(1)) != 0 }

// ghcnSeparator returns what separates the fields of a line of the format, or
// of the header that some copies have, and 0 for any other line.
func ghcnSeparator(s string) byte {
	for _, sep := range []byte(separators) {
		if isGHCNHeader([]byte(s), sep) {
			return sep
		}
	}
	// ID 0–10, separator, DATE 12–19, separator, ELEMENT 21–24, separator
	if len(s) < 28 || strings.IndexByte(separators, s[11]) < 0 || s[20] != s[11] || s[25] != s[11] || strings.ContainsAny(s[:11], separators+"\" ") {
		return 0
	}
	_, ok := wholeNumber([]byte(s[12:20]))
	if n := strings.Count(s, s[11:12]); !ok || n < 6 || n > 7 {
		return 0
	}
	return s[11]
}

// isGHCNHeader reports whether a line begins as the header does.
func isGHCNHeader(s []byte, sep byte) bool {
	return bytes.HasPrefix(s, []byte("ID"+string(sep)+"DATE"+string(sep)+"ELEMENT"+string(sep)))
}

func readGHCNCSV(in *input) *rainfall.Record {
	g := ghcnCSVReader{ghcnDays: newGHCNDays(in), sep: ghcnSeparator(in.line(1)), id: in.opt.Station, stations: map[string]string{}, early: map[string]*heat{}}
	in.eachLine(g.line)
	if len(g.stations) == 0 {
		in.fail(0, "no line of PRCP in the file", "it holds no daily rain: choose another station")
	}
	station := in.oneStation(slices.Collect(maps.Keys(g.stations)), 0, "")
	if early := g.early[station]; early != nil {
		g.heat = early.before(g.heat)
	}
	return g.of(station)
}

// ghcnCSVReader gathers one station's rain.
type ghcnCSVReader struct {
	ghcnDays
	sep      byte
	id       string            // the station kept: the one asked for, or the first
	stations map[string]string // the stations that have rain, each under its name
	current  string            // the last of them met
	early    map[string]*heat  // by station, the temperatures before the first rain
	held     int               // how many these are
}

func (g *ghcnCSVReader) line(n int, s []byte) {
	if n == 1 && isGHCNHeader(s, g.sep) || blankLine(s) {
		return
	}
	// most lines of most files are of other elements: tell by position
	if len(s) > 25 && s[11] == g.sep && s[20] == g.sep && s[25] == g.sep && !isRainElement(s[21:25]) && !g.isHeat(s[21:25]) {
		return
	}
	var f [8][]byte
	k := 0
	for rest, more := s, true; more; k++ {
		if k == len(f) {
			k++
			break
		}
		f[k], rest, more = bytes.Cut(rest, []byte{g.sep})
	}
	if k < 7 || k > len(f) {
		g.in.fail(n, fmt.Sprintf("%s where the format has 7 or 8", count(k, "field", "fields")), "download the file again")
	}
	if g.isHeat(f[2]) {
		g.temperature(n, f)
		return
	}
	if !isRainElement(f[2]) {
		return
	}
	if string(f[0]) != g.current {
		known := false
		if g.current, known = g.stations[string(f[0])]; !known {
			g.current = string(f[0])
			if g.stations[g.current] = g.current; len(g.stations) > maxStations {
				g.in.fail(n, fmt.Sprintf("the file holds more than %s stations", thousands(maxStations)), "cut one station's record out of it")
			}
		}
		if g.id == "" {
			g.id = g.current
		}
	}
	if g.current == g.id {
		day, v := g.dayAndValue(n, f)
		g.element(n, f[2], day, v, flag(f[4]), flag(f[5]))
	}
}

func (g *ghcnCSVReader) dayAndValue(n int, f [8][]byte) (rainfall.Date, int) {
	day, ok := packedDate(f[1])
	if !ok {
		g.in.fail(n, fmt.Sprintf("date %q is no day of the form YYYYMMDD", f[1]), "")
	}
	v, ok := wholeNumber(bytes.TrimSpace(f[3]))
	if !ok {
		g.in.fail(n, fmt.Sprintf("value %q is not a whole number", f[3]), "download the file again")
	}
	return day, v
}

// temperature takes a day's highest or lowest temperature. Which station is
// kept is known once one has rain, and TMAX often stands before PRCP.
func (g *ghcnCSVReader) temperature(n int, f [8][]byte) {
	if g.id != "" && string(f[0]) != g.id {
		return
	}
	day, v := g.dayAndValue(n, f)
	if g.id != "" {
		g.element(n, f[2], day, v, flag(f[4]), flag(f[5]))
		return
	}
	if g.held++; g.held > maxValues {
		g.in.fail(n, fmt.Sprintf("the file has %s temperatures and no rain", thousands(maxValues)), "choose a station with --station")
	}
	early := g.early[string(f[0])]
	if early == nil {
		early = &heat{}
		g.early[string(f[0])] = early
	}
	if v != -9999 && flag(f[5]) == ' ' {
		early.add(g.in, n, string(f[2]) == "TMAX", day, tenthCelsius.inC(float64(v)))
	}
}

func isRainElement(b []byte) bool {
	switch string(b) { // compared only: no copy is made
	case "PRCP", "MDPR", "DAPR":
		return true
	}
	return false
}

// flag reads a one-character flag field, ' ' where blank.
func flag(b []byte) byte {
	if b = bytes.TrimSpace(b); len(b) > 0 {
		return b[0]
	}
	return ' '
}

// wholeNumber reads a decimal whole number of up to 9 digits.
func wholeNumber(b []byte) (int, bool) {
	neg := len(b) > 0 && b[0] == '-'
	if neg {
		b = b[1:]
	}
	if len(b) == 0 || len(b) > 9 {
		return 0, false
	}
	n := 0
	for _, c := range b {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	if neg {
		n = -n
	}
	return n, true
}

// packedDate reads YYYYMMDD.
func packedDate(b []byte) (rainfall.Date, bool) {
	n, ok := wholeNumber(b)
	if !ok || len(b) != 8 || n < 0 {
		return 0, false
	}
	return rainfall.MakeDate(n/10000, time.Month(n/100%100), n%100)
}

// blankLine reports whether a streamed line holds nothing, the end-of-file
// mark of DOS aside.
func blankLine(s []byte) bool { return len(bytes.Trim(s, " \t\x1a")) == 0 }
