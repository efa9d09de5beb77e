package sim

// Surface is a roof covering with its usual runoff coefficient.
type Surface struct {
	Name   string
	Runoff float64 // runoff coefficient, dimensionless
	Source string
}

// DefaultSurface is taken where a roof states neither surface nor runoff.
const DefaultSurface = "unstated"

// Surfaces lists the coverings known by name. The coefficients are yearly
// shares of rain that runs off in ordinary use, wetting, splash and wind among what
// is lost: they lie below what was measured, to be careful.
func Surfaces() []Surface {
	return []Surface{
		{DefaultSurface, 0.80, "careful: sloping smooth roofs were measured above 0.9 (Farreny et al. 2011, Water Res. 45:3245)"},
		{"metal", 0.85, "careful: sloping smooth roofs were measured above 0.9 (Farreny et al. 2011, Water Res. 45:3245)"},
		{"tile", 0.85, "careful: sloping smooth roofs were measured above 0.9 (Farreny et al. 2011, Water Res. 45:3245)"},
		{"fibre-cement", 0.80, "careful: no source of its own, taken as unstated"},
		{"shingle", 0.80, "careful: no source of its own, taken as unstated"},
		{"flat", 0.70, "below 15° 0.8 to 0.7: German practice form for DIN 1989"},
		{"gravel", 0.50, "careful: flat gravel was measured at 0.62 (Farreny et al. 2011); 0.5 in a German practice form for DIN 1989"},
		{"green-extensive", 0.50, "EN 16941-1, from memory, unverified"},
		{"green-intensive", 0.30, "EN 16941-1, from memory, unverified"},
	}
}

// FindSurface returns the surface of that name.
func FindSurface(name string) (Surface, bool) {
	for _, s := range Surfaces() {
		if s.Name == name {
			return s, true
		}
	}
	return Surface{}, false
}
