package read

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/rainfall"
)

// Written by hand to the publisher's description; the values and the station
// are invented.
const dwdHeader = "STATIONS_ID;MESS_DATUM;QN_6;  RS; RSF;SH_TAG;NSH_TAG;eor\n"

const dwdSample = dwdHeader +
	"      99901;19780228;    1;   2.2;   1;   0;-999;eor\n" +
	"      99901;19780301;    5;   0.0;   0;   0;-999;eor\n" +
	"      99901;19780302;    5;   0.0;   8;   0;-999;eor\n" + // a form without an amount: trace
	"      99901;19780303;    5;  -999;-999;   0;-999;eor\n" +
	"      99901;19780306;   10;  10.5;   4;-999;-999;eor\n" // two days have no row

func TestDWD(t *testing.T) {
	r := readWorld(t, dwdSample)
	assert.Equal(t, "99901", r.Station)
	assert.Equal(t, "mm", r.Unit)
	assert.Equal(t, "1978-02-28", r.First.String())
	nan := math.NaN()
	assertDepths(t, []float64{2.2, 0, 0, nan, nan, nan, 10.5}, r)
	assert.Equal(t, []rainfall.Mark{rainfall.Doubtful, 0, rainfall.Trace, 0, 0, 0, 0}, r.Mark)
	assertTold(t, r, "doubtful", "count=1 share=0.1429 form-only")
}

// The climate product has more columns: RSK is judged by the quality column
// of its own group, QN_4, not by that of the wind, QN_3.
const dwdClimateSample = `STATIONS_ID;MESS_DATUM;QN_3;  FX;  FM;QN_4; RSK;RSKF; SDK;SHK_TAG;  NM; VPM;  PM; TMK; UPM; TXK; TNK; TGK;eor
      99902;20210714;    1;  12.1;   4.1;    3; 148.0;   6;   0.0;   0;   7.9;  16.0; 989.10;  15.9;  88.0;  17.0;  14.1;  13.9;eor
      99902;20210715;   10;-999;-999;    1;   0.4;   6;   1.0;   0;   7.9;  16.0; 989.10;  15.9;  88.0;  17.0;  14.1;  13.9;eor
`

func TestDWDClimate(t *testing.T) {
	r := readWorld(t, dwdClimateSample)
	assertDepths(t, []float64{148, 0.4}, r)
	assert.Equal(t, []rainfall.Mark{0, rainfall.Doubtful}, r.Mark)
}

// The historical and the recent file overlap; joined, the shared days count
// once and the second header is passed over.
func TestDWDJoined(t *testing.T) {
	r := readWorld(t, dwdSample+dwdSample[:strings.Index(dwdSample, "\n")+1]+"      99901;19780306;   10;  10.5;   4;-999;-999;eor\n      99901;19780307;    3;   1.0;   6;-999;-999;eor\n")
	assert.Len(t, r.Depth, 8)
	assertTold(t, r, "duplicate", "count=1")
}

func TestDWDErrors(t *testing.T) {
	assert.Contains(t, failWorld(t, dwdHeader+"99901;1978022800;1;2.2;1;0;-999;eor\n").Error(), `record.txt:2: "1978022800" is an hour or a minute, not a day`)
	assert.Contains(t, failWorld(t, dwdHeader+"99901;19780230;1;2.2;1;0;-999;eor\n").Error(), `record.txt:2: there is no day "19780230"`)
	assert.Contains(t, failWorld(t, dwdHeader+"99901;19780228;1;2.2\n").Error(), "record.txt:2: 4 fields where 8 were expected")
	assert.Contains(t, failWorld(t, "STATIONS_ID;MESS_DATUM;QN_9;TT_TU;RF_TU;eor\n99901;1978022800;1;2.2;1;eor\n").Error(), `record.txt:1: no column "RS"`)
}
