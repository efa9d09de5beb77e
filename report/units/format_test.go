package units

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWords(t *testing.T) {
	for want, got := range map[string]string{
		"8,240 L":              SI.Volume(8237),
		"500 L":                SI.Volume(500),
		"100,000 L":            SI.Volume(99990),
		"123 m³":               SI.Volume(123456),
		"2.5 L":                SI.Volume(2.5),
		"0 L":                  SI.Volume(0),
		"2,000 gal":            US.Volume(2000 * LPerGallon),
		"1,230,000 gal":        US.Volume(1234567 * LPerGallon),
		"– L":                  SI.Volume(math.NaN()),
		"180 m²":               SI.Area(180),
		"1,200 ft²":            US.Area(1200 * M2PerSqFt),
		"742 mm":               SI.Depth(741.8),
		"29.2 in":              US.Depth(741.8),
		"0.5 mm":               SI.Depth(0.5),
		"0.02 in":              US.Depth(0.508),
		"85.7 L/day":           SI.Flow(600.0 / 7),
		"45 gal/day":           US.Flow(45 * LPerGallon),
		"10,300 kg":            SI.Mass(10300),
		"22,700 lb":            US.Mass(10300),
		"2.5 m":                SI.Length(2.5),
		"10 ft":                US.Length(10 * MPerFoot),
		"3.20 per m³":          SI.Price(3.2, ""),
		"$12.11 per 1,000 gal": US.Price(3.2, "$"),
		"94.3 %":               Percent(0.943),
		"90 %":                 Percent(0.9),
		"100 %":                Percent(1),
		"99.99 %":              Percent(0.9999),
		"99.97 %":              Percent(0.99971),
		"above 99.99 %":        Percent(0.99996),
		"0.01 %":               Percent(0.0001),
		"below 0.01 %":         Percent(0.00004),
		"0 %":                  Percent(0),
		"90.0":                 PercentCell(0.9),
		"100":                  PercentCell(1),
		"99.97":                PercentCell(0.9997),
		">99.99":               PercentCell(0.999999),
		"<0.01":                PercentCell(1e-7),
		"42.8":                 Mean(42.84),
		"100.0":                Mean(100.02),
		"0.05":                 Mean(0.0499),
		"0.1":                  Mean(0.05),
		"0":                    Mean(0),
		"0.02":                 Mean(0.0211),
		"0.01":                 Mean(0.0051),
		"–":                    Percent(math.NaN()),
	} {
		assert.Equal(t, want, got)
	}
	assert.Equal(t, "8,240 L", Unstated.Volume(8240), "where nothing is stated SI is printed")
}

// The scale is one for the whole column, and no cell has an exponent.
func TestColumns(t *testing.T) {
	c := SI.VolumeColumn(500, 99999, math.NaN(), math.Inf(1))
	assert.Equal(t, "L", c.Unit)
	assert.Equal(t, "500", c.Cell(500))
	assert.Equal(t, "99,999", c.Cell(99999))
	assert.Equal(t, "–", c.Cell(math.NaN()))

	c = SI.VolumeColumn(500, 100000)
	assert.Equal(t, "m³", c.Unit)
	assert.Equal(t, "0.50", c.Cell(500))
	assert.Equal(t, "100.00", c.Cell(100000))

	c = SI.VolumeColumn(5e6, 1e15)
	assert.Equal(t, "1,000,000,000,000.0", c.Cell(1e15))
	assert.Equal(t, "1,000,000,000,000", c.Words(1e15))
	assert.Equal(t, 5000.0, c.Value(5e6))

	c = US.VolumeColumn(1e6*LPerGallon, 500)
	assert.Equal(t, "gal", c.Unit)
	assert.Equal(t, "1,000,000", c.Cell(1e6*LPerGallon))

	assert.Equal(t, "52.5", SI.AreaColumn(52.5).Cell(52.5))
	assert.Equal(t, "0.500", US.DepthColumn(12.7).Cell(12.7))
	assert.Equal(t, "85.7", SI.FlowColumn(600.0/7).Cell(600.0/7))
	assert.Equal(t, "53", SI.AreaColumn(52.5, 400).Cell(52.6))
}

func TestFixed(t *testing.T) {
	assert.Equal(t, "0", Significant(0, 3))
	for want, got := range map[string]string{
		"0":          Fixed(0, 0),
		"-1,234.50":  Fixed(-1234.5, 2),
		"999":        Fixed(999, 0),
		"1,000":      Fixed(999.6, 0),
		"0.00":       Fixed(-0.001, 2),
		"–":          Fixed(math.Inf(-1), 2),
		"12,300":     Significant(12345, 3),
		"1,000,000":  Significant(999999, 3),
		"0.00123":    Significant(0.001234, 3),
		"1.2":        Significant(1.2, 3),
		"-12.3":      Significant(-12.34, 3),
		"1":          Significant(0.9999, 3),
		"10,000,000": Fixed(1e7, 0),
	} {
		assert.Equal(t, want, got)
	}
}

func TestAn(t *testing.T) {
	for quantity, want := range map[string]string{
		"8,240 L": "an", "80 gal": "an", "11 L": "an", "11,000 L": "an", "18,300 L": "an", "18.5 m³": "an",
		"1,100 L": "a", "110 L": "a", "17,300 L": "a", "9 L": "a", "1,800 gal": "a", "180 L": "a",
	} {
		assert.Equal(t, want+" "+quantity, An(quantity))
	}
}

func TestVolumeUp(t *testing.T) {
	assert.Equal(t, "16,900 L", SI.VolumeUp(16818.2))
	assert.Equal(t, "16,800 L", SI.VolumeUp(16800))
	assert.Equal(t, "8.13 L", SI.VolumeUp(8.121))
	assert.Equal(t, "4,460 gal", US.VolumeUp(16850))
	assert.Equal(t, SI.Volume(0), SI.VolumeUp(0))
}

// What is typed anew is read as it was; for people it is worded.
func TestTyped(t *testing.T) {
	for kind := Volume; kind <= Price; kind++ {
		for _, system := range []System{SI, US} {
			q, err := Parse(kind, "it", kind.Typed(0.5, system))
			if assert.NoError(t, err, kind) {
				assert.InEpsilon(t, 0.5, q.Value, 1e-2, kind)
			}
		}
	}
	assert.Equal(t, "0.5 mm", Depth.Typed(0.5, SI))
	assert.Equal(t, "0.5 mm", Depth.Words(0.5, SI))
	assert.Equal(t, "50 %", Share.Words(0.5, SI))
	assert.Equal(t, "1.89 per 1,000 gal", Price.Words(0.5, US))
}

// A share that misses another by little does not read like it.
func TestPercentBeside(t *testing.T) {
	for _, c := range []struct {
		p, other float64
		want     string
	}{{0.6996, 0.7, "69.96"}, {0.69999, 0.7, "69.999"}, {0.7, 0.7, "70.0"}, {0.65, 0.7, "65.0"}, {0.6999999, 0.7, "70.0"}} {
		assert.Equal(t, c.want, PercentCellBeside(c.p, c.other))
	}
}

// A share too near to 0 or 1 to be told from it is said to be on the side where it is.
func TestPercentCellNearTheEnds(t *testing.T) {
	for p, want := range map[float64]string{1e-7: "<0.01", 1 - 1e-7: ">99.99", 0: "0", 1: "100", 0.5: "50.0", 0.00051: "0.1"} {
		assert.Equal(t, want, PercentCell(p), p)
	}
}
