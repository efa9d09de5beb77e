package read

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

func mustRead(t *testing.T, text string, o Options) *rainfall.Record {
	t.Helper()
	r, err := Bytes("f", []byte(text), o)
	require.NoError(t, err)
	require.Len(t, r.Mark, len(r.Depth))
	return r
}

// codes lists the codes of a record's findings.
func codes(r *rainfall.Record) []string {
	var out []string
	for _, f := range r.Findings {
		out = append(out, f.Code)
	}
	return out
}

// The rain of NCEI's forms. The first four hold the same record: a presumed
// zero, a value, a failed one, a trace, a total of 9 mm over the three days 5
// to 7, a value; no form has a value for the 3rd.
func TestNCEIForms(t *testing.T) {
	const same = "from 2001-01-01: 0P 1.3 –F 0T 3S 3S 3S 2; 9 over 3 to 2001-01-07; presumed count=1 share=0.125"
	const first = "XX000000001,20010101,PRCP,10,,,7,\n"
	for name, c := range map[string]struct {
		text string
		opt  Options
		want string
	}{
		"dly":    {sampleDly, Options{}, "XX000000001, , 0.1 mm, " + same},
		"csv":    {sampleGHCNCSV, Options{}, "XX000000001, , 0.1 mm, " + same},
		"access": {sampleAccess, Options{}, "XX000000001, NOWHERE, XX, 0.1 mm, " + same},
		"order":  {sampleOrder, Options{Unit: "mm"}, "XX000000001, NOWHERE, XX, mm, " + same},
		// copies of the by-station files that carry a header
		"csv, header": {"ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + sampleGHCNCSV, Options{}, "XX000000001, , 0.1 mm, " + same},
		// Orders of before about 2017: flags in columns of their own, packed
		// dates, −9999 for missing (from memory, unverified).
		"old order": {`STATION,STATION_NAME,DATE,PRCP,Measurement Flag,Quality Flag,Source Flag,Time of Observation
GHCND:XX000000001,NOWHERE XX,20010101,0.05, , ,7,0700
GHCND:XX000000001,NOWHERE XX,20010102,0.00,T, ,7,0700
GHCND:XX000000001,NOWHERE XX,20010103,9.00, ,X,7,0700
GHCND:XX000000001,NOWHERE XX,20010104,-9999, , , ,9999
GHCND:XX000000001,NOWHERE XX,20010105,0.10, , ,7,0700
`, Options{Unit: "in"}, "GHCND:XX000000001, NOWHERE XX, in, from 2001-01-01: 1.27 0T –F – 2.54; missing-code count=1 -9999"},
		// a blank is not a dry day; 1 in = 25.4 mm exactly
		"past weather":     {samplePast, Options{}, "XX000000001, NOWHERE, XX, in, from 2001-01-01: 0 1.27 – 0T 25.4"},
		"past weather, mm": {strings.ReplaceAll(samplePast, "PRCP (Inches)", "PRCP (mm)"), Options{}, "XX000000001, NOWHERE, XX, mm, from 2001-01-01: 0 0.05 – 0T 1"},
		"a total whose last day has no daily line, and which ends the file": {first + "XX000000001,20010104,MDPR,60,,,7,\nXX000000001,20010104,DAPR,3,,,7,\n", Options{},
			"XX000000001, , 0.1 mm, from 2001-01-01: 1 2S 2S 2S; 6 over 3 to 2001-01-04"},
		"a total without its days covers the missing days before it": {first + "XX000000001,20010104,MDPR,60,,,7,\n", Options{},
			"XX000000001, , 0.1 mm, from 2001-01-01: 1 2S 2S 2S; 6 over 3 to 2001-01-04; total-span count=1"},
		"a total of one day is its value, in place of one that failed": {dlyLine("XX000000001", 2001, 1, "PRCP", "10", "5/ I", "20") + dlyLine("XX000000001", 2001, 1, "MDPR", "-9999", "30"), Options{},
			"XX000000001, , 0.1 mm, from 2001-01-01: 1 3 2"},
	} {
		assert.Equal(t, c.want, described(mustRead(t, c.text, c.opt)), name)
	}
	// A hole of months is no total's: that would make a drought of it.
	r := mustRead(t, first+"XX000000001,20010701,MDPR,60,,,7,\nXX000000001,20010702,PRCP,0,,,7,\n", Options{})
	assert.Empty(t, r.Totals)
	assert.Equal(t, 181, r.Missing()) // 2 January to 1 July
	assert.Equal(t, []string{"total-long"}, codes(r))
	assert.Equal(t, 4, mustRead(t, sampleDly, Options{}).Missing(), "the failed day and the three of the total")
}

func TestStations(t *testing.T) {
	two := sampleGHCNCSV + strings.ReplaceAll(sampleGHCNCSV, "XX000000001", "XX000000002")
	_, err := Bytes("f", []byte(two), Options{})
	assert.EqualError(t, err, "f: the file holds 2 stations (XX000000001, XX000000002)")
	assert.Contains(t, err.(*Error).Hint, "--station XX000000001")
	assert.Equal(t, "XX000000002", mustRead(t, two, Options{Station: "XX000000002"}).Station)
	_, err = Bytes("f", []byte(two), Options{Station: "YY"})
	assert.ErrorContains(t, err, "no rain of station YY")

	order := sampleOrder + strings.ReplaceAll(strings.SplitAfterN(sampleOrder, "\n", 2)[1], "XX000000001", "XX000000002")
	_, err = Bytes("f", []byte(order), Options{Unit: "mm"})
	assert.ErrorContains(t, err, "2 stations")
	assert.Equal(t, "XX000000002", mustRead(t, order, Options{Unit: "mm", Station: "XX000000002"}).Station)

	dly := sampleDly + strings.ReplaceAll(sampleDly, "XX000000001", "XX000000002")
	_, err = Bytes("f", []byte(dly), Options{})
	assert.ErrorContains(t, err, "f:5: station XX000000002 in a file of XX000000001")
	assert.Equal(t, "XX000000002", mustRead(t, dly, Options{Station: "XX000000002"}).Station)
	_, err = Bytes("f", []byte(dly), Options{Station: "YY"})
	assert.ErrorContains(t, err, "no line of station YY")
}

// The unit that a file states wins over the option, and is said to.
func TestUnitIgnored(t *testing.T) {
	assert.Contains(t, codes(mustRead(t, sampleDly, Options{Unit: "in"})), "unit-ignored")
	assert.NotContains(t, codes(mustRead(t, sampleDly, Options{Unit: "0.1mm"})), "unit-ignored")
}

func TestStationIgnored(t *testing.T) {
	assert.Equal(t, []string{"station-ignored"}, codes(mustRead(t, samplePlain, Options{Station: "X"})))
	assert.Equal(t, []string{"station-ignored"}, codes(mustRead(t, samplePast, Options{Station: "X"})))
	assert.Empty(t, codes(mustRead(t, samplePast, Options{Station: "XX000000001"})))
}
