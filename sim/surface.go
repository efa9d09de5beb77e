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
// shares of rain that runs off in ordinary use; where sources give a range
// the middle is taken.
func Surfaces() []Surface {
	return []Surface{
		{DefaultSurface, 0.80, "measured on roofs in Ontario, about 0.8: Toronto STEP low-impact-development guide"},
		{"metal", 0.85, "aluminium 0.9: Practical Action, Sri Lanka; corrugated metal 0.7 to 0.9: CSE India"},
		{"tile", 0.85, "0.8 to 0.9: CSE India"},
		{"fibre-cement", 0.80, "tile or cement sheet 0.8: Practical Action, Sri Lanka"},
		{"shingle", 0.80, "no source of its own: as measured on roofs in Ontario, Toronto STEP guide"},
		{"flat", 0.70, "below 15° 0.8 to 0.7: German practice form for DIN 1989"},
		{"gravel", 0.50, "gravel flat roof 0.5: German practice form for DIN 1989"},
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
