package rainfall

import "math"

// Position is where a gauge (or grid cell) stands, as its file states it. What
// is not known is NaN.
type Position struct {
	Latitude  float64 `key:"latitude_degrees" doc:"north of the equator, from -90 to 90"`
	Longitude float64 `key:"longitude_degrees" doc:"east of Greenwich, from -180 to 180"`
	Elevation float64 `key:"elevation_m" doc:"above sea level"`
}

// Nowhere is the position of which nothing is known.
func Nowhere() Position { return Position{math.NaN(), math.NaN(), math.NaN()} }

// stated returns the position, nil where neither latitude nor longitude is
// known. 0° N, 0° E is open sea, and what a record made without a position has.
func (p Position) stated() *Position {
	if p.Latitude == 0 && p.Longitude == 0 || math.IsNaN(p.Latitude) && math.IsNaN(p.Longitude) {
		return nil
	}
	return &p
}
