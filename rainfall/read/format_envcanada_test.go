package read

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// Written by hand to the publisher's description; the values and the station
// are invented.
const envCanadaHead = `"Longitude (x)","Latitude (y)","Station Name","Climate ID","Date/Time","Year","Month","Day","Data Quality","Max Temp (°C)","Max Temp Flag","Total Rain (mm)","Total Rain Flag","Total Snow (cm)","Total Snow Flag","Total Precip (mm)","Total Precip Flag"` + "\n"

func envCanadaRow(date, amount, flag string) string {
	p := strings.Split(date, "-")
	return `"-63.51","44.88","CARROW A","8209999","` + date + `","` + p[0] + `","` + p[1] + `","` + p[2] + `","","-2.2","","","M","","M","` + amount + `","` + flag + `"` + "\n"
}

var envCanadaSample = "\ufeff" + envCanadaHead +
	envCanadaRow("2015-01-01", "1.6", "") +
	envCanadaRow("2015-01-02", "0.0", "T") +
	envCanadaRow("2015-01-03", "0.0", "C") +
	envCanadaRow("2015-01-04", "0.0", "L") +
	envCanadaRow("2015-01-05", "9.0", "A") +
	envCanadaRow("2015-01-06", "0.0", "") +
	envCanadaRow("2015-01-07", "2.4", "E") +
	envCanadaRow("2015-01-08", "", "M") +
	envCanadaRow("2015-01-09", "0.0", "L") + // no total follows
	envCanadaRow("2015-01-10", "0.2", "") +
	envCanadaRow("2015-01-11", "0.0", "C") +
	envCanadaRow("2015-01-12", "6.0", "F") +
	envCanadaRow("2015-01-13", "", "")

func TestEnvCanada(t *testing.T) {
	r := readWorld(t, envCanadaSample)
	assert.Equal(t, "8209999", r.Station)
	assert.Equal(t, "CARROW A", r.Place)
	assert.Equal(t, "mm", r.Unit)
	assert.Equal(t, "2015-01-01", r.First.String())
	nan := math.NaN()
	assertDepths(t, []float64{1.6, 0, 3, 3, 3, 0, 2.4, nan, nan, 0.2, 3, 3}, r)
	assert.Equal(t, []rainfall.Mark{0, rainfall.Trace, rainfall.Spread, rainfall.Spread, rainfall.Spread, 0, rainfall.Doubtful, 0, 0, 0, rainfall.Spread | rainfall.Doubtful, rainfall.Spread | rainfall.Doubtful}, r.Mark)
	assert.Equal(t, []rainfall.Total{{Last: rainfall.Day(2015, 1, 5), Days: 3, MM: 9}, {Last: rainfall.Day(2015, 1, 12), Days: 2, MM: 6}}, r.Totals)
	assertTold(t, r, "uncertain", "count=1")
	assertTold(t, r, "doubtful", "count=3 share=0.25 estimated")
	assert.Equal(t, 7, r.Missing())
}

// A total with no C or L before it covers the missing days before it, and
// without any its own day alone.
func TestEnvCanadaTotalAlone(t *testing.T) {
	r := readWorld(t, envCanadaHead+
		envCanadaRow("2015-01-01", "1.0", "")+envCanadaRow("2015-01-02", "", "M")+envCanadaRow("2015-01-03", "5.0", "A")+envCanadaRow("2015-01-04", "7.0", "A"))
	assertDepths(t, []float64{1, 2.5, 2.5, 7}, r)
	assert.Equal(t, []rainfall.Mark{0, rainfall.Spread, rainfall.Spread, 0}, r.Mark)
	require.Len(t, r.Totals, 1)
}

// An estimated total whose days the file does not state is doubtful on each of
// those taken; after a hole too long to be one, it is left out and no day of
// it is.
func TestEnvCanadaEstimatedTotalAlone(t *testing.T) {
	rows := envCanadaHead + envCanadaRow("2015-01-01", "1.0", "") + envCanadaRow("2015-01-03", "5.0", "F")
	r := readWorld(t, rows)
	assertDepths(t, []float64{1, 2.5, 2.5}, r)
	assert.Equal(t, []rainfall.Mark{0, rainfall.Spread | rainfall.Doubtful, rainfall.Spread | rainfall.Doubtful}, r.Mark)

	r = readWorld(t, rows+envCanadaRow("2015-06-01", "8.0", "F")+envCanadaRow("2015-06-02", "0.0", ""))
	assert.True(t, math.IsNaN(r.Depth[len(r.Depth)-2]))
	assert.Equal(t, 2, r.Count(rainfall.Doubtful))
}

// C or L beside an amount above zero: the amount is uncertain, and kept.
func TestEnvCanadaUncertainAmount(t *testing.T) {
	r := readWorld(t, envCanadaHead+envCanadaRow("2015-01-01", "1.0", "C")+envCanadaRow("2015-01-02", "0.0", ""))
	assertDepths(t, []float64{1, 0}, r)
	assert.Equal(t, []rainfall.Mark{rainfall.Doubtful, 0}, r.Mark)
}

// The publisher gives a year a file; joined, the later headers are passed
// over, marks and all.
func TestEnvCanadaJoined(t *testing.T) {
	next := "\ufeff" + envCanadaHead + envCanadaRow("2016-01-01", "4.0", "")
	r := readWorld(t, envCanadaHead+envCanadaRow("2015-12-31", "1.0", "")+next)
	assertDepths(t, []float64{1, 4}, r)
	assert.Equal(t, "8209999", r.Station)
}

// The older download names the station in a head of its own; a dagger under
// Data Quality is a value without final review.
const envCanadaOldSample = `"Station Name","CARROW A"
"Province","NOVA SCOTIA"
"Climate Identifier","8209998"

"Legend"
"A","Accumulated"
"C","Precipitation occurred, amount uncertain"

"Date/Time","Year","Month","Day","Data Quality","Max Temp (°C)","Total Precip (mm)","Total Precip Flag"
"2015-01-01","2015","01","01","†","-2.2","1.6",""
"2015-01-02","2015","01","02","","1.3","0.4",""
`

func TestEnvCanadaOld(t *testing.T) {
	r := readWorld(t, envCanadaOldSample)
	assert.Equal(t, "8209998", r.Station)
	assert.Equal(t, "CARROW A", r.Place)
	assertDepths(t, []float64{1.6, 0.4}, r)
	assert.Equal(t, []rainfall.Mark{rainfall.Doubtful, 0}, r.Mark)
}

func TestEnvCanadaErrors(t *testing.T) {
	assert.Contains(t, failWorld(t, envCanadaHead+envCanadaRow("2015-02-30", "1.0", "")).Error(), `record.txt:2: there is no day "2015-02-30"`)
	assert.Contains(t, failWorld(t, envCanadaHead+envCanadaRow("2015-02-28", "-1.0", "C")).Error(), "record.txt:2: rain of -1 mm is below zero")
	assert.Contains(t, failWorld(t, envCanadaHead+envCanadaRow("2015-02-28", "1.0", "")+strings.ReplaceAll(envCanadaRow("2015-02-28", "1.0", ""), "8209999", "8209998")).Error(), "the file holds 2 stations")
	monthly := "\"Date/Time\",\"Year\",\"Month\",\"Total Precip (mm)\",\"Total Precip Flag\"\n\"2015-01\",\"2015\",\"01\",\"90.1\",\"\"\n"
	assert.Contains(t, failWorld(t, monthly).Hint, "download the daily values")
}
