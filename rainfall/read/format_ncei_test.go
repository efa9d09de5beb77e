package read

import (
	"math"
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

// The four forms in which NCEI gives the same days hold the same record: a
// presumed zero, a value, a failed one, a trace, a total of 9 mm over the
// three days 5 to 7, a value. (No form has a value for the 3rd.)
func TestNCEIForms(t *testing.T) {
	nan := math.NaN()
	for name, text := range map[string]string{"dly": sampleDly, "csv": sampleGHCNCSV, "access": sampleAccess, "order": sampleOrder} {
		t.Run(name, func(t *testing.T) {
			o := Options{}
			if name == "order" {
				o.Unit = "mm"
			}
			r := mustRead(t, text, o)
			assert.Equal(t, "2001-01-01", r.First.String())
			want := []float64{0, 1.3, nan, 0, 3, 3, 3, 2}
			require.Len(t, r.Depth, len(want))
			for i, w := range want {
				if math.IsNaN(w) {
					assert.True(t, math.IsNaN(r.Depth[i]), "day %d", i+1)
				} else {
					assert.InDelta(t, w, r.Depth[i], 1e-12, "day %d", i+1)
				}
			}
			assert.Equal(t, []rainfall.Mark{rainfall.Presumed, 0, rainfall.Failed, rainfall.Trace, rainfall.Spread, rainfall.Spread, rainfall.Spread, 0}, r.Mark)
			assert.Equal(t, []rainfall.Total{{Last: r.First + 6, Days: 3, MM: 9}}, r.Totals)
			assert.Equal(t, "XX000000001", r.Station)
			assert.Equal(t, 4, r.Missing(), "the failed day and the three of the total")
			assert.Equal(t, []string{"presumed"}, codes(r))
		})
	}
}

func TestNCEIPastWeather(t *testing.T) {
	r := mustRead(t, samplePast, Options{})
	assert.Equal(t, "NOWHERE, XX", r.Place)
	assert.Equal(t, "XX000000001", r.Station)
	assert.Equal(t, "in", r.Unit)
	assert.InDelta(t, 1.27, r.Depth[1], 1e-12) // 0.05 in
	assert.True(t, math.IsNaN(r.Depth[2]), "a blank is not a dry day")
	assert.Equal(t, rainfall.Trace, r.Mark[3])
	assert.InDelta(t, 25.4, r.Depth[4], 1e-12) // 1 in = 25.4 mm exactly

	mm := mustRead(t, strings.ReplaceAll(samplePast, "PRCP (Inches)", "PRCP (mm)"), Options{})
	assert.Equal(t, "mm", mm.Unit)
	assert.InDelta(t, 0.05, mm.Depth[1], 1e-12)
}

// A total whose last day has no daily line, and which ends the file.
func TestTotalAtTheEnd(t *testing.T) {
	r := mustRead(t, `XX000000001,20010101,PRCP,10,,,7,
XX000000001,20010104,MDPR,60,,,7,
XX000000001,20010104,DAPR,3,,,7,
`, Options{})
	assert.Equal(t, []float64{1, 2, 2, 2}, r.Depth)
}

// A total that does not say its days covers the missing days before it, but
// not a hole of months: that would make a drought of it.
func TestTotalWithoutDays(t *testing.T) {
	head := "XX000000001,20010101,PRCP,10,,,7,\n"
	r := mustRead(t, head+"XX000000001,20010104,MDPR,60,,,7,\n", Options{})
	assert.Equal(t, []float64{1, 2, 2, 2}, r.Depth)
	assert.Equal(t, []string{"total-span"}, codes(r))

	r = mustRead(t, head+"XX000000001,20010701,MDPR,60,,,7,\nXX000000001,20010702,PRCP,0,,,7,\n", Options{})
	assert.Empty(t, r.Totals)
	assert.Equal(t, 181, r.Missing()) // 2 January to 1 July
	assert.Equal(t, []string{"total-long"}, codes(r))
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

// Copies of the by-station files that carry a header.
func TestGHCNCSVHeader(t *testing.T) {
	r := mustRead(t, "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"+sampleGHCNCSV, Options{})
	assert.Equal(t, ghcnCSV().name, r.Format)
	assert.Len(t, r.Depth, 8)
}

// Orders of before about 2017: flags in columns of their own, packed dates,
// −9999 for missing (from memory, unverified).
func TestNCEIOldOrder(t *testing.T) {
	r := mustRead(t, `STATION,STATION_NAME,DATE,PRCP,Measurement Flag,Quality Flag,Source Flag,Time of Observation
GHCND:XX000000001,NOWHERE XX,20010101,0.05, , ,7,0700
GHCND:XX000000001,NOWHERE XX,20010102,0.00,T, ,7,0700
GHCND:XX000000001,NOWHERE XX,20010103,9.00, ,X,7,0700
GHCND:XX000000001,NOWHERE XX,20010104,-9999, , , ,9999
GHCND:XX000000001,NOWHERE XX,20010105,0.10, , ,7,0700
`, Options{Unit: "in"})
	assert.Equal(t, []rainfall.Mark{0, rainfall.Trace, rainfall.Failed, 0, 0}, r.Mark)
	assert.Equal(t, 2, r.Missing())
	assert.InDelta(t, 1.27, r.Depth[0], 1e-12)
	assert.Equal(t, "NOWHERE XX", r.Place)
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
