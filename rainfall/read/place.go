package read

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"tankodds/rainfall"
)

// placer notes where a gauge stands while the rows of a table go by: the first filled
// cell of each of the three columns. They are not kept for every row.
type placer struct {
	column [3]int // latitude, longitude, elevation, −1 where there is none
	cell   [3]string
	feet   bool
	looked int
}

// mostLooked is how many rows are looked at for a cell that is filled.
const mostLooked = 400

// newPlacer finds the columns by their names.
func newPlacer(header []string) *placer {
	p := &placer{column: [3]int{-1, -1, -1}}
	for i, name := range header {
		is := bare(name)
		for k, names := range [][]string{listedLatitude, listedLongitude, slices.Concat(listedElevation, listedFeet)} {
			if p.column[k] < 0 && slices.Contains(names, is) {
				p.column[k] = i
				p.feet = p.feet || k == 2 && slices.Contains(listedFeet, is)
			}
		}
	}
	return p
}

// see looks at a row.
func (p *placer) see(row []string) {
	if p.looked++; p.looked > mostLooked {
		return
	}
	for k, i := range p.column {
		if i >= 0 && i < len(row) && p.cell[k] == "" {
			p.cell[k] = strings.Clone(strings.TrimSpace(row[i]))
		}
	}
}

// position is what was found.
func (p *placer) position() rainfall.Position {
	out := rainfall.Position{Latitude: latitude(p.cell[0]), Longitude: longitude(p.cell[1]), Elevation: elevation(p.cell[2])}
	if p.feet {
		out.Elevation *= 0.3048
	}
	return out
}

// What stands above a header, as publishers write it: "Latitude: 53.428 ,Longitude:
// -6.241", "Station Height: 71 M", "latitude  32.9348   longitude 72.8576".
var titledPlace = [3]*regexp.Regexp{
	regexp.MustCompile(`(?i)\blatitude"?[ ,:;=\t"|]*(-?\d+[.,]?\d*)(?:[ °]*([NS])\b)?`),
	regexp.MustCompile(`(?i)\blongitude"?[ ,:;=\t"|]*(-?\d+[.,]?\d*)(?:[ °]*([EW])\b)?`),
	regexp.MustCompile(`(?i)\b(?:station height|elevation|altitude)(?: \(m\))?"?[ ,:;=\t"|]*(-?\d+[.,]?\d*)(?: *(ft|feet)\b)?`),
}

// titledPosition finds it in lines: south and west by a sign or a letter, and metres
// unless feet are said.
func titledPosition(lines []string) rainfall.Position {
	var cell [3]string
	other := [3]bool{} // south, west, feet
	for _, line := range lines {
		for k, re := range titledPlace {
			if m := re.FindStringSubmatch(line); m != nil && cell[k] == "" {
				cell[k] = m[1]
				other[k] = strings.EqualFold(m[2], "s") || strings.EqualFold(m[2], "w") || k == 2 && m[2] != ""
			}
		}
	}
	out := rainfall.Position{Latitude: latitude(cell[0]), Longitude: longitude(cell[1]), Elevation: elevation(cell[2])}
	if other[0] {
		out.Latitude = -math.Abs(out.Latitude)
	}
	if other[1] {
		out.Longitude = -math.Abs(out.Longitude)
	}
	if other[2] {
		out.Elevation *= 0.3048
	}
	return out
}

// stand gives a record the position that its table states, where it has none yet: of
// its columns, or of what stands above them. 0° N, 0° E is written where it is not
// known.
func (t *table) stand(r *rainfall.Record) {
	found := rainfall.Nowhere()
	if t.place != nil {
		found = t.place.position()
	}
	above := titledPosition(t.above())
	for _, x := range []struct {
		to      *float64
		is, alt float64
	}{
		{&r.Position.Latitude, found.Latitude, above.Latitude}, {&r.Position.Longitude, found.Longitude, above.Longitude},
		{&r.Position.Elevation, found.Elevation, above.Elevation},
	} {
		for _, is := range []float64{x.is, x.alt} {
			if *x.to != *x.to {
				*x.to = is
			}
		}
	}
	if r.Position.Latitude == 0 && r.Position.Longitude == 0 {
		r.Position = rainfall.Nowhere()
	}
}
