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
	whole    float64 // the least value, in Unit, that needs no further decimal
}

// columns is how each kind is printed, in SI and in US units.
var columns = map[Kind][2]Column{
	Volume: {{"L", 1, 0, 10}, {"gal", 1 / LPerGallon, 0, 10}},
	Area:   {{"m²", 1, 0, 100}, {"ft²", 1 / M2PerSqFt, 0, 100}},
	Depth:  {{"mm", 1, 0, 100}, {"in", 1 / MMPerInch, 1, 10}},
	Length: {{"m", 1, 0, 100}, {"ft", 1 / MPerFoot, 0, 100}},
	Flow:   {{"L/day", 1, 0, 100}, {"gal/day", 1 / LPerGallon, 0, 100}},
	mass:   {{"kg", 1, 0, 10}, {"lb", 1 / KgPerPound, 0, 10}},
}

// Large volumes are printed in m³ instead of litres.
const litresUpTo = 99999.5

var cubicMetres = Column{"m³", 0.001, 1, 1000}

// column chooses the unit for values that stand together, with one decimal
// more where the largest of them is below whole, and a second where it is
// below a tenth of that.
func (s System) column(k Kind, values []float64) Column {
	c := columns[k][0]
	switch most := top(values); {
	case s == US:
		c = columns[k][1]
	case k == Volume && most >= litresUpTo:
		c = cubicMetres
	}
	if t := top(values) * c.factor; t > 0 {
		if t < c.whole {
			c.decimals++
		}
		if t < c.whole/10 {
			c.decimals++
		}
	}
	return c
}

// VolumeColumn chooses between L and m³ by the largest value, in L; in US
// units it is gal.
func (s System) VolumeColumn(values ...float64) Column { return s.column(Volume, values) }

// AreaColumn prints areas given in m².
func (s System) AreaColumn(values ...float64) Column { return s.column(Area, values) }

// DepthColumn prints depths given in mm.
func (s System) DepthColumn(values ...float64) Column { return s.column(Depth, values) }

// FlowColumn prints flows given in L/day.
func (s System) FlowColumn(values ...float64) Column { return s.column(Flow, values) }

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

// word prints one quantity, in the unit inside, with its unit.
func (s System) word(k Kind, x float64) string {
	c := s.column(k, []float64{x})
	return c.Words(x) + " " + c.Unit
}

// Volume words a volume given in L, as in "8,240 L".
func (s System) Volume(x float64) string { return s.word(Volume, x) }

// Area words an area given in m².
func (s System) Area(x float64) string { return s.word(Area, x) }

// Depth words a depth given in mm.
func (s System) Depth(x float64) string { return s.word(Depth, x) }

// Length words a length given in m.
func (s System) Length(x float64) string { return s.word(Length, x) }

// Flow words a flow given in L/day.
func (s System) Flow(x float64) string { return s.word(Flow, x) }

// Mass words a mass given in kg.
func (s System) Mass(x float64) string { return s.word(mass, x) }

// Price words a price given per m³, per m³ or per 1,000 gal.
func (s System) Price(x float64, currency string) string {
	if s == US {
		return currency + Fixed(x*LPerGallon, 2) + " per 1,000 gal"
	}
	return currency + Fixed(x, 2) + " per m³"
}

// Amount words an amount of money, the sign of a debt before that of the
// currency.
func Amount(x float64, currency string) string {
	if text, debt := strings.CutPrefix(Fixed(x, 0), "-"); debt {
		return "−" + currency + text
	}
	return currency + Fixed(x, 0)
}

// Percent words a share as a percentage with one decimal, or with two where they
// tell it from 0 and 100. It says 100 % only of 1 and 0 % only of 0.
func Percent(p float64) string {
	s := PercentCell(p)
	if s == dash {
		return s
	}
	s = strings.Replace(strings.Replace(s, "<", "below ", 1), ">", "above ", 1)
	return strings.TrimSuffix(s, ".0") + " %"
}

// PercentCell is Percent for a table, without its unit.
func PercentCell(p float64) string {
	switch s, told := toldApart(100*p, 0, 100); {
	case told:
		return s
	case p < 0.5:
		return "<0.01"
	}
	return ">99.99"
}

// PercentCellBeside is PercentCell of a share with the decimals, two or three, that
// tell it from another which it is not.
func PercentCellBeside(p, other float64) string {
	s := PercentCell(p)
	for decimals := 2; decimals <= 3 && p != other && s == PercentCell(other); decimals++ {
		if longer := Fixed(100*p, decimals); longer != Fixed(100*other, decimals) {
			return longer
		}
	}
	return s
}

// Mean prints the mean of a count, such as days a year, with one decimal, or with
// two where they tell it from none.
func Mean(x float64) string {
	if s, told := toldApart(x, 0); told {
		return s
	}
	return "<0.01"
}

// toldApart prints x with the decimals, one or two, that tell it from some whole
// numbers; told is false where even two do not. One that it is has none.
func toldApart(x float64, from ...float64) (s string, told bool) {
	for decimals := 1; decimals <= 2 && !told; decimals++ {
		s, told = Fixed(x, decimals), true
		for _, v := range from {
			if x == v {
				return Fixed(x, 0), true
			}
			told = told && s != Fixed(v, decimals)
		}
	}
	return s, told
}

const dash = "–"

// Fixed prints x with the given decimals and thousands separators. What is
// not a finite number is a dash.
func Fixed(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return dash
	}
	s := strconv.FormatFloat(math.Abs(x), 'f', decimals, 64)
	out, fraction, point := strings.Cut(s, ".")
	for at := len(out) - 3; at > 0; at -= 3 {
		out = out[:at] + "," + out[at:]
	}
	if x < 0 && strings.Trim(s, "0.") != "" {
		out = "-" + out
	}
	if point {
		out += "." + fraction
	}
	return out
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
