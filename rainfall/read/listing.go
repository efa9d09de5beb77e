package read

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Listing is a list of stations: what is known of each beside its rain.
type Listing struct {
	Columns []string // that say more than where a station is, in the list's order

	stations map[string]*Listed
}

// Listed is a station of a list. What is not known is NaN or "".
type Listed struct {
	Latitude, Longitude float64  // degrees, north and east
	Elevation           float64  // m above the sea
	Values              []string // of Columns
	line                int
}

// The names, letter case and what stands between words aside, by which columns of a
// list are known. A list is known by a column of the first kind.
var (
	listedKeys      = []string{"station", "id", "stationid", "stnid", "site", "gauge", "file"}
	listedLatitude  = []string{"latitude", "lat", "latitudedegrees", "latitudey"}
	listedLongitude = []string{"longitude", "lon", "long", "lng", "longitudedegrees", "longitudex"}
	listedElevation = []string{"elevation", "elev", "altitude", "alt", "height", "elevationm", "elevm", "altitudem", "heightm"}
	listedFeet      = []string{"elevationft", "elevft", "altitudeft", "heightft"}
)

const placesHint = "name each station once; write degrees as 41.98 and -87.9, and metres as 202"

const listingHint = "a list of stations has a header and a line a station, as in station,latitude,longitude,elevation"

// ghcnListed is a line of the list of stations of GHCN-Daily: id, latitude,
// longitude, elevation, state and name in columns of fixed width (its readme, from
// memory, unverified).
var ghcnListed = regexp.MustCompile(`^([A-Z0-9_-]{11}) +(-?\d+\.\d+) +(-?\d+\.\d+) +(-?\d+\.\d)(?: (.{0,2}) ?(.{0,30}))?`)

// ReadListing reads a list of stations: a table with a header, its cells set apart by
// commas, semicolons or tabs, with a column station (or id, or file) and any of
// latitude, longitude and elevation (m, or elevation_ft), or the list of GHCN-Daily.
// Errors are *Error.
func ReadListing(file string, data []byte) (*Listing, error) {
	l := &Listing{stations: map[string]*Listed{}}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	first, rest, _ := bytes.Cut(data, []byte("\n"))
	for bytes.HasPrefix(first, []byte("#")) {
		first, rest, _ = bytes.Cut(rest, []byte("\n"))
	}
	if ghcnListed.Match(first) {
		return l, l.readGHCN(file, string(data))
	}
	return l, l.readTable(file, data, first)
}

// readGHCN reads the list of GHCN-Daily.
func (l *Listing) readGHCN(file, data string) error {
	l.Columns = []string{"state", "name"}
	n := 0
	for text := range strings.Lines(data) {
		n++
		if strings.TrimSpace(text) == "" {
			continue
		}
		m := ghcnListed.FindStringSubmatch(strings.TrimRight(text, "\r\n"))
		if m == nil {
			return &Error{file, n, "this is no line of the list of GHCN-Daily", listingHint}
		}
		x := &Listed{Values: []string{strings.TrimSpace(m[5]), strings.TrimSpace(m[6])}, line: n}
		x.Latitude, _ = strconv.ParseFloat(m[2], 64)
		x.Longitude, _ = strconv.ParseFloat(m[3], 64)
		if x.Elevation, _ = strconv.ParseFloat(m[4], 64); x.Elevation == -999.9 {
			x.Elevation = math.NaN()
		}
		if why := l.add(m[1], x); why != "" {
			return &Error{file, n, why, placesHint}
		}
	}
	return nil
}

// readTable reads a table, whose header is as the first line.
func (l *Listing) readTable(file string, data, first []byte) error {
	fail := func(line int, text, hint string) error { return &Error{file, line, text, hint} }
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.Comment, r.TrimLeadingSpace = ',', '#', true
	for _, comma := range ";\t" {
		if bytes.Count(first, []byte(string(comma))) > bytes.Count(first, []byte(string(r.Comma))) {
			r.Comma = comma
		}
	}
	header, err := r.Read()
	if err != nil && len(bytes.TrimSpace(data)) == 0 {
		return fail(0, "the list of stations is empty", listingHint)
	}
	if err != nil {
		return fail(1, "this is no list of stations", listingHint)
	}
	key, feet := -1, false
	at := map[string]int{}
	var more []int
	for i, name := range header {
		name = strings.TrimSpace(name)
		for _, names := range [][]string{listedLatitude, listedLongitude} {
			if k := slices.IndexFunc(header[:i], func(before string) bool { return slices.Contains(names, bare(before)) }); k >= 0 && slices.Contains(names, bare(name)) {
				return fail(1, "two columns are for one thing, "+quotedAlways(header[k])+" and "+quotedAlways(name), "leave one of them")
			}
		}
		switch is := bare(name); {
		case key < 0 && slices.Contains(listedKeys, is):
			key = i
		case slices.Contains(listedLatitude, is):
			at["latitude"] = i
		case slices.Contains(listedLongitude, is):
			at["longitude"] = i
		case slices.Contains(listedElevation, is), slices.Contains(listedFeet, is):
			at["elevation"], feet = i, slices.Contains(listedFeet, is)
		case slices.Contains(l.Columns, name):
			return fail(1, "two columns are called "+quotedAlways(name), "give each a name of its own")
		default:
			l.Columns, more = append(l.Columns, name), append(more, i)
		}
	}
	if key < 0 {
		return fail(1, "no column is called station, id or file", listingHint)
	}
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var bad *csv.ParseError
			line := 0
			if errors.As(err, &bad) {
				line, err = bad.Line, bad.Err
			}
			if errors.Is(err, csv.ErrFieldCount) {
				return fail(line, fmt.Sprintf("%s where the header has %d", count(len(row), "cell", "cells"), len(header)), "give each line as many as the header; a blank one needs its comma too")
			}
			return fail(line, "a quotation mark stands alone", "a cell that begins with one ends with one")
		}
		line, _ := r.FieldPos(0)
		x := &Listed{line: line}
		for name, to := range map[string]*float64{"latitude": &x.Latitude, "longitude": &x.Longitude, "elevation": &x.Elevation} {
			*to = math.NaN()
			i, ok := at[name]
			if !ok || strings.TrimSpace(row[i]) == "" {
				continue
			}
			if *to, err = strconv.ParseFloat(strings.TrimSpace(row[i]), 64); err != nil {
				return fail(line, fmt.Sprintf("%s is no %s", quotedAlways(row[i]), name), placesHint)
			}
		}
		if feet {
			x.Elevation *= 0.3048
		}
		for _, i := range more {
			x.Values = append(x.Values, strings.TrimSpace(row[i]))
		}
		if why := l.add(strings.TrimSpace(row[key]), x); why != "" {
			return fail(line, why, placesHint)
		}
	}
	if len(l.stations) == 0 {
		return fail(0, "no station is listed", listingHint)
	}
	return nil
}

// add adds a station, or says why it cannot.
func (l *Listing) add(key string, x *Listed) string {
	switch other := l.stations[bareKey(key)]; {
	case key == "":
		return "no station is named"
	case math.Abs(x.Latitude) > 90:
		return fmt.Sprintf("a latitude of %g is none from -90 to 90", x.Latitude)
	case x.Longitude < -180 || x.Longitude > 360:
		return fmt.Sprintf("a longitude of %g is none from -180 to 360", x.Longitude)
	case other != nil:
		return fmt.Sprintf("station %s stands in line %d too", quotedAlways(key), other.line)
	}
	if x.Longitude > 180 {
		x.Longitude -= 360
	}
	l.stations[bareKey(key)] = x
	return ""
}

// Of is what the list says of a station: by its id, or by the name of its file with
// its endings or without; nil where it says nothing.
func (l *Listing) Of(file, station string) *Listed {
	name := filepath.Base(file)
	for _, key := range []string{station, name, strings.TrimSuffix(name, ".gz"), stem(name)} {
		if x := l.stations[bareKey(key)]; x != nil && key != "" {
			return x
		}
	}
	return nil
}

// stem is the name of a file without its endings.
func stem(name string) string {
	name = strings.TrimSuffix(name, ".gz")
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// bareKey is an id as it is looked for.
func bareKey(s string) string { return strings.ToUpper(s) }
