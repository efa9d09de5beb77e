package read

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// ET₀ of Phoenix, 33.43°N, by Hargreaves, mm a month. COMP, apart from this
// program, twice: by a script of the same days to the last digit, and once
// more, whole millimetres and 1,690 a year, of which it is not known how days
// without temperatures were taken; so within two of them.
func TestPhoenixReferenceET(t *testing.T) {
	r, err := File(dataFile(t, "ncei-past-weather/Phoenix_Weather.csv"), Options{Temperatures: true})
	require.NoError(t, err)
	et, share, err := r.ReferenceET(33.43)
	require.NoError(t, err)
	assert.InDelta(t, 31847.0/33769, share, 1e-9)
	months := (&rainfall.Record{First: r.First, Depth: et}).MonthlyMean()
	sum := 0.0
	for m, want := range []float64{61.501, 75.800, 118.298, 158.600, 205.016, 231.222, 225.427, 201.103, 162.403, 119.728, 75.215, 57.074} {
		assert.InDelta(t, want, months[m], 0.001)
		sum += months[m]
	}
	for m, want := range []float64{61, 77, 119, 157, 207, 231, 225, 201, 162, 118, 75, 57} {
		assert.InDelta(t, want, months[m], 2.1)
	}
	assert.InDelta(t, 1690, sum, 2)
}
