package sim

// Physical facts that the cautions of a sheet are made of.
const (
	// KgPerL is the mass of water (1 kg/L to within half a percent from 0 to
	// 30 °C).
	KgPerL = 1.0

	// EmptyShare is the mass of a plastic or thin-steel tank as a share of the
	// water it holds. Makers' figures lie about 2 to 5 %: common practice, no
	// source. A concrete tank may weigh as much as its water: ask its maker.
	EmptyShare = 0.04

	// KPaPerM is the pressure of each metre of water above an outlet, kPa:
	// 1,000 kg/m³ at standard gravity 9.80665 m/s².
	KPaPerM = 9.80665

	// PSIPerFt is the same for each foot, psi: 62.4 lb/ft³ over 144 in²/ft²
	// (the rule 0.43 in Lancaster 2006, App. 3).
	PSIPerFt = 62.4 / 144
)

// FullMass returns the mass of the water that fills a tank of a nominal size
// and of the tank itself, kg (see KgPerL and EmptyShare). Dead storage is
// full too.
func FullMass(nominal float64) (water, tank float64) {
	return nominal * KgPerL, nominal * EmptyShare
}

// FlushVolume returns what the roof's diverter must hold, L: its depth of
// runoff over the plan area, 1 mm on 1 m² being 1 L.
func (r Roof) FlushVolume() float64 { return r.Area * r.FirstFlush }
