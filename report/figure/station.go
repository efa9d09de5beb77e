package figure

import "tankodds/sim"

// Station is one record of a comparison, ready to be drawn. What is not known is
// NaN, or "".
type Station struct {
	Name  string // as it is shown: no two are alike
	Group string // that it is counted with, "" for none

	Latitude, Longitude float64 // degrees, north and east
	Seasonality         float64 // index of Walsh & Lawler (1981), 0 to 1.83
	DrySpell            float64 // longest, days
	Annual              float64 // rain of a mean year, mm

	Grade     sim.Grade
	Tank      float64 // the size for the target, L
	Low, High float64 // its band, L
	Safe      float64 // L
	Inflow    float64 // what the roofs give in a mean year, L
	Demand    float64 // what is wanted in a year, L

	Curve []Point // rising sizes; none where the curve is not kept
}

// Point is a point of a station's curve.
type Point struct {
	Tank  float64      // nominal size, L
	Share sim.Interval // of the study's measure
}

// RegionalPoint is a point of the curve fitted to all stations of a comparison.
type RegionalPoint struct {
	Store     float64 // storage fraction: tank over what the roofs give in a mean year
	Share     float64 // of the study's measure
	Low, High float64 // between which nine of ten stations left out of the fit lie
}
