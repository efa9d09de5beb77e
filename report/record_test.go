package report

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/sheet"
	"tankodds/report/units"
)

// awkward is an invented record with everything that a sheet has a line for,
// and with names longer than a line.
func awkward(t *testing.T, days int) *rainfall.Summary {
	t.Helper()
	first, _ := rainfall.MakeDate(1898, time.May, 1)
	rng := gen.Source(3, 0, 0)
	r := &rainfall.Record{
		About: rainfall.About{
			File:     strings.Repeat("a-very-long-folder/", 8) + "gauge.csv",
			Format:   "an invented format whose name goes on for rather longer than a line of the sheet has room for",
			Station:  "X0000000001",
			Place:    "Much Wetting in the Marsh (invented)",
			Unit:     "0.1 mm",
			Modelled: true,
		},
		First:    first,
		Totals:   []rainfall.Total{{Last: first + 12, Days: 3, MM: 1234.5}},
		Findings: []rainfall.Finding{{Code: "columns-unused", Texts: []string{"an invented warning about 12.7 mm that was read " + strings.Repeat("again and ", 12) + "again"}}},
	}
	for i := range days {
		x := 0.0
		if rng.Float64() < 0.4 {
			x = math.Round(-100*math.Log(1-rng.Float64())) / 10
		}
		r.Depth = append(r.Depth, x)
		r.Mark = append(r.Mark, 0)
		switch {
		case i%977 == 3:
			r.Mark[i] = rainfall.Trace
		case i%1501 == 5, i%4000 < 90 && i > 900:
			r.Depth[i], r.Mark[i] = math.NaN(), rainfall.Failed
		case i%2003 == 7:
			r.Mark[i] = rainfall.Doubtful
		case i == 400:
			r.Depth[i] = 1400
		}
	}
	for i := range min(3, days) {
		r.Mark[min(10, days-3)+i] = rainfall.Spread
	}
	s, err := r.Fill(time.June)
	require.NoError(t, err)
	return rainfall.Summarise(r, s)
}

func TestRecordSheetFits(t *testing.T) {
	for _, days := range []int{5, 40, 400, 1500, 60000} {
		m := awkward(t, days)
		for _, s := range []units.System{units.Unstated, units.SI, units.US} {
			var b bytes.Buffer
			RecordSheet(m, s).Text(&b)
			for _, line := range strings.Split(b.String(), "\n") {
				assert.LessOrEqual(t, utf8.RuneCountInString(line), sheet.Width, line)
				assert.Equal(t, strings.TrimRight(line, " "), line, "no space at the end")
				assert.NotContains(t, line, "NaN")
			}
			if s == units.US {
				// The unit of the file is what it is, and a reader's own sentence
				// is not rewritten.
				text := strings.Join(strings.Fields(b.String()), " ")
				for _, own := range []string{"unit 0.1 mm", "about 12.7 mm that"} {
					text = strings.Replace(text, own, "", 1)
				}
				assert.NotContains(t, text, " mm", "inches alone")
			}
		}
	}
}

func TestRecordSheetSays(t *testing.T) {
	var b bytes.Buffer
	RecordSheet(awkward(t, 60000), units.US).Text(&b)
	text := b.String()
	for _, want := range []string{
		"! a modelled grid cell, not a gauge",
		"1 total of several days, 48.6 in together, spread evenly", // 1,234.5 mm
		"(an invented", // the reader's own sentence
		"a day above 7.00 in: the least of 11.81 in, 3 times", // 300 mm
		"[the depth:",            // a citation
		"55.12 in on 1899-06-05", // 1,400 mm
		"refused by the publisher's checks",
		"that the publisher calls estimated",
		"of too little to measure",
		"1899/00",
	} {
		assert.Contains(t, text, want)
	}
	b.Reset()
	RecordSheet(awkward(t, 40), units.SI).Text(&b)
	assert.Contains(t, b.String(), strings.Repeat("█", 40), "a bar beside months never seen")
	assert.Contains(t, b.String(), "no usable year: nothing can be claimed")
	assert.Contains(t, b.String(), "no calendar year has 360 valid days")
	assert.Contains(t, b.String(), "not run: they ask for 10 usable years")
}

// The keys that others rely on, and null for what a short record cannot say.
func TestRecordJSON(t *testing.T) {
	text := string(RecordJSON(awkward(t, 60000))) + string(RecordJSON(awkward(t, 40)))
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	require.Len(t, lines, 2, "one object a line")
	var long, short map[string]any
	require.NoError(t, json.Unmarshal([]byte(lines[0]), &long))
	require.NoError(t, json.Unmarshal([]byte(lines[1]), &short))

	assert.Equal(t, "tankodds/record/1", long["schema"])
	for _, key := range []string{"format", "station", "unit", "first", "last", "days", "missing", "longest_gap", "trace_days",
		"multi_day_totals", "usable_years", "mean_annual_mm", "monthly_mean_mm", "longest_dry_spell", "warnings"} {
		assert.Contains(t, long, key)
	}
	assert.Equal(t, "1898-05-01", long["first"])
	assert.Equal(t, 60000.0, long["days"])
	assert.Equal(t, 1.0, long["multi_day_totals"])
	assert.Len(t, long["monthly_mean_mm"], 12)
	assert.Len(t, long["usable_year_list"], int(long["usable_years"].(float64)))
	gap := long["longest_gap"].(map[string]any)
	assert.IsType(t, "", gap["from"])
	assert.Greater(t, gap["days"], 80.0)
	warnings := long["warnings"].([]any)
	assert.Contains(t, warnings[0].(map[string]any)["text"], "an invented warning")
	assert.Contains(t, warnings, map[string]any{"code": "extreme-day", "gravity": "grave", "text": "suspicious: 1,400.0 mm on 1899-06-05"})

	assert.Equal(t, 0.0, short["usable_years"])
	assert.Nil(t, short["monthly_mean_mm"].([]any)[0], "January was never seen")
	assert.Nil(t, short["trend"])
	assert.Nil(t, short["water_year_mean_mm"])
	assert.NotContains(t, lines[1], "NaN")
}
