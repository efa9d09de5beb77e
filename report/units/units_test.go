package units

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// value parses text that must be right.
func value(t *testing.T, kind Kind, text string) float64 {
	t.Helper()
	q, err := Parse(kind, "it", text)
	require.NoError(t, err, text)
	return q.Value
}

// Identities between units. Labels: COMP computed from exact definitions,
// READ seen in the source named.
func TestUnitIdentities(t *testing.T) {
	const ulps = 1e-14
	// 1 in on 1 ft² = 144/231 = 48/77 gal, exactly (COMP: 144 in² by 1 in,
	// gallon of 231 in³).
	litres := value(t, Area, "1 ft2") * value(t, Depth, "1 in")
	assert.InEpsilon(t, 48.0/77, litres/value(t, Volume, "1 gal"), ulps)
	// 1 in on 1,000 ft² = 623 gal (READ: rule of thumb of home rainwater
	// guides; common practice, no source).
	assert.InDelta(t, 623, value(t, Area, "1,000 sqft")*value(t, Depth, "1 in")/value(t, Volume, "1 gal"), 0.5)
	// 1 mm on 1 m² = 1 L, exactly.
	assert.Equal(t, value(t, Volume, "1 L"), value(t, Area, "1 m2")*value(t, Depth, "1 mm"))
	// 0.09290304·25.4/3.785411784 = 0.6233766 (COMP, to the digits given).
	assert.InDelta(t, 0.6233766, M2PerSqFt*MMPerInch/LPerGallon, 5e-8)
	// An acre-inch is 27,154.286 gal (COMP); the rule says 27,000 (READ).
	assert.InDelta(t, 27154.286, value(t, Volume, "1 acre-in")/value(t, Volume, "1 gal"), 5e-4)
	assert.InEpsilon(t, value(t, Area, "1 acre")*value(t, Depth, "1 in"), value(t, Volume, "1 acre-in"), ulps)
	// 1 ft³ = 1728/231 = 7.480519 gal (COMP); the rule says 7.48 (READ).
	assert.InEpsilon(t, 1728.0/231, value(t, Volume, "1 ft3")/value(t, Volume, "1 gal"), ulps)
	// The definitions to their published digits: gallon 3.785411784 L, acre
	// 4046.8564224 m², acre-inch 102790.15312896 L (NIST Handbook 44, Appendix
	// C: from memory, unverified; COMP agrees).
	assert.InEpsilon(t, 3.785411784, value(t, Volume, "1 gal"), ulps)
	assert.InEpsilon(t, 4046.8564224, value(t, Area, "1 acre"), ulps)
	assert.InEpsilon(t, 102790.15312896, value(t, Volume, "1 acre-in"), ulps)
	assert.InEpsilon(t, 2831.6846592, value(t, Volume, "1 ccf"), ulps)
	assert.Equal(t, 1000*value(t, Volume, "1 L"), value(t, Volume, "1 m³"))
	assert.Equal(t, 10000*value(t, Area, "1 m²"), value(t, Area, "1 ha"))
	// Head: water at 4 °C (999.972 kg/m³, from memory, unverified) presses
	// 0.433515 psi a foot (COMP); 62.4 lb/ft³ gives 0.43333 (COMP), and the rule
	// is 0.43 (READ: Lancaster 2006, App. 3).
	psi := 999.972 * 9.80665 * value(t, Length, "1 ft") / PaPerPSI
	assert.InDelta(t, 0.433515, psi, 5e-7)
	assert.InDelta(t, 62.4/144, psi, 2e-4)
	// A gallon of water at 1 kg/L is 8.345 lb (COMP); 8.34 (READ in one edition of the same
	// book, 8.32 in another).
	assert.InDelta(t, 8.34, LPerGallon/KgPerPound, 0.01)
}

// The yield handbook cluster (READ: Hasse/GATE 1989; UNICEF highland manual;
// Practical Action Sri Lanka; Lancaster), through the units people type.
func TestHandbookYields(t *testing.T) {
	assert.InEpsilon(t, 48600, value(t, Area, "120 m2")*value(t, Depth, "450 mm")*value(t, Share, "0.9"), 1e-12)
	assert.InEpsilon(t, 24000, value(t, Area, "40 m2")*value(t, Depth, "75 cm")*value(t, Share, "80%"), 1e-12)
	assert.InEpsilon(t, 40000, value(t, Area, "50m2")*value(t, Depth, "1,000mm")*value(t, Share, "80 %"), 1e-12)
	// 1,125 ft² and 22 in: 15,428.6 gal unrounded (COMP; the book rounds 22 in to
	// 1.84 ft and prints 15,484).
	gal := value(t, Area, "1,125 sq ft") * value(t, Depth, "22 in") / value(t, Volume, "1gal")
	assert.InDelta(t, 15428.6, gal, 0.05)
}

func TestParseAccepts(t *testing.T) {
	for _, c := range []struct {
		kind   Kind
		text   string
		want   float64
		system System
	}{
		{Volume, "5000L", 5000, SI},
		{Volume, " 5,000 l ", 5000, SI},
		{Volume, "1,250,000.5 L", 1250000.5, SI},
		{Volume, "3.2m3", 3200, SI},
		{Volume, "3.2 m³", 3200, SI},
		{Volume, "3.2 m^3", 3200, SI},
		{Volume, ".5 kL", 500, SI},
		{Volume, "1500gal", 1500 * LPerGallon, US},
		{Volume, "1,500 Gallons", 1500 * LPerGallon, US},
		{Volume, "1.5 kgal", 1500 * LPerGallon, US},
		{Volume, "100 cu ft", 100 * LPerCubicFoot, US},
		{Volume, "1e3L", 1000, SI},
		{Volume, "0", 0, Unstated},
		{Area, "1200sqft", 1200 * M2PerSqFt, US},
		{Area, "1200 ft²", 1200 * M2PerSqFt, US},
		{Area, "180 m2", 180, SI},
		{Depth, "0.02in", 0.02 * MMPerInch, US},
		{Depth, "0.02\"", 0.02 * MMPerInch, US},
		{Depth, "1 cm", 10, SI},
		{Length, "10 ft", 10 * MPerFoot, US},
		{Length, "120m", 120, SI},
		{Length, "12 in", MPerFoot, US},
		{Flow, "300L/day", 300, SI},
		{Flow, "300 L / d", 300, SI},
		{Flow, "45gal/day", 45 * LPerGallon, US},
		{Flow, "45 gal per day", 45 * LPerGallon, US},
		{Flow, "45 gpd", 45 * LPerGallon, US},
		{Flow, "700 litres a week", 100, SI},
		{Flow, "3.65 m3/year", 10, SI},
		{Flow, "365 kL/y", 1000, SI},
		{Flow, "1.2m3/month", 14400.0 / 365, SI},
		{Share, "0.9", 0.9, Unstated},
		{Share, "90%", 0.9, Unstated},
		{Share, "3 %", 0.03, Unstated},
		{Share, "3.5 percent", 0.035, Unstated},
		{Price, "3.20 per m3", 3.20, SI},
		{Price, "3.20/kL", 3.20, SI},
		{Price, "0.004 per L", 4, SI},
		{Price, "0.004 per gal", 4 / LPerGallon, US},
		{Price, "4 per 1000 gal", 4 / LPerGallon, US},
		{Price, "4 per 1,000 gal", 4 / LPerGallon, US},
		{Price, "4/kgal", 4 / LPerGallon, US},
		// As people type.
		{Area, "2,100 sqft", 2100 * M2PerSqFt, US},
		{Area, "2,100 sq. ft.", 2100 * M2PerSqFt, US},
		{Area, "2100 Square Ft", 2100 * M2PerSqFt, US},
		{Area, "1/2 acre", M2PerAcre / 2, US},
		{Depth, `1.5"`, 1.5 * MMPerInch, US},
		{Depth, "1.5”", 1.5 * MMPerInch, US},
		{Depth, "1/2 in", MMPerInch / 2, US},
		{Depth, "1/2in.", MMPerInch / 2, US},
		{Depth, "3/16 inch", 3 * MMPerInch / 16, US},
		{Depth, "1 1/2 in", 1.5 * MMPerInch, US},
		{Depth, `1-1/2"`, 1.5 * MMPerInch, US},
		{Depth, "1½ in", 1.5 * MMPerInch, US},
		{Depth, "½ in", MMPerInch / 2, US},
		{Depth, "1⁄8 in", MMPerInch / 8, US},
		{Depth, "1/32 in", MMPerInch / 32, US},
		{Length, `5' 6"`, 5.5 * MPerFoot, US},
		{Length, `5'6"`, 5.5 * MPerFoot, US},
		{Length, "5 ft 6 in", 5.5 * MPerFoot, US},
		{Length, "5ft. 6in.", 5.5 * MPerFoot, US},
		{Length, "5 feet, 6 1/2 inches", (5 + 6.5/12) * MPerFoot, US},
		{Length, "1,200′ 6″", 1200.5 * MPerFoot, US},
		{Length, "5' 6''", 5.5 * MPerFoot, US},
		{Length, "5’", 5 * MPerFoot, US},
		{Area, "30 ft x 40 ft", 1200 * M2PerSqFt, US},
		{Area, "30x40 ft", 1200 * M2PerSqFt, US},
		{Area, "30 by 40 feet", 1200 * M2PerSqFt, US},
		{Area, `30' X 40' 6"`, 1215 * M2PerSqFt, US},
		{Area, "12m × 9.5m", 114, SI},
		{Area, "12 m x 9.5", 114, SI},
		{Flow, "40 gpd", 40 * LPerGallon, US},
		{Flow, "300 L a day", 300, SI},
		{Flow, "300 litres per day", 300, SI},
		{Flow, "300 liters each day", 300, SI},
		{Flow, "300 L daily", 300, SI},
		{Flow, "300 lpd", 300, SI},
		{Flow, "30 us gal daily", 30 * LPerGallon, US},
		{Flow, "2,100 L weekly", 300, SI},
		{Flow, "1/2 gal/day", LPerGallon / 2, US},
		{Price, "$4 per 1,000 gal", 4 / LPerGallon, US},
		{Price, "$ 12.50/1000 gal", 12.5 / LPerGallon, US},
		{Price, "€3.20 per m3", 3.2, SI},
		{Price, "3.20 €/m3", 3.2, SI},
		{Price, "AUD 3.20 per kL", 3.2, SI},
		{Price, "NZ$3.20/m³", 3.2, SI},
		{Price, "1/2 per kL", 0.5, SI},
		{Price, "0.5 per 1.5 kL", 1 / 3.0, SI},
		{Price, "3/100 gal", 30 / LPerGallon, US},
	} {
		q, err := Parse(c.kind, "it", c.text)
		if assert.NoError(t, err, c.text) {
			assert.InDelta(t, c.want, q.Value, 1e-12*c.want, c.text)
			assert.Equal(t, c.system, q.System, c.text)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		kind       Kind
		what, text string
		want       string
	}{
		{Volume, "a tank size", "1200sqft", "1200sqft is an area; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "5000", "5000 has no unit; a tank size is a volume in L, kL, m3, gal or ft3, such as 5000L or 1500gal"},
		{Volume, "a tank size", "1,5 m3", "1,5 m3: a comma sets thousands apart, as in 1,500; for a decimal write 1.5 m3; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "0,500 m3", "0,500 m3: a comma sets thousands apart, as in 1,500; for a decimal write 0.500 m3; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "-5L", "-5L is below 0; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "NaN L", "NaN L is not a finite number; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "+InfL", "+InfL is not a finite number; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1e400L", "1e400L does not begin with a number that can be read; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1e-10L", "1e-10L is too small to be meant; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1e-400L", "1e-400L is too small to be meant; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1e20L", "1e20L is too large to be meant; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "big", "big does not begin with a number; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1,50,000L", "1,50,000L: which comma or point is for thousands, and which for decimals? write it as in 1,500.5; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1.500.000 L", "1.500.000 L: which comma or point is for thousands, and which for decimals? write it as in 1,500.5; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "5000 quarts", "5000 quarts: no unit is called quarts; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "500 ml", "500 ml could be in millilitres or in megalitres; write it in L or m3"},
		{Volume, "a tank size", "", "a tank size is missing; it is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "5 m", "5 m is a length; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "3 mm", "3 mm is a depth; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "300L/day", "300L/day is a volume per time; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "50%", "50% is a share; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "2 per m3", "2 per m3 is a price per volume; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "5\nL\x00", `"5\nL\x00": no unit is called "l\x00"; a tank size is a volume such as 5000L or 1500gal`},
		{Flow, "a use", "120L", "120L is a volume; a use is a volume per time such as 300L/day or 80gal/day"},
		{Flow, "a use", "120", "120 has no unit; a use is a volume per time in L/day, m3/month, gal/day or another volume a day, week, month or year, such as 300L/day or 80gal/day"},
		{Flow, "a use", "120 m2/day", "120 m2/day: no unit is called m2/day; a use is a volume per time such as 300L/day or 80gal/day"},
		{Depth, "a first flush", "0.5", "0.5 has no unit; a first flush is a depth in mm, cm or in, such as 0.5mm or 0.02in"},
		{Share, "a target", "90", "90 is above 1; a target is a share such as 0.9 or 90%"},
		{Share, "a target", "120%", "120% is above 1; a target is a share such as 0.9 or 90%"},
		{Share, "a target", "-0.1", "-0.1 is below 0; a target is a share such as 0.9 or 90%"},
		{Price, "a water price", "3.20", "3.20 has no unit; a water price is a price per volume in per m3, per kL, per gal or per ft3, such as 3.20 per m3 or 0.012 per gal"},
		{Price, "a water price", "3.20 per m2", "3.20 per m2: no unit is called per m2; a water price is a price per volume such as 3.20 per m3 or 0.012 per gal"},
		{Volume, "a tank size", "12,50 m3", "12,50 m3: a comma sets thousands apart, as in 1,500; for a decimal write 12.50 m3; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1.500,5 L", "1.500,5 L: which comma or point is for thousands, and which for decimals? write it as in 1,500.5; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "2 100 L", "2 100 L: a space stands within the number; write 2100 or 2,100 and then the unit; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1/0 gal", "1/0 gal: no unit is called /0 gal; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1/7 gal", "1/7 gal is a price per volume; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "1 3/2 gal", "1 3/2 gal: a space stands within the number; write 2100 or 2,100 and then the unit; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "$900", "$900 does not begin with a number; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", `5' 6"`, `5' 6" is a length; a tank size is a volume such as 5000L or 1500gal`},
		{Volume, "a tank size", "30 ft x 40 ft", "30 ft x 40 ft is an area; a tank size is a volume such as 5000L or 1500gal"},
		{Volume, "a tank size", "2 x 100 L", "2 x 100 L: no unit is called x 100 l; a tank size is a volume such as 5000L or 1500gal"},
		{Length, "an elevation", `5' 12"`, `5' 12": there are 12 inches to a foot; write it in feet alone or in inches alone`},
		{Length, "an elevation", `5' 6`, "5' 6: no unit is called ' 6; an elevation is a length such as 3m or 10ft"},
		{Area, "a roof", "30 x 40", "30 has no unit; a side is a length in m or ft, such as 3m or 10ft"},
		{Area, "a roof", "30 ft x 40 gal", "40 gal is a volume; a side is a length such as 3m or 10ft"},
		{Area, "a roof", "30 ft", "30 ft is a length; a roof is an area such as 140m2 or 1500sqft"},
		{Price, "a water price", "3/4 gal", "3/4 gal is a volume; a water price is a price per volume such as 3.20 per m3 or 0.012 per gal"},
		{Price, "a water price", "4¢/gal", "4¢/gal: no unit is called ¢/gal; a water price is a price per volume such as 3.20 per m3 or 0.012 per gal"},
		{Price, "a water price", "3 per 0 gal", "3 per 0 gal: no unit is called per 0 gal; a water price is a price per volume such as 3.20 per m3 or 0.012 per gal"},
	} {
		_, err := Parse(c.kind, c.what, c.text)
		assert.EqualError(t, err, c.want, c.text)
	}
}

func TestKnown(t *testing.T) {
	for _, s := range []string{"140m2", "140 sq ft", "3 L / day", "45gpd", "3 %", "2 per m3", "5 ft", "30 ft x 40 ft", "5' 6\"", "1/2 acre"} {
		assert.True(t, Known(s), s)
	}
	for _, s := range []string{"140", "140 m2 metal", "metal", "-3 L", "", "2 per sheep", "30 ft x 40 ft metal", "30 x 40"} {
		assert.False(t, Known(s), s)
	}
}

func TestNumber(t *testing.T) {
	x, err := Number("a price", " 1,200.50 ")
	require.NoError(t, err)
	assert.Equal(t, 1200.5, x)
	for text, want := range map[string]string{
		"":      "a price is missing",
		"900 x": "a price: 900 x is not a plain number",
		"0 x":   "a price: 0 x is not a plain number",
		"-1":    "a price: -1 is below 0",
	} {
		_, err := Number("a price", text)
		assert.EqualError(t, err, want)
	}
}

func TestMoney(t *testing.T) {
	for text, want := range map[string]struct {
		x    float64
		sign string
	}{
		"1,400": {1400, ""}, "$1400": {1400, "$"}, "$ 1,400.50": {1400.5, "$"}, "1.400 €": {1.4, "€"}, "A$900": {900, "A$"}, "EUR 900": {900, "EUR"}, "900 EUR": {900, "EUR"},
	} {
		x, sign, err := Money("a price", text)
		require.NoError(t, err, text)
		assert.Equal(t, want.x, x, text)
		assert.Equal(t, want.sign, sign, text)
	}
	for text, want := range map[string]string{
		"$":       "a price is missing",
		"$1,4":    "a price: 1,4: a comma sets thousands apart, as in 1,500; for a decimal write 1.4",
		"$-5":     "a price: -5 is below 0",
		"$5 each": "a price: 5 each is not a plain number",
		"lots":    "a price: lots does not begin with a number",
		"90¢":     "a price: 90¢ is not a plain number",
	} {
		_, _, err := Money("a price", text)
		assert.EqualError(t, err, want, text)
	}
}

func TestParseSystem(t *testing.T) {
	for text, want := range map[string]System{"si": SI, "US": US, "metric": SI} {
		var got System
		require.NoError(t, got.UnmarshalText([]byte(text)))
		assert.Equal(t, want, got)
		again, err := ParseSystem(got.String())
		require.NoError(t, err)
		assert.Equal(t, want, again)
	}
	_, err := ParseSystem("imperial")
	assert.EqualError(t, err, "unit system imperial is neither si nor us")
}
