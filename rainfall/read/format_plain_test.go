package read

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// Seattle 2012–2015, daily, npm package vega-datasets 3.2.1 (NOAA, a work of
// the US Government; testdata/SOURCES.md). COMP: the yearly totals are
//
//	awk -F, 'NR>1{t[substr($1,1,4)]+=$2} END{for(y in t) print y,t[y]}'
//
// of the file. The package's description of the column says millimetres; the
// file does not, but in inches a year would hold 28 m.
func TestSeattle(t *testing.T) {
	r, err := File("../../testdata/seattle-weather.csv", Options{})
	require.NoError(t, err)
	checkYears(t, r, map[int]float64{2012: 1226.0, 2013: 828.0, 2014: 1232.8, 2015: 1139.2})
	assert.Equal(t, []string{"unit-inferred"}, codes(r))
}

// New York 2012–2015, cut from the same package's weather.csv. COMP: as for
// Seattle, with fields 2 and 3.
func TestNewYork(t *testing.T) {
	r, err := File("../../testdata/new-york-2012-2015.csv", Options{Unit: "mm"})
	require.NoError(t, err)
	checkYears(t, r, map[int]float64{2012: 1012.5, 2013: 902.7, 2014: 1289.8, 2015: 973.6})
	assert.Equal(t, "New York", r.Station)
	assert.Empty(t, r.Findings)
}

func checkYears(t *testing.T, r *rainfall.Record, want map[int]float64) {
	t.Helper()
	assert.Equal(t, "2012-01-01", r.First.String())
	assert.Equal(t, "2015-12-31", r.Last().String())
	assert.Zero(t, r.Missing())
	assert.Equal(t, "mm", r.Unit)
	years := r.AnnualTotals()
	require.Len(t, years, len(want))
	for _, y := range years {
		assert.InDelta(t, want[y.Year], y.MM, 1e-9, y.Year)
	}
}

// One short record in many forms of a plain file: 1.3 mm, missing, trace,
// 25.4 mm from 27 to 30 January 2001.
func TestPlainForms(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		opt  Options
	}{
		"iso, comma":          {"date,rain_mm\n2001-01-27,1.3\n2001-01-28,\n2001-01-29,T\n2001-01-30,25.4\n", Options{}},
		"packed, semicolon":   {"rain (mm);date\n1.3;20010127\nNA;20010128\nTr;20010129\n25.4;20010130\n", Options{}},
		"day first, tab":      {"Date\tprecip [mm]\n27/01/2001\t1.3\n28/01/2001\t\n29/01/2001\ttrace\n30/01/2001\t25.4\n", Options{}},
		"month first":         {"when,rain mm\n1/27/2001,1.3\n1/28/2001,M\n1/29/2001,t\n1/30/2001,25.4\n", Options{}},
		"with points":         {"Datum;Niederschlag_mm\n27.1.2001;1.3\n28.1.2001;-\n29.1.2001;T\n30.1.2001;25.4\n", Options{}},
		"month named":         {"date,pluie mm\n27-Jan-2001,1.3\n28-Jan-2001,NaN\n29-Jan-2001,T\n30 January 2001,25.4\n", Options{}},
		"year, month, day":    {"Day,Month,Year,RainMM\n27,1,2001,1.3\n28,1,2001,-999\n29,1,2001,T\n30,1,2001,25.4\n", Options{}},
		"two columns, bare":   {"2001-01-27,1.3\n2001-01-28,\n2001-01-29,T\n2001-01-30,25.4\n", Options{Columns: "date,rain_mm"}},
		"value first, bare":   {"1.3;2001/01/27\n-99.9;2001/01/28\nT;2001/01/29\n25.4;2001/01/30\n", Options{Columns: "rain,date", Unit: "mm"}},
		"comment, blank line": {"# unit: mm\n\n# a note\ndate,rain\n2001-01-27,1.3\n\n2001-01-28,\n# seen\n2001-01-29,T\n2001-01-30,25.4\n", Options{}},
		"unsorted":            {"date,rain_mm\n2001-01-30,25.4\n2001-01-29,T\n2001-01-27,1.3\n", Options{}},
		"with a clock":        {"time,rain_mm\n2001-01-27T09:00,1.3\n2001-01-28T09:00,\n2001-01-29T09:00,T\n2001-01-30T09:00,25.4\n", Options{}},
		"CRLF, mark":          {"\xef\xbb\xbfdate,rain_mm\r\n2001-01-27,1.3\r\n2001-01-28,\r\n2001-01-29,T\r\n2001-01-30,25.4\r\n", Options{}},
		"CR alone":            {"date,rain_mm\r2001-01-27,1.3\r2001-01-28,\r2001-01-29,T\r2001-01-30,25.4\r", Options{}},
		"latin-1":             {"date,rain_mm,place\n2001-01-27,1.3,Z\xfcrich\n2001-01-28,,Z\xfcrich\n2001-01-29,T,Z\xfcrich\n2001-01-30,25.4,Z\xfcrich\n", Options{}},
		"quoted":              {`"date","rain, total (mm)"` + "\n" + `"2001-01-27","1.3"` + "\n" + `"2001-01-29","T"` + "\n" + `"2001-01-30","25.4"` + "\n", Options{}},
		"tenths":              {"date,rain_0.1mm\n2001-01-27,13\n2001-01-29,T\n2001-01-30,254\n", Options{}},
		"column asked for":    {"date,rain_mm,rain_gauge_2_mm\n2001-01-27,1.3,9\n2001-01-29,T,9\n2001-01-30,25.4,9\n", Options{Column: "rain_mm"}},
		"column by number":    {"date,x,y\n2001-01-27,1.3,9\n2001-01-29,T,9\n2001-01-30,25.4,9\n", Options{Column: "2", Unit: "mm"}},
		"order asked for":     {"date,rain_mm\n27/01/2001,1.3\n29/01/2001,T\n30/01/2001,25.4\n", Options{Dates: "dmy"}},
		"spreadsheet's tail":  {"date,rain_mm\n2001-01-27,1.3,,\n2001-01-29,T,,\n2001-01-30,25.4,,\n,,,\n", Options{}},
		"flag beside":         {"date,rain_mm,rain_flag\n2001-01-27,1.3,1\n2001-01-29,T,2\n2001-01-30,25.4,1\n", Options{}},
	} {
		t.Run(name, func(t *testing.T) {
			r := mustRead(t, c.text, c.opt)
			assert.Equal(t, plain().name, r.Format)
			days, _, _ := strings.Cut(described(r), ";")
			_, days, _ = strings.Cut(days, "from ")
			assert.Equal(t, "2001-01-27: 1.3 – 0T 25.4", days, "a blank is not a dry day")
		})
	}
}

func TestPlainInches(t *testing.T) {
	for _, text := range []string{
		"date,rain_in\n2001-01-27,0.05\n2001-01-28,1\n",
		"date,Rainfall (inches)\n2001-01-27,0.05\n2001-01-28,1\n",
		"#unit: in\ndate,rain\n2001-01-27,0.05\n2001-01-28,1\n",
	} {
		r := mustRead(t, text, Options{})
		assert.Equal(t, "in", r.Unit)
		assert.InDelta(t, 1.27, r.Depth[0], 1e-12)
		assert.Equal(t, 25.4, r.Depth[1])
	}
}

func TestPlainMissingCodes(t *testing.T) {
	r := mustRead(t, "date,rain_mm\n2001-01-01,1\n2001-01-02,-999\n2001-01-03,-99.9\n2001-01-04,-999\n2001-01-05,-9999.0\n2001-01-06,2\n", Options{})
	assert.Equal(t, 4, r.Missing())
	assertTold(t, r, "missing-code", "count=4 -9999.0 -999 -99.9")
	assert.Len(t, r.Findings, 1)
}

func TestPlainPlace(t *testing.T) {
	r := mustRead(t, samplePlain, Options{})
	assert.Equal(t, "Nowhere (invented)", r.Place)
	r = mustRead(t, "site,date,rain_mm\nA,2001-01-01,1\nB,2001-01-01,2\n", Options{Station: "B"})
	assert.Equal(t, []float64{2}, r.Depth)
	assert.Equal(t, "B", r.Station)
}

func TestRainNames(t *testing.T) {
	for name, want := range map[string]string{
		"rain": "rain", "Rainfall (mm)": "rain mm", "precip_in": "rain in", "rain_0.1mm": "rain 0.1 mm",
		"RR (0.1 mm)": "rain 0.1 mm", "ppt [inches]": "rain in", "rainMM": "rain mm", "precipIn": "rain in",
		"daily_rain_mm": "rain mm", "Precipitation, mm/day": "rain mm", "niederschlag": "rain", "Pluie_mm": "rain mm",
		"mm": " mm", "train": "", "drain_mm": " mm", "temp_max": "", "rain_flag": "", "rain_hours": "", "wind": "",
		"precipitation (cm)": "rain !cm", "rain rate (mm/h)": " !mm/h",
	} {
		n := parseRainName(name)
		got := ""
		if n.rain {
			got = "rain"
		}
		if n.unit.name != "" {
			got += " " + n.unit.name
		}
		if n.other != "" {
			got += " !" + n.other
		}
		assert.Equal(t, want, got, name)
	}
}

// wet makes a column of n values, every third of them wet.
func wet(n int, value func(i int) string, dry string) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = dry
		if i%3 == 0 {
			out[i] = value(i)
		}
	}
	return out
}

func TestGuessUnit(t *testing.T) {
	pick := func(from string) func(int) string {
		list := strings.Fields(from)
		return func(i int) string { return list[i/3%len(list)] }
	}
	for name, c := range map[string]struct {
		cells []string
		unit  unit
		sure  sureness
	}{
		"inches in hundredths":        {wet(730, pick("0.04 0.31 1.02 0.17 0.09"), "0.00"), unitInch, veryLikely},
		"mm from hundredths of an in": {wet(730, pick("0.3 0.5 0.8 1.0 4.3 8.1 20.1"), "0.0"), unitMM, certain},
		"mm, too much for inches":     {wet(730, pick("0.2 3.4 17.1 88.6"), "0.0"), unitMM, certain},
		"mm of a dry place":           {wet(730, pick("0.2 0.4 0.1 0.6 1.1"), "0.0"), unitMM, veryLikely},
		"tenths":                      {wet(730, pick("20 34 171 886"), "0"), unitTenth, veryLikely},
		"whole numbers":               {wet(730, pick("2 3 17 8"), "0"), unitMM, noTelling},
		"a few days":                  {wet(12, pick("0.04 0.31"), "0"), unitInch, likely},
		"no rain":                     {wet(12, pick("0"), "0"), unitMM, noTelling},
	} {
		g := guessUnit(c.cells, numbersOf(c.cells))
		assert.Equal(t, c.unit, g.unit, "%s: %s", name, g.why)
		assert.Equal(t, c.sure, g.sure, "%s: %s", name, g.why)
	}
}

// DERIV: 254 mm hold 1000 hundredths of an inch, of which every fiftieth (6.35
// mm and so on) lies half-way and may be rounded either way.
func TestMultipleOfCentiInch(t *testing.T) {
	n := 0
	for k := 1; k <= 2540; k++ {
		if multipleOfCentiInch(float64(k)/10, "x.1") {
			n++
		}
	}
	assert.Equal(t, 1020, n)
}

func TestNCEIOrderAsksForUnit(t *testing.T) {
	var b strings.Builder
	b.WriteString("\"STATION\",\"NAME\",\"DATE\",\"PRCP\"\n")
	for i, c := range wet(365, func(int) string { return "0.04" }, "0.00") {
		b.WriteString("\"XX000000001\",\"NOWHERE, XX\",\"" + (rainfall.Day(2001, 1, 1) + rainfall.Date(i)).String() + "\",\"" + c + "\"\n")
	}
	_, err := Bytes("f.csv", []byte(b.String()), Options{})
	require.Error(t, err)
	// 122 wet days of 0.04 in: 4.88 in = 123.95 mm
	assert.EqualError(t, err, `f.csv:1: the unit of column "PRCP" is not stated; inches are very likely: values such as 0.04 are in hundredths; they make 124 mm (4.9 in) a year with 1.0 mm (0.04 in) on a usual wet day if they are inches, 4.9 mm (0.19 in) a year with 0.04 mm (0.0016 in) on a usual wet day if they are mm`)
	assert.Equal(t, "say it with --unit mm, in or 0.1mm; the best guess is --unit in", err.(*Error).Hint)
	r := mustRead(t, b.String(), Options{Unit: "in"})
	mean, years := r.MeanAnnual()
	assert.InDelta(t, 123.952, mean, 1e-9)
	assert.Equal(t, 1, years)
	assert.Empty(t, r.Findings)
	// the wrong unit is read as told, and doubted
	assert.Equal(t, []string{"unit-doubtful"}, codes(mustRead(t, b.String(), Options{Unit: "mm"})))
}
