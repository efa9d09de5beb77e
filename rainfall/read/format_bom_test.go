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
const bomHeader = "Product code,Bureau of Meteorology station number,Year,Month,Day,Rainfall amount (millimetres),Period over which rainfall was measured (days),Quality\n"

const bomSample = bomHeader +
	"IDCJAC0009,099901,2019,01,01,,,\n" + // before the first value
	"IDCJAC0009,099901,2019,01,02,,,\n" + // covered by the total of the 4th
	"IDCJAC0009,099901,2019,01,03,,,\n" +
	"IDCJAC0009,099901,2019,01,04,12.6,3,Y\n" +
	"IDCJAC0009,099901,2019,01,05,0.0,1,Y\n" +
	"IDCJAC0009,099901,2019,01,06,3.2,,\n" + // period blank beside an amount: one day
	"IDCJAC0009,099901,2019,01,07,,,\n" + // missing, not dry
	"IDCJAC0009,099901,2019,01,08,5.4,1,N\n"

func TestBoM(t *testing.T) {
	r := readWorld(t, bomSample)
	assert.Equal(t, "BoM daily rainfall (IDCJAC0009)", r.Format)
	assert.Equal(t, "099901", r.Station)
	assert.Equal(t, "mm", r.Unit)
	assert.False(t, r.Modelled)
	assert.Equal(t, "2019-01-02", r.First.String(), "the blank day before the total's first is no part of the record")
	assertDepths(t, []float64{4.2, 4.2, 4.2, 0, 3.2, math.NaN(), 5.4}, r)
	assert.Equal(t, []rainfall.Mark{rainfall.Spread, rainfall.Spread, rainfall.Spread, 0, 0, 0, rainfall.Doubtful}, r.Mark)
	require.Len(t, r.Totals, 1)
	assert.Equal(t, rainfall.Total{Last: rainfall.Day(2019, 1, 4), Days: 3, MM: 12.6}, r.Totals[0])
	assert.Equal(t, 4, r.Missing(), "a share of a total is no value of the day's own")
	assertTold(t, r, "doubtful", "count=1 share=0.1429 unfinished")
}

// Byte-order marks, CRLF and unpadded ids occur.
func TestBoMAsSaved(t *testing.T) {
	text := "\ufeff" + strings.ReplaceAll(strings.ReplaceAll(bomSample, "099901", "99901"), "\n", "\r\n")
	r := readWorld(t, text)
	assert.Equal(t, "099901", r.Station)
	assertDepths(t, readWorld(t, bomSample).Depth, r)
}

// The covered days may have no row at all, at the head of the file too.
func TestBoMTotalWithoutRows(t *testing.T) {
	r := readWorld(t, bomHeader+"IDCJAC0009,099901,2020,03,02,9.0,3,N\nIDCJAC0009,099901,2020,03,03,1.0,1,Y\n")
	assert.Equal(t, "2020-02-29", r.First.String())
	assertDepths(t, []float64{3, 3, 3, 1}, r)
	assert.Equal(t, []rainfall.Mark{rainfall.Spread | rainfall.Doubtful, rainfall.Spread | rainfall.Doubtful, rainfall.Spread | rainfall.Doubtful, 0}, r.Mark)
}

func TestBoMErrors(t *testing.T) {
	for _, c := range []struct{ row, text string }{
		{"IDCJAC0009,099901,2019,02,29,1.0,1,Y", `record.txt:2: there is no day "2019-02-29"`},
		{"IDCJAC0009,099901,2019,02,28,1.0,0,Y", `record.txt:2: period "0" is no number of days from 1 to 366`},
		{"IDCJAC0009,099901,2019,02,28,wet,1,Y", `record.txt:2: rainfall "wet" is not a number`},
		{"IDCJAC0009,099901,2019,02,28,-1,1,Y", `record.txt:2: rain of -1 mm is below zero`},
		{"IDCJAC0009,099901,2019,02,28,1,1,Y\nIDCJAC0009,099902,2019,02,28,1,1,Y", "record.txt: the file holds 2 stations"},
	} {
		assert.Contains(t, failWorld(t, bomHeader+c.row+"\n").Error(), c.text)
	}
	e := failWorld(t, "Product code,Bureau of Meteorology station number,Year,Month,Day,Maximum temperature (Degree C)\nIDCJAC0010,099901,2019,01,01,30.1\n")
	assert.Contains(t, e.Hint, "IDCJAC0009")
}
