package read

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Written by hand to the publishers' descriptions; the values are invented.
const nasaHead = `-BEGIN HEADER-
NASA/POWER Source Native Resolution Daily Data 
Dates (month/day/year): 12/30/2019 through 01/02/2020 in LST
Location: latitude  12.3456   longitude -65.4321 
elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 448.45 meters
The value for missing source data that cannot be computed or is outside of the sources availability range: -999 
parameter(s): 
T2M                     MERRA-2 Temperature at 2 Meters (C) 
PRECTOTCORR             MERRA-2 Precipitation Corrected (mm/day) 
-END HEADER-
`

const nasaSample = nasaHead + `YEAR,MO,DY,T2M,PRECTOTCORR
2019,12,30,20.1,0.25
2019,12,31,20.1,-999.0
2020,1,1,-999.0,0.0
2020,1,2,20.1,12.5
`

const nasaDOYSample = nasaHead + `YEAR,DOY,PRECTOTCORR
2019,364,0.25
2019,365,-999
2020,1,0.0
2020,2,12.5
`

func TestNASAPower(t *testing.T) {
	for _, text := range []string{nasaSample, nasaDOYSample} {
		r := readWorld(t, text)
		assert.True(t, r.Modelled)
		assertTold(t, r, "modelled", "NASA POWER")
		assert.Equal(t, "grid cell at 12.3456, -65.4321", r.Place)
		assert.Equal(t, "mm", r.Unit)
		assert.Equal(t, "2019-12-30", r.First.String())
		assertDepths(t, []float64{0.25, math.NaN(), 0, 12.5}, r)
	}
}

func TestNASAPowerErrors(t *testing.T) {
	for _, c := range []struct{ old, new, text string }{
		{"2020,2,12.5", "2020,367,12.5", `record.txt:15: day "367" of the year 2020 is not from 1 to 366`},
		{"2019,365,-999", "2019,366,1.0", `record.txt:13: day "366" of the year 2019 is not from 1 to 365`},
		{"2020,2,12.5", "2020,2,", "record.txt:15: PRECTOTCORR"},
		{"2020,2,12.5", "2020,2,-998", "record.txt:15: rain of -998 mm is below zero"},
		{"YEAR,DOY,PRECTOTCORR", "Y,D,P", "no table with a column YEAR"},
		{"YEAR,DOY,PRECTOTCORR", "YEAR,DOY,T2M", `record.txt:11: no column "PRECTOTCORR"`},
		{"YEAR,DOY,", "YEAR,MO,", "record.txt:11: no columns YEAR, MO, DY or YEAR, DOY"},
		{"(mm/day)", "(in/day)", "record.txt:9: PRECTOTCORR is in in/day, not mm/day"},
	} {
		assert.Contains(t, failWorld(t, strings.Replace(nasaDOYSample, c.old, c.new, 1)).Error(), c.text)
	}
	hourly := strings.Replace(nasaSample, "YEAR,MO,DY,T2M", "YEAR,MO,DY,HR", 1)
	assert.Contains(t, failWorld(t, hourly).Error(), "record.txt:11: the values are of hours")
}

const openMeteoSample = `latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation
12.34567,-65.43210,38.0,0,GMT,GMT

time,weather_code (wmo code),rain_sum (mm),precipitation_sum (mm),precipitation_hours (h)
2019-12-30,51,0.10,0.30,2.0
2019-12-31,0,0.00,0.00,0.0
2020-01-01,73,0.00,4.20,9.0
2020-01-02,0,NaN,NaN,NaN
`

func TestOpenMeteo(t *testing.T) {
	r := readWorld(t, openMeteoSample)
	assert.True(t, r.Modelled)
	assertTold(t, r, "modelled", "Open-Meteo")
	assert.Equal(t, "grid cell at 12.34567, -65.43210", r.Place)
	assert.Equal(t, "mm", r.Unit)
	assert.Equal(t, "2019-12-30", r.First.String())
	assertDepths(t, []float64{0.3, 0, 4.2}, r) // precipitation, not rain alone; the last NaN cut off

	inches := readWorld(t, strings.ReplaceAll(openMeteoSample, "_sum (mm)", "_sum (inch)"))
	assert.Equal(t, "in", inches.Unit)
	assertDepths(t, []float64{0.3 * 25.4, 0, 4.2 * 25.4}, inches)

	rain := readWorld(t, strings.Replace(openMeteoSample, "precipitation_sum (mm)", "snowfall_sum (cm)", 1))
	assertDepths(t, []float64{0.1, 0, 0}, rain)
	assertTold(t, rain, "rain-only", "")
}

func TestOpenMeteoModels(t *testing.T) {
	two := strings.Replace(openMeteoSample, "rain_sum (mm),precipitation_sum (mm)", "precipitation_sum_era5 (mm),precipitation_sum_era5_land (mm)", 1)
	assert.Contains(t, failWorld(t, two).Error(), "record.txt:4: several columns of precipitation: precipitation_sum_era5 (mm), precipitation_sum_era5_land (mm)")
	r, err := Bytes("record.txt", []byte(two), Options{Column: "precipitation_sum_era5_land (mm)"})
	assert.NoError(t, err)
	assertDepths(t, []float64{0.3, 0, 4.2}, r)
}

func TestOpenMeteoErrors(t *testing.T) {
	for _, c := range []struct{ old, new, text string }{
		{"2020-01-01,73", "2020-13-01,73", `record.txt:7: there is no day "2020-13-01"`},
		{"4.20,9.0", "x,9.0", `record.txt:7: precipitation "x" is not a number`},
		{"rain_sum (mm),precipitation_sum (mm)", "rain_sum,precipitation_sum", "record.txt:4: no column precipitation_sum with its unit"},
		{"precipitation_sum (mm)", "precipitation_sum (kg)", `record.txt:4: precipitation is in "kg", not mm or inch`},
		{"rain_sum (mm),precipitation_sum (mm)", "snowfall_sum (cm),showers_sum (mm)", "record.txt: no table with the columns time and precipitation_sum"},
	} {
		assert.Contains(t, failWorld(t, strings.Replace(openMeteoSample, c.old, c.new, 1)).Error(), c.text)
	}
}
