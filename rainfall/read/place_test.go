package read

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// Where the gauges of real files stand, as their publishers write it in them: read by
// eye, once.
func TestPositionsOfRealFiles(t *testing.T) {
	dir := os.Getenv("TANKODDS_DATA")
	if dir == "" {
		t.Skip("set TANKODDS_DATA to a folder of real records")
	}
	looked, nan := 0, math.NaN()
	for name, want := range map[string]rainfall.Position{
		"open-meteo/open-meteo-52.55N13.41E38m.csv":                              {Latitude: 52.54833, Longitude: 13.407822, Elevation: 38},
		"nasa-power/POWER_Point_Daily_20000101_20241231_032d93N_072d86E_LST.csv": {Latitude: 32.9348, Longitude: 72.8576, Elevation: 448.45},
		"ncei-access/USW00053908.csv":                                            {Latitude: 36.04243, Longitude: -95.99016, Elevation: 189.1},
		"met-eireann/dly532.csv":                                                 {Latitude: nan, Longitude: nan, Elevation: nan},
		"ghcn-dly/USW00094728.dly":                                               {Latitude: nan, Longitude: nan, Elevation: nan},
	} {
		path := filepath.Join(dir, name)
		if _, err := os.Stat(path); err != nil {
			continue
		}
		looked++
		r, err := File(path, Options{})
		require.NoError(t, err, name)
		same(t, want, r.Position, name)
	}
	require.Positive(t, looked, "no file of the table is there")
}

func same(t *testing.T, want, got rainfall.Position, name string) {
	t.Helper()
	for k, x := range [][2]float64{{want.Latitude, got.Latitude}, {want.Longitude, got.Longitude}, {want.Elevation, got.Elevation}} {
		if math.IsNaN(x[0]) {
			assert.True(t, math.IsNaN(x[1]), "%s, no. %d: %g", name, k, x[1])
			continue
		}
		assert.InDelta(t, x[0], x[1], 1e-9, "%s, no. %d", name, k)
	}
}

// Columns of a plain table and lines above it say where a gauge stands, south and west
// too; what is no place is none.
func TestPositionsOfTables(t *testing.T) {
	nan := math.NaN()
	days := "2001-01-01,1.5\n2001-01-02,0\n2001-01-03,2.5\n"
	for text, want := range map[string]rainfall.Position{
		"date,rain_mm\n" + days: {Latitude: nan, Longitude: nan, Elevation: nan},
		"lat,lon,elev_ft,date,rain_mm\n-33.5,-70.25,1000,2001-01-01,1.5\n-33.5,-70.25,1000,2001-01-02,0\n": {Latitude: -33.5, Longitude: -70.25, Elevation: 304.8},
		"latitude,longitude,elevation,date,rain_mm\n0,0,-999.9,2001-01-01,1.5\n0,0,-999.9,2001-01-02,0\n":  {Latitude: nan, Longitude: nan, Elevation: nan},
		"latitude,longitude,date,rain_mm\n,,2001-01-01,1.5\n95,190,2001-01-02,0\n":                         {Latitude: nan, Longitude: nan, Elevation: nan},
		"Latitude: 33.5 S, Longitude: 70.2 W\nElevation: 1000 ft\ndate,rain_mm\n" + days:                   {Latitude: -33.5, Longitude: -70.2, Elevation: 304.8},
		"latitude 33.5°N longitude 70.2°E\n# altitude: 200 m\ndate,rain_mm\n" + days:                       {Latitude: 33.5, Longitude: 70.2, Elevation: 200},
		"Latitude: 53.428 ,Longitude: -6.241\nStation Height: 71 M\ndate,rain_mm\n" + days:                 {Latitude: 53.428, Longitude: -6.241, Elevation: 71},
	} {
		r, err := Bytes("a.csv", []byte(text), Options{})
		require.NoError(t, err, text)
		same(t, want, r.Position, text)
	}
}
