// Package units reads and prints quantities at the edges of the tool.
// Everywhere inside volumes are L, areas m², depths mm, lengths m, flows
// L/day, shares 0–1 and prices per m³; here alone do gallons, square feet and
// inches exist. A gallon is the US gallon.
package units

import (
	"fmt"
	"strings"
)

// The definitions behind every conversion. All are exact: the international
// foot and pound (1959 agreement; NIST Handbook 44, Appendix C: from memory,
// unverified) and the US gallon of 231 cubic inches.
const (
	MMPerInch      = 25.4
	MPerFoot       = 0.3048
	M2PerSqFt      = MPerFoot * MPerFoot                                             // 0.09290304
	LPerCubicFoot  = 1000 * MPerFoot * MPerFoot * MPerFoot                           // 28.316846592
	LPerGallon     = 231 * (MMPerInch / 100) * (MMPerInch / 100) * (MMPerInch / 100) // 3.785411784
	M2PerAcre      = 43560 * M2PerSqFt                                               // 4046.8564224
	LPerAcreInch   = M2PerAcre * MMPerInch                                           // 102790.15312896
	KgPerPound     = 0.45359237                                                      //
	PaPerPSI       = KgPerPound * 9.80665 / (MMPerInch / 1000) / (MMPerInch / 1000)  // standard gravity
	DaysPerMonth   = DaysPerYear / 12.0                                              // of a quantity "a month"
	DaysPerYear    = 365                                                             // a simulated year
	pricePerM3PerL = 1000.0
)

// Kind is what a quantity measures.
type Kind uint8

const (
	Volume Kind = iota // L
	Area               // m²
	Depth              // mm, of rain or runoff
	Length             // m
	Flow               // L/day
	Share              // 0–1
	Price              // money per m³
	mass               // kg; printed, never read
)

// kinds words each kind for messages: what it is, the units it comes in and
// two examples.
var kinds = [...]struct{ noun, units, example string }{
	Volume: {"a volume", "L, kL, m3, gal or ft3", "5000L or 1500gal"},
	Area:   {"an area", "m2, ft2 (sqft), ha or acre", "140m2 or 1500sqft"},
	Depth:  {"a depth", "mm, cm or in", "0.5mm or 0.02in"},
	Length: {"a length", "m or ft", "3m or 10ft"},
	Flow:   {"a volume per time", "L/day, m3/month, gal/day or another volume a day, week, month or year", "300L/day or 80gal/day"},
	Share:  {"a share", "%", "0.9 or 90%"},
	Price:  {"a price per volume", "per m3, per kL, per gal or per ft3", "3.20 per m3 or 0.012 per gal"},
}

// String returns the kind with its article, as in "a volume".
func (k Kind) String() string { return kinds[k].noun }

// Units lists the units that a quantity of the kind may have.
func (k Kind) Units() string { return kinds[k].units }

// Example returns two ways to write a quantity of the kind.
func (k Kind) Example() string { return kinds[k].example }

// System is a family of units.
type System uint8

const (
	// Unstated is the system of a quantity that belongs to neither (a share,
	// a bare 0). Printing takes it as SI.
	Unstated System = iota
	SI
	US
)

// String returns "si", "us" or "".
func (s System) String() string { return [...]string{"", "si", "us"}[s] }

// MarshalText returns what String does.
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what ParseSystem does.
func (s *System) UnmarshalText(text []byte) (err error) {
	*s, err = ParseSystem(string(text))
	return err
}

// ParseSystem reads "si" or "us".
func ParseSystem(s string) (System, error) {
	switch strings.ToLower(s) {
	case "si", "metric":
		return SI, nil
	case "us":
		return US, nil
	}
	return Unstated, fmt.Errorf("unit system %s is neither si nor us", show(s))
}

// unit is one way to write one kind.
type unit struct {
	kind   Kind
	system System
	factor float64 // × gives, with per, the unit that the kind has inside
	per    float64 // ÷
	names  string  // lower case, ² and ³ as 2 and 3, separated by |
}

var table = []unit{
	{Volume, SI, 1, 1, "l|litre|litres|liter|liters"},
	{Volume, SI, 1000, 1, "kl|m3|cu m|cbm|kilolitre|kilolitres|kiloliter|kiloliters|cubic metre|cubic metres|cubic meter|cubic meters"},
	{Volume, US, LPerGallon, 1, "gal|gals|gallon|gallons|us gal|us gallon|us gallons"},
	{Volume, US, 1000 * LPerGallon, 1, "kgal"},
	{Volume, US, LPerCubicFoot, 1, "ft3|cuft|cu ft|cubic foot|cubic feet"},
	{Volume, US, 100 * LPerCubicFoot, 1, "ccf|hcf"},
	{Volume, US, LPerAcreInch, 1, "acre-in|acre-inch|acre-inches|acre inch|acre inches"},
	{Area, SI, 1, 1, "m2|sqm|sq m|sq metres|sq meters|square metre|square metres|square meter|square meters"},
	{Area, SI, 10000, 1, "ha|hectare|hectares"},
	{Area, US, M2PerSqFt, 1, "ft2|sqft|sq ft|sq feet|sf|square ft|square foot|square feet"},
	{Area, US, M2PerAcre, 1, "acre|acres"},
	{Depth, SI, 1, 1, "mm|millimetre|millimetres|millimeter|millimeters"},
	{Depth, SI, 10, 1, "cm|centimetre|centimetres|centimeter|centimeters"},
	{Depth, US, MMPerInch, 1, "in|inch|inches|\""},
	{Length, SI, 1, 1, "m|metre|metres|meter|meters"},
	{Length, SI, 0.01, 1, "cm|centimetre|centimetres|centimeter|centimeters"},
	{Length, SI, 0.001, 1, "mm|millimetre|millimetres|millimeter|millimeters"},
	{Length, US, MPerFoot, 1, "ft|foot|feet|'"},
	{Length, US, MMPerInch / 1000, 1, "in|inch|inches|\""},
	{Flow, SI, 1, 1, "lpd"},
	{Flow, US, LPerGallon, 1, "gpd"},
	{Share, Unstated, 1, 100, "%|percent|per cent"},
}

// byName finds the units of a name; a name may serve two kinds.
var byName = func() map[string][]unit {
	m := map[string][]unit{}
	for _, u := range table {
		for name := range strings.SplitSeq(u.names, "|") {
			m[name] = append(m[name], u)
		}
	}
	return m
}()

// days is the length of the times that a flow may be given by.
var days = map[string]float64{
	"d": 1, "day": 1, "days": 1,
	"w": 7, "wk": 7, "week": 7, "weeks": 7,
	"mo": DaysPerMonth, "month": DaysPerMonth,
	"y": DaysPerYear, "yr": DaysPerYear, "a": DaysPerYear, "year": DaysPerYear,
}

// adverbs are the same times, as in "300 L daily".
var adverbs = map[string]string{"daily": "day", "weekly": "week", "monthly": "month", "yearly": "year", "annually": "year"}
