package rainfall

import "math"

// Evaporation is that of a well-watered reference grass, ET₀, in mm a day.
// Equations are those of FAO Irrigation and Drainage Paper 56 (Allen, Pereira,
// Raes & Smith 1998).

// solarConstant is FAO-56's, MJ/m²/min.
const solarConstant = 0.0820

// Radiation returns the solar radiation at the top of the atmosphere, Ra, in
// MJ/m²/day (FAO-56 eqs. 21–25), on a day of the year, 1 to 366, at a latitude
// in degrees, north positive, −90 to 90. It is 0 in the polar night. It is
// rounded to 10⁻⁹ MJ/m²: sines and cosines end in bits that differ between
// processors. A latitude beyond the poles, or none, is NaN.
func Radiation(latitude float64, dayOfYear int) float64 {
	if !(math.Abs(latitude) <= 90) {
		return math.NaN()
	}
	lat := latitude * (math.Pi / 180)
	turn := float64(2 * math.Pi / 365 * float64(dayOfYear))
	nearness := 1 + float64(0.033*math.Cos(turn))
	declination := 0.409 * math.Sin(turn-1.39)
	sunset := math.Acos(math.Max(-1, math.Min(1, -math.Tan(lat)*math.Tan(declination))))
	height := float64(sunset*math.Sin(lat)*math.Sin(declination)) + float64(math.Cos(lat)*math.Cos(declination)*math.Sin(sunset))
	ra := 24 * 60 / math.Pi * solarConstant * nearness * height
	return math.Max(0, math.Round(ra*1e9)/1e9)
}

// perMJ is the water that a megajoule evaporates from a square metre, mm
// (FAO-56 eq. 20: from memory, unverified).
const perMJ = 0.408

// Hargreaves returns ET₀ in mm a day from a day's highest and lowest
// temperature in °C and Ra in MJ/m²/day (FAO-56 eq. 52). Where the lowest is
// above the highest, and in cold below −17.8 °C, it is 0; without either it is
// NaN. It is low in wind above 3 m/s and high in humid air (general
// documentation of such equations).
func Hargreaves(max, min, ra float64) float64 {
	mean := float64((max + min) / 2)
	return 0.0023 * math.Max(0, mean+17.8) * math.Sqrt(math.Max(0, max-min)) * perMJ * ra
}
