package units

import "strconv"

// Typed prints a quantity, in the unit inside, as Parse reads it: "0.5 mm".
func (k Kind) Typed(x float64, s System) string {
	type unit struct {
		name   string
		factor float64 // of the unit inside
	}
	as := map[Kind][2]unit{
		Volume: {{"L", 1}, {"gal", LPerGallon}},
		Area:   {{"m2", 1}, {"sqft", M2PerSqFt}},
		Depth:  {{"mm", 1}, {"in", MMPerInch}},
		Length: {{"m", 1}, {"ft", MPerFoot}},
		Flow:   {{"L/day", 1}, {"gal/day", LPerGallon}},
		Share:  {{"%", 0.01}, {"%", 0.01}},
		Price:  {{"per m3", 1}, {"per 1000 gal", 1 / LPerGallon}},
	}[k]
	u, digits := as[0], 6
	if s == US {
		u, digits = as[1], 3 // what is a round number in the other units is none here
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x/u.factor, 'g', digits, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64) + " " + u.name // nobody types an exponent
}

// Words prints a quantity, in the unit inside, for people.
func (k Kind) Words(x float64, s System) string {
	switch k {
	case Price:
		return s.Price(x, "")
	case Share:
		return Percent(x)
	}
	return s.word(k, x)
}
