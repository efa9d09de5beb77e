package rainfall

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"tankodds/testdata"
)

// trendSeries reads one row of testdata/trends.csv.
func trendSeries(t testing.TB, name string) []float64 {
	t.Helper()
	for _, row := range testdata.Table(t, "trends.csv") {
		if row["series"] == name {
			var out []float64
			for _, s := range strings.Fields(row["values"]) {
				out = append(out, testdata.Number(t, s))
			}
			return out
		}
	}
	require.Fail(t, "no such series", name)
	return nil
}

func TestMannKendallPublished(t *testing.T) {
	nile := testdata.Column(t, "nile.csv", "flow")
	for _, c := range []struct {
		name         string
		x            []float64
		s            int
		variance     float64
		z            float64
		p            float64 // 0 where not published
		oneSided     float64 // 0 where not published
		exact        bool
		tolVar, tolZ float64
	}{
		// EPA QA/G-9S p. 109: S = 22, var 155.33, Z = 1.685. READ-2nd; Z in five digits COMP.
		{"epa", trendSeries(t, "epa"), 22, 155.33, 1.68495, 0, 0, false, 0.005, 5e-6},
		// Holy Cross course notes: S = 54, Z = 2.9058, one-sided p .0018. READ.
		{"holy-cross", trendSeries(t, "holy-cross"), 54, 332.667, 2.9058, 0, 0.0018, false, 0.001, 5e-5},
		// n = 5 and S = 6: 14 of 120 orderings. COMP; EPA prints .117, from memory, unverified.
		{"epa-five", trendSeries(t, "epa-five"), 6, 16.6667, 1.224745, 0, 14.0 / 120, true, 1e-4, 1e-6},
		// Nile. COMP from READ data.
		{"nile", nile, -1387, 112728.3333, -4.1280665, 3.6583e-5, 0, false, 1e-4, 1e-7},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := MannKendall(c.x)
			assert.Equal(t, len(c.x), got.N)
			assert.Equal(t, c.s, got.S)
			assert.Equal(t, c.exact, got.Exact)
			assert.InDelta(t, c.variance, got.Var, c.tolVar)
			assert.InDelta(t, c.z, got.Z, c.tolZ)
			if c.p != 0 {
				assert.InEpsilon(t, c.p, got.P, 2e-5)
			}
			switch {
			case c.exact:
				assert.InDelta(t, c.oneSided, got.OneSided, 1e-15)
			case c.oneSided != 0:
				assert.InDelta(t, c.oneSided, got.OneSided, 5e-5)
			}
		})
	}
}

// TestMannKendallBySeason adds the months' scores up to the seasonal test of
// the Nottingham temperatures: S = 224, p = .036; August S = 80, p = .009;
// September S = 67, p = .029. READ, trend vignette, whose p leave the
// continuity correction out; so do these.
func TestMannKendallBySeason(t *testing.T) {
	sum, variance := 0, 0.0
	for _, m := range strings.Fields("jan feb mar apr may jun jul aug sep oct nov dec") {
		got := MannKendall(testdata.Column(t, "nottingham.csv", m))
		sum += got.S
		variance += got.Var
		switch m {
		case "aug":
			assert.Equal(t, 80, got.S)
			assert.InDelta(t, 0.009, normalP(float64(got.S)/math.Sqrt(got.Var)), 5e-4)
		case "sep":
			assert.Equal(t, 67, got.S)
			assert.InDelta(t, 0.029, normalP(float64(got.S)/math.Sqrt(got.Var)), 5e-4)
		}
	}
	assert.Equal(t, 224, sum)
	assert.InDelta(t, 0.036, normalP(float64(sum)/math.Sqrt(variance)), 5e-4)
}

// TestKendallTailCounts compares the exact tail with a count over every
// ordering of up to seven values.
func TestKendallTailCounts(t *testing.T) {
	for n := 2; n <= 7; n++ {
		count := map[int]int{}
		all := 0
		permutations(n, func(p []float64) {
			count[MannKendall(p).S]++
			all++
		})
		for s := 0; s <= n*(n-1)/2; s++ {
			atLeast := 0
			for k, c := range count {
				if k >= s {
					atLeast += c
				}
			}
			assert.InDelta(t, float64(atLeast)/float64(all), kendallTail(n, s), 1e-12, "n %d, S %d", n, s)
		}
	}
}

func TestMannKendallEdges(t *testing.T) {
	for _, x := range [][]float64{nil, {1}, {2, 2, 2, 2}} {
		got := MannKendall(x)
		assert.Zero(t, got.S)
		assert.Zero(t, got.Z)
		assert.Equal(t, 1.0, got.P)
		assert.Equal(t, 1.0, got.OneSided)
	}
	// a series read backwards has the opposite trend and the same p
	x := testdata.Column(t, "nile.csv", "flow")
	back := make([]float64, len(x))
	for i, v := range x {
		back[len(x)-1-i] = v
	}
	a, b := MannKendall(x), MannKendall(back)
	assert.Equal(t, -a.S, b.S)
	assert.Equal(t, a.P, b.P)
}

func TestSenSlope(t *testing.T) {
	steps := func(n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = float64(i)
		}
		return out
	}
	// Nile, -2.6 a year, and the Holy Cross notes' series. COMP from READ data.
	nile := testdata.Column(t, "nile.csv", "flow")
	assert.InDelta(t, -2.6, SenSlope(testdata.Column(t, "nile.csv", "year"), nile), 1e-12)
	x := trendSeries(t, "holy-cross")
	assert.InDelta(t, 0.5666667, SenSlope(steps(len(x)), x), 5e-8)

	// an even number of pairs: slopes 1 2 3 10/3 9/2 6, and the median between
	assert.InDelta(t, (3+10.0/3)/2, SenSlope(steps(4), []float64{0, 1, 4, 10}), 1e-15)

	// a line is found through gaps and one wild value
	year := []float64{1990, 1991, 1995, 1996, 2003, 2004, 2010}
	line := make([]float64, len(year))
	for i, y := range year {
		line[i] = 3*y - 5000
	}
	line[3] = 1e6
	assert.InDelta(t, 3, SenSlope(year, line), 1e-12)
	assert.True(t, math.IsNaN(SenSlope(year[:1], line[:1])))
}

func TestPettittPublished(t *testing.T) {
	// Page's data, t = 17, K = 232, p = .014 (READ, trend vignette; .01456 is cut, not rounded, there).
	got := Pettitt(trendSeries(t, "page"))
	assert.Equal(t, 17, got.At)
	assert.Equal(t, 232, got.K)
	assert.InDelta(t, 0.0145, got.P, 0.0005)

	// Nile: K = 1617 after the 28th value, 1898; p = 3.591e-7. COMP from READ data.
	nile, year := testdata.Column(t, "nile.csv", "flow"), testdata.Column(t, "nile.csv", "year")
	got = Pettitt(nile)
	assert.Equal(t, 28, got.At)
	assert.Equal(t, 1898.0, year[got.At-1])
	assert.Equal(t, 1617, got.K)
	assert.InEpsilon(t, 3.591e-7, got.P, 2e-4)
	assert.InDelta(t, 1097.75, got.Before, 1e-9)
	assert.InDelta(t, 849.97222, got.After, 5e-6)
}

// TestPettittByDefinition compares K with the double sum that defines it.
func TestPettittByDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 300 {
		x := make([]float64, 2+rng.IntN(25))
		for i := range x {
			x[i] = float64(rng.IntN(9)) // ties are common
		}
		at, most := 0, -1
		for k := 1; k < len(x); k++ {
			u := 0
			for i := 0; i < k; i++ {
				for j := k; j < len(x); j++ {
					u += sign(x[i] - x[j])
				}
			}
			if abs(u) > most {
				at, most = k, abs(u)
			}
		}
		got := Pettitt(x)
		require.Equal(t, most, got.K, "%v", x)
		require.Equal(t, at, got.At, "%v", x)
		require.InDelta(t, stat.Mean(x[:at], nil), got.Before, 1e-12)
	}
	assert.Equal(t, 1.0, Pettitt(nil).P)
	assert.Equal(t, 1.0, Pettitt([]float64{4, 4, 4}).P)
}
