package read

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/rainfall"
)

// Written by hand to the publisher's description; the values and the station
// are invented.
const knmiSample = `BRON: KONINKLIJK NEDERLANDS METEOROLOGISCH INSTITUUT (KNMI)
Opmerking: door stationsverplaatsingen en veranderingen in waarneemmethodieken zijn deze tijdreeksen mogelijk inhomogeen!

YYYYMMDD  = Datum (YYYY=jaar MM=maand DD=dag) / Date (YYYY=year MM=month DD=day)
DR        = Duur van de neerslag (in 0.1 uur) / Precipitation duration (in 0.1 hour)
RH        = Etmaalsom van de neerslag (in 0.1 mm) (-1 voor <0.05 mm) / Daily precipitation amount (in 0.1 mm) (-1 for <0.05 mm)

# STN,YYYYMMDD,   DR,   RH,  RHX

  999,19991229,     ,     ,     
  999,19991230,   12,   34,   10
  999,19991231,    0,    0,    0
  999,20000101,    1,   -1,   -1
  999,20000102,     ,     ,     
  999,20000103,    9,    7,    7
`

func TestKNMI(t *testing.T) {
	r := readWorld(t, knmiSample)
	assert.Equal(t, "999", r.Station)
	assert.Equal(t, "", r.Place, "etmgeg does not name the place")
	assert.Equal(t, "0.1 mm", r.Unit)
	assert.Equal(t, "1999-12-30", r.First.String())
	assertDepths(t, []float64{3.4, 0, 0, math.NaN(), 0.7}, r)
	assert.Equal(t, []rainfall.Mark{0, 0, rainfall.Trace, 0, 0}, r.Mark)
	assert.Equal(t, 1, r.Missing())
}

// A file of several stations, whose head is commented out and names them.
const knmiSeveralSample = `# DATA IS PROVIDED BY KNMI
# STN         LON(east)   LAT(north)  ALT(m)      NAME
# 998         5.180       52.100      1.90        Carrow
# 999         5.520       52.458      -3.70       Tarn Lane
# RH        : Daily precipitation amount (in 0.1 mm) (-1 for <0.05 mm)
# STN,YYYYMMDD,   RH
  998,20200101,   10
  999,20200101,   20
  998,20200102,   11
  999,20200102,   21
`

func TestKNMISeveral(t *testing.T) {
	assert.Contains(t, failWorld(t, knmiSeveralSample).Error(), "record.txt: the file holds 2 stations")
	r, err := Bytes("record.txt", []byte(knmiSeveralSample), Options{Station: "999"})
	assert.NoError(t, err)
	assert.Equal(t, "Tarn Lane", r.Place)
	assertDepths(t, []float64{2, 2.1}, r)
}

func TestKNMIErrors(t *testing.T) {
	assert.Contains(t, failWorld(t, "# STN,YYYYMMDD,   HH,   RH\n  998,20200101,    1,   10\n").Error(), "record.txt:1: the values are of hours")
	assert.Contains(t, failWorld(t, "# STN,YYYYMMDD,   TG\n  998,20200101,   10\n").Error(), `record.txt:1: no column "RH"`)
	assert.Contains(t, failWorld(t, "# STN,YYYYMMDD,   RH\n  998,20200101,   -2\n").Error(), "record.txt:2: rain of -0.2 mm is below zero")
}
