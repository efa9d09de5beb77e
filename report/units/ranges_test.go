package units

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseList(t *testing.T) {
	for _, c := range []struct {
		kind   Kind
		text   string
		want   []float64
		system System
	}{
		{Volume, "1000L,2000L, 5000 L", []float64{1000, 2000, 5000}, SI},
		{Volume, "5000L,2000L,2000L", []float64{2000, 5000}, SI},
		{Volume, "1m3,2m3", []float64{1000, 2000}, SI},
		{Area, "50m2,150m2", []float64{50, 150}, SI},
		{Volume, "100gal", []float64{100 * LPerGallon}, US},
		{Volume, "1000L..8000L/4", []float64{1000, 2000, 4000, 8000}, SI},
		{Volume, "1..8 kL / 4", []float64{1000, 2000, 4000, 8000}, SI},
		{Volume, "1000L..8000/4", []float64{1000, 2000, 4000, 8000}, SI},
		{Volume, "1,000L..4,000L/3", []float64{1000, 2000, 4000}, SI},
		{Area, "50m2..200m2/4", []float64{50, 100, 150, 200}, SI},
		{Volume, "1,000 gal, 1,500 gal", []float64{1000 * LPerGallon, 1500 * LPerGallon}, US},
		{Volume, "1,000L; 1,500L;2000L", []float64{1000, 1500, 2000}, SI},
		{Volume, "1,000 L, 1500L,2000L", []float64{1000, 1500, 2000}, SI},
		{Volume, "1/2 m3..2m3/3", []float64{500, 1000, 2000}, SI},
		{Area, "10 m x 5 m,20x10m", []float64{50, 200}, SI},
		{Area, "50..200 m2/4", []float64{50, 100, 150, 200}, SI},
	} {
		got, system, err := ParseList(c.kind, "it", c.text)
		require.NoError(t, err, c.text)
		assert.InDeltaSlice(t, c.want, got, 1e-9, c.text)
		assert.Equal(t, c.system, system, c.text)
	}
}

func TestParseListRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"1,500gal":                         "1,500gal: in a list a comma separates; write the unit on every value and no thousands comma, as in 1500gal,2000gal",
		"500,750L":                         "500,750L: in a list a comma separates; write the unit on every value and no thousands comma, as in 1500gal,2000gal",
		"1,500gal,2,500gal":                "1,500gal,2,500gal: in a list a comma separates; write the unit on every value and no thousands comma, as in 1500gal,2000gal",
		"1,5 m3, 2 m3":                     "1,5 m3: a comma sets thousands apart, as in 1,500; for a decimal write 1.5 m3; a tank size is a volume such as 5000L or 1500gal",
		"500L..20000L":                     "500L..20000L does not say how many values; write from..to/how many, as in 500L..20000L/50",
		"500L..20000L/many":                "500L..20000L/many does not say how many values; write from..to/how many, as in 500L..20000L/50",
		"500L..20000L/1":                   "500L..20000L/1 asks for 1 values; a range has 2 to 1000",
		"500L..20000L/1000000":             "500L..20000L/1000000 asks for 1000000 values; a range has 2 to 1000",
		"0L..20000L/5":                     "0L..20000L/5 begins at 0; a tank size is above 0",
		"900L..500L/5":                     "900L..500L/5 does not rise; write from..to/how many, as in 500L..20000L/50",
		"500..900/5":                       "500 has no unit; a tank size is a volume in L, kL, m3, gal or ft3, such as 5000L or 1500gal",
		"50m2..90m2/5":                     "50m2 is an area; a tank size is a volume such as 5000L or 1500gal",
		"1000L,,2000L":                     "a tank size is missing; it is a volume such as 5000L or 1500gal",
		"..":                               ".. does not say how many values; write from..to/how many, as in 500L..20000L/50",
		"1L..1.0000000000000002L/9":        "1L..1.0000000000000002L/9 has ends too close or too far apart for 9 values",
		"1e-300L..1e10L/9":                 "1e-300L is too small to be meant; a tank size is a volume such as 5000L or 1500gal",
		"../5":                             "a tank size is missing; it is a volume such as 5000L or 1500gal",
		strings.Repeat("1L;", 1000) + "1L": "1001 values are listed; 1000 are the most",
	} {
		_, _, err := ParseList(Volume, "a tank size", text)
		assert.EqualError(t, err, want, text)
	}
}

// Geometric against the same ratios to 200 bits.
func TestGeometric(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		n      int
	}{{500, 20000, 50}, {1, 1e12, 1000}, {100, 100.001, 7}, {3, 5, 2}} {
		got := Geometric(c.lo, c.hi, c.n)
		require.Len(t, got, c.n)
		assert.Equal(t, c.lo, got[0])
		assert.Equal(t, c.hi, got[c.n-1])
		for i := 1; i < c.n; i++ {
			require.Greater(t, got[i], got[i-1])
		}
		// x^(n-1) = lo^(n-1-i)·hi^i
		for _, i := range []int{1, c.n / 2, c.n - 2} {
			if i < 1 || i > c.n-2 {
				continue
			}
			want := product(bigPower(c.lo, c.n-1-i), bigPower(c.hi, i))
			ratio, _ := new(big.Float).Quo(bigPower(got[i], c.n-1), want).Float64()
			assert.InDelta(t, 1, ratio, 1e-11*float64(c.n), "%v, value %d", c, i)
		}
	}
}

func bigPower(x float64, n int) *big.Float {
	y := big.NewFloat(1).SetPrec(200)
	b := big.NewFloat(x).SetPrec(200)
	for range n {
		y.Mul(y, b)
	}
	return y
}

func product(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(200).Mul(a, b) }

func TestEven(t *testing.T) {
	got := Even(0.1, 0.7, 4)
	assert.Equal(t, 0.1, got[0])
	assert.Equal(t, 0.7, got[3])
	assert.InDeltaSlice(t, []float64{0.1, 0.3, 0.5, 0.7}, got, 1e-15)
}

// readsBack holds what is printed of a value, to be typed and to be read, against
// what is read of that.
func readsBack(t *testing.T, kind Kind, x float64) {
	t.Helper()
	if x < 1e-6 || x > 1e11 { // beside the bounds of what is taken
		return
	}
	for _, u := range []System{SI, US} {
		printed := map[string]float64{kind.Typed(x, u): 1e-5, kind.Words(x, u): 6e-3}
		if u == US {
			printed[kind.Typed(x, u)] = 6e-3
		}
		switch kind {
		case Price: // two decimals
			printed[u.Price(x, "$")], printed[kind.Words(x, u)] = 0.0051/x+1e-9, 0.0051/x+1e-9
		case Share: // one decimal of a percentage
			printed[Percent(x)] = 6e-4 / x
		}
		for text, within := range printed {
			if strings.Contains(text, "below") || strings.Contains(text, "above") {
				continue
			}
			again, err := Parse(kind, "it", text)
			if err != nil {
				t.Fatalf("%v printed as %s: %v", x, text, err)
			}
			if math.Abs(again.Value-x) > within*x {
				t.Fatalf("%v printed as %s is read as %v", x, text, again.Value)
			}
		}
	}
}

// What is printed is read back, of every size.
func TestWhatIsPrintedIsReadBack(t *testing.T) {
	for kind := Volume; kind <= Price; kind++ {
		for x := 1.7e-6; x < 1e11; x *= 3.1 {
			if kind != Share || x <= 1 {
				readsBack(t, kind, x)
			}
		}
	}
}

// Whatever is typed, what it is read as can be printed and read back, and the answer is a finite number from 0 up or a one-line
// error.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"5000L", "1,500 gal", "45gal/day", "3 per 1000 gal", "90%", "1,5 m3", "1e999L", "-0L", "500..900L/5", "5'", "0x1p4L", "½ L", "1_000L", "\x00", "5 per 5 per L", "1a day", "$1400", "$4/1000 gal", "1 1/2 in", `5' 6"`, "30 ft x 40 ft", "300 litres per day", "1,000L; 2,000L", "½ x ½ m", "1/2/2 L", "5'''"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		oneLine := func(err error) {
			for _, r := range err.Error() {
				if r == '\n' || r == '\r' {
					t.Fatalf("%q: error of two lines: %v", s, err)
				}
			}
		}
		for kind := Volume; kind <= Price; kind++ {
			q, err := Parse(kind, "it", s)
			if err != nil {
				oneLine(err)
				continue
			}
			if !(q.Value >= 0) || math.IsInf(q.Value, 0) || kind == Share && q.Value > 1 {
				t.Fatalf("%q as %v: %v", s, kind, q)
			}
			readsBack(t, kind, q.Value)
		}
		if x, err := Number("it", s); err == nil && !(x >= 0 && !math.IsInf(x, 0)) {
			t.Fatalf("%q: %v", s, x)
		}
		if x, _, err := Money("it", s); err == nil && !(x >= 0 && !math.IsInf(x, 0)) {
			t.Fatalf("%q: %v", s, x)
		}
		values, _, err := ParseList(Volume, "it", s)
		if err != nil {
			oneLine(err)
			return
		}
		if len(values) == 0 || len(values) > len(s)+mostValues {
			t.Fatalf("%q: %d values", s, len(values))
		}
		for i, x := range values {
			if !(x >= 0) || math.IsInf(x, 0) || i > 0 && !(x > values[i-1]) {
				t.Fatalf("%q: value %d of %v", s, i, values)
			}
		}
	})
}
