package read

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The list of stations of GHCN-Daily, in columns of fixed width: three invented lines
// of its form.
func TestListingOfFixedWidth(t *testing.T) {
	l, err := ReadListing("f", []byte(
		"XX000000001  17.1167  -61.7833   10.1    CARROW COAST                                       \n"+
			"XX000000002 -24.3167   54.6500 -999.9 QA MIDMOOR INTL                       GSN     41196\n"))
	require.NoError(t, err)
	a, b := l.Of("x/XX000000001.dly.gz", ""), l.Of("", "xx000000002")
	require.NotNil(t, a)
	require.NotNil(t, b)
	assert.Equal(t, []float64{17.1167, -61.7833, 10.1}, []float64{a.Latitude, a.Longitude, a.Elevation})
	assert.Equal(t, []string{"", "CARROW COAST"}, a.Values)
	assert.Equal(t, []float64{-24.3167, 54.65}, []float64{b.Latitude, b.Longitude})
	assert.True(t, math.IsNaN(b.Elevation))
	assert.Equal(t, []string{"QA", "MIDMOOR INTL"}, b.Values)
	assert.Nil(t, l.Of("other.csv", ""))
}

// Whatever the bytes, a list is read or refused in one line, and every position is one.
func FuzzReadListing(f *testing.F) {
	f.Add([]byte("id,lat,lon,elev_ft,coast\na,10,20,1000,east\n"))
	f.Add([]byte("# note\nfile;latitude\nx.csv;-90\n"))
	f.Add([]byte("XX000000001  17.1167  -61.7833   10.1    CARROW COAST\n"))
	f.Add([]byte("\ufeffstation\tlon\nb\t359\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := ReadListing("f", data)
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		for key, x := range l.stations {
			assert.NotEmpty(t, key)
			assert.False(t, math.Abs(x.Latitude) > 90 || x.Longitude < -180 || x.Longitude > 180, "%+v", x)
			assert.Len(t, x.Values, len(l.Columns))
		}
	})
}
