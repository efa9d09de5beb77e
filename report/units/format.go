package units

import (
	"math"
	"strconv"
	"strings"
)

// Column prints one kind of value at one scale: the scale is chosen once, for
// all the values that stand together.
type Column struct {
	Unit     string  // what stands in the heading: "L", "m³", "gal"
	factor   float64 // × turns the unit inside into Unit
	decimals int
}

// litresUpTo is the largest volume still printed in litres.
const litresUpTo = 99999.5

// VolumeColumn chooses between L and m³ by the largest value, in L; in US
// units it is gal.
func (s System) VolumeColumn(values ...float64) Column {
	if s == US {
		return Column{"gal", 1 / LPerGallon, 0}.fit(values, 10)
	}
	if top(values) < litresUpTo {
		return Column{"L", 1, 0}.fit(values, 10)
	}
	return Column{"m³", 0.001, 1}.fit(values, 1000)
}

// AreaColumn prints areas given in m².
func (s System) AreaColumn(values ...float64) Column {
	if s == US {
		return Column{"ft²", 1 / M2PerSqFt, 0}.fit(values, 100)
	}
	return Column{"m²", 1, 0}.fit(values, 100)
}

// DepthColumn prints depths given in mm.
func (s System) DepthColumn(values ...float64) Column {
	if s == US {
		return Column{"in", 1 / MMPerInch, 1}.fit(values, 10)
	}
	return Column{"mm", 1, 0}.fit(values, 100)
}

// LengthColumn prints lengths given in m.
func (s System) LengthColumn(values ...float64) Column {
	if s == US {
		return Column{"ft", 1 / MPerFoot, 0}.fit(values, 100)
	}
	return Column{"m", 1, 0}.fit(values, 100)
}

// FlowColumn prints flows given in L/day.
func (s System) FlowColumn(values ...float64) Column {
	if s == US {
		return Column{"gal/day", 1 / LPerGallon, 0}.fit(values, 100)
	}
	return Column{"L/day", 1, 0}.fit(values, 100)
}

// MassColumn prints masses given in kg.
func (s System) MassColumn(values ...float64) Column {
	if s == US {
		return Column{"lb", 1 / KgPerPound, 0}.fit(values, 10)
	}
	return Column{"kg", 1, 0}.fit(values, 10)
}

// fit adds one decimal where the largest value printed is below whole, and a
// second where it is below a tenth of that.
func (c Column) fit(values []float64, whole float64) Column {
	if t := top(values) * c.factor; t > 0 {
		if t < whole {
			c.decimals++
		}
		if t < whole/10 {
			c.decimals++
		}
	}
	return c
}

// top returns the largest finite magnitude, 0 where there is none.
func top(values []float64) float64 {
	t := 0.0
	for _, x := range values {
		if x = math.Abs(x); x > t && !math.IsInf(x, 0) {
			t = x
		}
	}
	return t
}

// Value returns x, in the unit inside, in the column's unit: for an axis.
func (c Column) Value(x float64) float64 { return x * c.factor }

// Cell prints x, in the unit inside, for a table: fixed decimals, thousands
// separators, no unit. NaN is a dash.
func (c Column) Cell(x float64) string { return Fixed(x*c.factor, c.decimals) }

// Words prints x, in the unit inside, for a sentence: three significant
// figures, no unit.
func (c Column) Words(x float64) string { return Significant(x*c.factor, 3) }

// Volume words a volume given in L, as in "8,240 L".
func (s System) Volume(x float64) string { return word(s.VolumeColumn(x), x) }

// Area words an area given in m².
func (s System) Area(x float64) string { return word(s.AreaColumn(x), x) }

// Depth words a depth given in mm.
func (s System) Depth(x float64) string { return word(s.DepthColumn(x), x) }

// Length words a length given in m.
func (s System) Length(x float64) string { return word(s.LengthColumn(x), x) }

// Flow words a flow given in L/day.
func (s System) Flow(x float64) string { return word(s.FlowColumn(x), x) }

// Mass words a mass given in kg.
func (s System) Mass(x float64) string { return word(s.MassColumn(x), x) }

func word(c Column, x float64) string { return c.Words(x) + " " + c.Unit }

// Price words a price given per m³, per m³ or per 1,000 gal.
func (s System) Price(x float64, currency string) string {
	if s == US {
		return currency + Fixed(x*LPerGallon, 2) + " per 1,000 gal"
	}
	return currency + Fixed(x, 2) + " per m³"
}

// Percent words a share as a percentage with one decimal. It says 100 % only
// of 1 and 0 % only of 0.
func Percent(p float64) string {
	switch {
	case math.IsNaN(p):
		return dash
	case p > 0 && p < 0.0005:
		return "below 0.1 %"
	case p < 1 && p >= 0.9995:
		return "above 99.9 %"
	}
	return strings.TrimSuffix(Fixed(p*100, 1), ".0") + " %"
}

const dash = "–"

// Fixed prints x with the given decimals and thousands separators. What is
// not a finite number is a dash.
func Fixed(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return dash
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	s, negative := strings.CutPrefix(s, "-")
	whole, fraction, _ := strings.Cut(s, ".")
	var b strings.Builder
	if negative && strings.Trim(s, "0.") != "" {
		b.WriteByte('-')
	}
	for i, c := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(c)
	}
	if fraction != "" {
		b.WriteByte('.')
		b.WriteString(fraction)
	}
	return b.String()
}

// Significant prints x to n significant figures with thousands separators and
// no exponent; closing zeros after the point are left out.
func Significant(x float64, n int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return dash
	}
	e := strconv.FormatFloat(x, 'e', n-1, 64)
	_, exp, _ := strings.Cut(e, "e")
	order, _ := strconv.Atoi(exp)
	rounded, _ := strconv.ParseFloat(e, 64)
	decimals := max(0, n-1-order)
	s := Fixed(rounded, decimals)
	if decimals > 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// An returns the indefinite article with a quantity after it: "an 8,240 L",
// "a 17,300 L", "an 11,000 L", "a 1,100 L".
func An(quantity string) string {
	first := quantity
	if at := strings.IndexFunc(quantity, func(r rune) bool { return r < '0' || r > '9' }); at >= 0 {
		first = quantity[:at]
	}
	if strings.HasPrefix(first, "8") || first == "11" || first == "18" {
		return "an " + quantity
	}
	return "a " + quantity
}

// VolumeUp is Volume rounded up: for a size that must be enough.
func (s System) VolumeUp(x float64) string {
	c := s.VolumeColumn(x)
	if y := x * c.factor; y > 0 && !math.IsInf(y, 0) {
		unit := math.Pow(10, math.Floor(math.Log10(y))-2)
		x = math.Ceil(y/unit-1e-9) * unit / c.factor
	}
	return s.Volume(x)
}
