package gen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"tankodds/testdata"
)

// TestMomentsNIST: mean, standard deviation and lag-1 autocorrelation as the
// NIST Statistical Reference Datasets certify them (READ-2nd).
func TestMomentsNIST(t *testing.T) {
	values := func(name string) []float64 { return testdata.Column(t, "nist/"+name+".csv", "value") }
	for _, c := range []struct {
		name           string
		x              []float64
		mean, sd, lag1 float64
		digits         float64 // relative error allowed; the hard sets are hard in double precision
	}{
		{"Lottery", values("lottery"), 518.958715596330, 291.699727470969, -0.120948622967393, 1e-14},
		{"Lew", values("lew"), -177.435, 277.332168044316, -0.307304800605679, 1e-14},
		{"Mavro", values("mavro"), 2.001856, 0.000429123454003053, 0.937989183438248, 1e-11},
		{"Michelso", values("michelso"), 299.8524, 0.0790105478190518, 0.535199668621283, 1e-12},
		// The rest are made from NIST's definitions: values that a careless sum of squares gets wrong.
		{"NumAcc1", []float64{10000001, 10000003, 10000002}, 10000002, 1, -0.5, 1e-15},
		{"NumAcc2", seesaw(1.2, 1.1, 1.3), 1.2, 0.1, -0.999, 1e-13},
		{"NumAcc3", seesaw(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, -0.999, 1e-8},
		{"NumAcc4", seesaw(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, -0.999, 1e-7},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.InEpsilon(t, c.mean, mean(c.x), 1e-14)
			assert.InEpsilon(t, c.mean, stat.Mean(c.x, nil), 1e-14)
			assert.InEpsilon(t, c.sd, stat.StdDev(c.x, nil), c.digits)
			assert.InEpsilon(t, c.lag1, Autocorrelation(c.x, 1), max(c.digits, 1e-12))
		})
	}
}

// seesaw returns first and then low, high 500 times over.
func seesaw(first, low, high float64) []float64 {
	x := []float64{first}
	for range 500 {
		x = append(x, low, high)
	}
	return x
}

// TestLineNIST fits NIST's Norris line with the library's least squares, to
// know how far it can be trusted (certified values READ-2nd).
func TestLineNIST(t *testing.T) {
	x, y := testdata.Column(t, "nist/norris.csv", "x"), testdata.Column(t, "nist/norris.csv", "y")
	require.Len(t, x, 36)
	a, b := stat.LinearRegression(x, y, nil, false)
	assert.InEpsilon(t, -0.262323073774029, a, 1e-11)
	assert.InEpsilon(t, 1.00211681802045, b, 1e-13)
	r := stat.Correlation(x, y, nil)
	assert.InEpsilon(t, 0.999993745883712, r*r, 1e-13)
}

// TestNileMoments holds the Nile record to its known moments (COMP from READ
// data), so that every other test that uses it starts from the right numbers.
func TestNileMoments(t *testing.T) {
	x := testdata.Column(t, "nile.csv", "flow")
	require.Len(t, x, 100)
	assert.InDelta(t, 919.35, stat.Mean(x, nil), 1e-10)
	assert.InDelta(t, 169.2275, stat.StdDev(x, nil), 5e-5)
	assert.InDelta(t, 0.4984082, Autocorrelation(x, 1), 5e-8)
}
