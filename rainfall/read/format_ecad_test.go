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
const ecadHead = `EUROPEAN CLIMATE ASSESSMENT & DATASET (ECA&D), file created on 01-02-2023
THESE DATA CAN BE USED FREELY PROVIDED THAT THE FOLLOWING SOURCE IS ACKNOWLEDGED:

FILE FORMAT (MISSING VALUE CODE IS -9999):

01-06 SOUID: Source identifier
08-15 DATE : Date YYYYMMDD
17-21 RR   : precipitation amount in 0.1 mm
23-27 Q_RR : Quality code for RR (0='valid'; 1='suspect'; 9='missing')

This is the blended series of station NOWHERELAND, CARROW (STAID: 99901).
Blended and updated with sources: 990001 990002

`

const ecadSample = ecadHead + ` SOUID,    DATE,   RR, Q_RR
990001,20200227,-9999,    9
990001,20200228,   12,    0
990001,20200229,    0,    0
990001,20200301,-9999,    9
990001,20200302,  905,    1
990002,20200303,    7,    0
`

func TestECAD(t *testing.T) {
	r := readWorld(t, ecadSample)
	assert.Equal(t, "99901", r.Station)
	assert.Equal(t, "NOWHERELAND, CARROW", r.Place)
	assert.Equal(t, "0.1 mm", r.Unit)
	assert.Equal(t, "2020-02-28", r.First.String())
	assertDepths(t, []float64{1.2, 0, math.NaN(), 90.5, 0.7}, r)
	assert.Equal(t, []rainfall.Mark{0, 0, 0, rainfall.Doubtful, 0}, r.Mark)
	assertTold(t, r, "doubtful", "count=1 share=0.2 suspect")
}

// The number of columns is the header's to say, not the file name's.
func TestECADColumns(t *testing.T) {
	text := strings.Replace(ecadSample, " SOUID,    DATE", "STAID, SOUID,    DATE", 1)
	text = strings.ReplaceAll(text, "\n99000", "\n 99901,99000")
	r := readWorld(t, text)
	assert.Equal(t, "99901", r.Station)
	assertDepths(t, readWorld(t, ecadSample).Depth, r)

	souid := strings.Replace(ecadSample, "This is the blended series of station NOWHERELAND, CARROW (STAID: 99901).", "This is the original series of station NOWHERELAND, CARROW (SOUID: 990001).", 1)
	assert.Equal(t, "990001", readWorld(t, souid).Station)
}

// A suspect value that is no rain is missing; a quality of 9 beside a value is
// missing as well.
func TestECADSuspectNonsense(t *testing.T) {
	r := readWorld(t, ecadSample+"990002,20200304,  -31,    1\n990002,20200305,99999,    1\n990002,20200306,   50,    9\n990002,20200307,    3,    0\n")
	assertDepths(t, []float64{1.2, 0, math.NaN(), 90.5, 0.7, math.NaN(), math.NaN(), math.NaN(), 0.3}, r)
	assert.Equal(t, 2, r.Count(rainfall.Failed))
}

func TestECADErrors(t *testing.T) {
	assert.Contains(t, failWorld(t, ecadSample+"990002,20200304,   31,    4\n").Error(), `record.txt:21: quality code "4" is not 0, 1 or 9`)
	assert.Contains(t, failWorld(t, ecadSample+"990002,20200230,   31,    0\n").Error(), `record.txt:21: there is no day "20200230"`)
	assert.Contains(t, failWorld(t, ecadSample+"990002,20200304,  -31,    0\n").Error(), `record.txt:21: rain of -3.1 mm is below zero`)
	assert.Contains(t, failWorld(t, ecadSample+"990002,20200303,    8,    0\n").Error(), `record.txt:21: 2020-03-03 is 0.8 mm here and 0.7 mm on line 20`)
	tg := strings.NewReplacer("   RR, Q_RR", "   TG, Q_TG").Replace(ecadSample)
	assert.Contains(t, failWorld(t, tg).Error(), "record.txt:14: the series holds TG, not RR")
}
