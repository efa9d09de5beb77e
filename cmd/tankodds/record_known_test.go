package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unsaid stands for what the independent script did not say.
const unsaid = -1

// COMP: what an independent script found in public station records: the mean
// annual rain over calendar years of 360 valid days or more, holes, traces and
// totals. A day is given as far as the script gave it.
var knownRecords = []struct {
	pattern, unit           string
	first, last             string
	mean                    float64 // mm, whole
	missing, traces, totals float64
	gapDays                 float64
	gapFrom                 string
	modelled                bool
}{
	{pattern: "ghcn-dly/USW00094728.dly", first: "1869-01-01", last: "2020-01-03", mean: 1155, missing: 0, traces: 4643, totals: 0},
	{pattern: "ghcn-dly/USC00010008.dly", first: "1948-07", last: "2013-01", mean: 1404, missing: 1846, traces: unsaid, totals: 15, gapDays: 1035, gapFrom: "1951-10"},
	{pattern: "ncei-access/USW00053908.csv", first: "1998-04", last: "2022-10", mean: 1051, missing: 22, traces: 911, totals: unsaid},
	{pattern: "ncei-past-weather/Phoenix_Weather.csv", first: "1933-07", last: "2025-12", mean: 185, missing: 1914, traces: unsaid, totals: unsaid, gapDays: 611, gapFrom: "1935-06"},
	{pattern: "cdo-export/death_valley*.csv", unit: "in", first: "2021-01-01", last: "2021-12-31", mean: 55, missing: unsaid, traces: unsaid, totals: unsaid},
	{pattern: "cdo-export/sitka*.csv", unit: "in", first: "2021-01-01", last: "2021-12-31", mean: 2208, missing: unsaid, traces: unsaid, totals: unsaid},
	{pattern: "ecad/RR_STAID000162.txt", first: "1905-12-31", last: "2017-04", mean: 798, missing: unsaid, traces: unsaid, totals: 0},
	{pattern: "knmi/etmgeg_269.txt", first: "1991-08", last: "2026-06", mean: 824, missing: 5, traces: unsaid, totals: unsaid},
	{pattern: "met-eireann/dly532.csv", first: "1942-01-01", last: "2025-09", mean: 757, missing: 0, traces: unsaid, totals: unsaid},
	{pattern: "nasa-power/POWER_Point_Daily_*", first: "2000-01-01", last: "2024-12", mean: 917, missing: unsaid, traces: unsaid, totals: 0, modelled: true},
	{pattern: "open-meteo/open-meteo-*", first: "2014-10", last: "2024-10", mean: 599, missing: unsaid, traces: unsaid, totals: 0, modelled: true},
}

// knownRecord runs the tool on a file of the folder of station records, which
// is not part of the project.
func knownRecord(t *testing.T, pattern, unit string) map[string]any {
	t.Helper()
	dir := os.Getenv("TANKODDS_DATA")
	if info, err := os.Stat(dir); dir == "" || err != nil || !info.IsDir() {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	paths, err := filepath.Glob(filepath.Join(dir, pattern))
	require.NoError(t, err)
	require.Len(t, paths, 1, pattern)
	args := []string{"record", "--json", paths[0]}
	if unit != "" {
		args = append(args, "--unit", unit)
	}
	code, out, errs := runRecordTool(t, "", args...)
	require.Equal(t, exitDone, code, errs)
	var got map[string]any
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	return got
}

func TestRecordKnown(t *testing.T) {
	for _, k := range knownRecords {
		t.Run(k.pattern, func(t *testing.T) {
			got := knownRecord(t, k.pattern, k.unit)
			assert.Equal(t, k.first, got["first"].(string)[:len(k.first)])
			assert.Equal(t, k.last, got["last"].(string)[:len(k.last)])
			assert.Equal(t, k.mean, math.Round(got["mean_annual_mm"].(float64)))
			assert.Equal(t, k.modelled, got["modelled"])
			for key, want := range map[string]float64{"missing": k.missing, "trace_days": k.traces, "multi_day_totals": k.totals} {
				if want != unsaid {
					assert.Equal(t, want, got[key], key)
				}
			}
			if k.gapFrom != "" {
				gap := got["longest_gap"].(map[string]any)
				assert.Equal(t, k.gapDays, gap["days"])
				assert.Equal(t, k.gapFrom, gap["from"].(string)[:7])
			}
		})
	}
}

// The modelled grid's 2020 sums to 2949 mm, with a day of 329.6 mm: both must
// be called suspicious.
func TestRecordKnownSuspicious(t *testing.T) {
	got := knownRecord(t, "nasa-power/POWER_Point_Daily_*", "")
	assert.Contains(t, got["warnings"], map[string]any{"code": "extreme-day", "gravity": "grave", "text": "suspicious: 329.6 mm on 2020-06-20"})
	assert.Contains(t, got["warnings"], map[string]any{"code": "wet-year", "gravity": "grave", "text": "suspicious: 2020 has 2,949 mm, 3.7 times the median year"})
}
