package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quick cuts the simulation of a command short.
func quick(args ...string) []string {
	return append(args, "--years", "200", "--record-error", "off", "--generator", "years")
}

// done runs a command that must succeed and say nothing on standard error.
func done(t *testing.T, args ...string) string {
	t.Helper()
	code, stdout, stderr := typed(t, args...)
	require.Equal(t, exitDone, code, stderr)
	require.Empty(t, stderr)
	return stdout
}

// object decodes one JSON object.
func object(t *testing.T, text string) map[string]any {
	t.Helper()
	var out map[string]any
	d := json.NewDecoder(strings.NewReader(text))
	require.NoError(t, d.Decode(&out))
	require.False(t, d.More(), "one object")
	return out
}

// holds requires keys, each with a value of its kind: "" text, 0 a number, nil
// a number or null, or an object or list whose one element all must be like.
func holds(t *testing.T, where string, got any, want any) {
	t.Helper()
	switch want := want.(type) {
	case map[string]any:
		m, ok := got.(map[string]any)
		require.True(t, ok, "%s is no object", where)
		for k, w := range want {
			v, ok := m[k]
			require.True(t, ok, "%s has no %s", where, k)
			holds(t, where+"."+k, v, w)
		}
	case []any:
		list, ok := got.([]any)
		require.True(t, ok, "%s is no list", where)
		require.NotEmpty(t, list, where)
		for _, v := range list {
			holds(t, where+"[]", v, want[0])
		}
	case nil:
		if got != nil {
			require.IsType(t, 0.0, got, where)
		}
	default:
		require.IsType(t, want, got, where)
	}
}

const aNumber = 0.0

// sizeKeys are the keys that the JSON of size promises.
func sizeKeys() map[string]any {
	interval := map[string]any{"estimate": aNumber, "low": aNumber, "high": aNumber}
	return map[string]any{
		"schema": "", "rule": "", "seed": aNumber, "generator": "", "years": aNumber,
		"record": map[string]any{"station": "", "sha256": "", "first": "", "last": "", "usable_years": aNumber, "mean_annual_mm": aNumber},
		"cells": []any{map[string]any{
			"roof_m2": aNumber, "tank_l": aNumber, "volumetric": interval, "time": interval, "annual": interval,
			"short_days_per_year": aNumber, "spill_share": aNumber, "supplied_l_per_year": aNumber, "demand_l_per_year": aNumber, "inflow_l_per_year": aNumber,
		}},
		"answer": map[string]any{"measure": "", "target": aNumber, "tank_l": nil, "low_l": nil, "high_l": nil, "safe_tank_l": nil, "reason": ""},
		"stop":   map[string]any{"tank_l": nil, "low_l": nil, "high_l": nil, "method": ""},
	}
}

func TestSizeText(t *testing.T) {
	t.Parallel()
	golden(t, "size-demo.txt", done(t, quick("size")...))
	golden(t, "size-roofs-us.txt", done(t, quick("size", "--units", "us", "--roofs", "1000sqft..3000sqft/5", "--measure", "time", "--target", "95%")...))
}

func TestSizeJSON(t *testing.T) {
	t.Parallel()
	text := done(t, quick("size", "--json", "--roofs", "100m2,180m2", "--seed", "18446744073709551615")...)
	got := object(t, text)
	holds(t, "size", got, sizeKeys())
	assert.Equal(t, "tankodds/size/1", got["schema"])
	assert.Contains(t, text, "\"seed\": 18446744073709551615,", "not rounded")
	assert.Equal(t, 200.0, got["years"])
	assert.Equal(t, "yas", got["rule"])
	record := got["record"].(map[string]any)
	assert.Equal(t, "1965-01-01", record["first"])
	assert.Len(t, record["sha256"], 64)
	cells := got["cells"].([]any)
	require.Len(t, cells, 2*12)
	for _, c := range cells {
		c := c.(map[string]any)
		for _, m := range []string{"volumetric", "time", "annual"} {
			i := c[m].(map[string]any)
			low, x, high := i["low"].(float64), i["estimate"].(float64), i["high"].(float64)
			assert.True(t, 0 <= low && low <= x && x <= high && high <= 1, "%v", i)
		}
	}
	// Same input, same bytes, however many work at it.
	for _, workers := range []string{"1", "2", "5"} {
		assert.Equal(t, text, done(t, quick("size", "--json", "--roofs", "100m2,180m2", "--seed", "18446744073709551615", "--workers", workers)...))
	}
}

// With --out the numbers of --json are in the files.
func TestSizeFiles(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	typedOut(t, dir, quick("size")...)
	got := object(t, done(t, quick("size", "--json")...))
	names := files(t, dir)
	for _, want := range []string{"curves.csv", "evidence.json", "reliability.svg", "reliability.png", "turnover.svg", "season.svg", "record.svg"} {
		assert.Contains(t, names, want)
	}
	b, err := os.ReadFile(filepath.Join(dir, "evidence.json"))
	require.NoError(t, err)
	evidence := object(t, string(b))["results"].(map[string]any)
	assert.Equal(t, got["answer"].(map[string]any)["tank_l"], evidence["answer"].(map[string]any)["tank_l"])
	rows := table(t, filepath.Join(dir, "curves.csv"))
	cells := got["cells"].([]any)
	require.Len(t, rows, len(cells))
	for i, row := range rows {
		c := cells[i].(map[string]any)
		for _, k := range []string{"roof_m2", "tank_l", "short_days_per_year", "spill_share", "supplied_l_per_year", "demand_l_per_year", "inflow_l_per_year"} {
			assert.Equal(t, c[k], number(t, row[k]), k)
		}
		for _, m := range []string{"annual", "time", "volumetric"} {
			x := c[m].(map[string]any)
			assert.Equal(t, []any{x["estimate"], x["low"], x["high"]}, []any{number(t, row[m]), number(t, row[m+"_low"]), number(t, row[m+"_high"])})
		}
	}
}

// table reads a CSV file as one map a row.
func table(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var rows []map[string]string
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, c := range cells {
			row[all[0][i]] = c
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}

// No size meets the target: an answer, exit 0, null in JSON.
func TestSizeWithoutAnAnswer(t *testing.T) {
	t.Parallel()
	text := done(t, quick("size", "--roof", "10m2", "--use", "300L/day", "--rain", "../../testdata/seattle-weather.csv")...)
	assert.Contains(t, strings.Join(strings.Fields(text), " "), "No size is told from 3 usable years of record; 5 are the least.")
	got := object(t, done(t, quick("size", "--json", "--roof", "10m2", "--use", "300L/day", "--rain", "../../testdata/seattle-weather.csv")...))
	answer := got["answer"].(map[string]any)
	assert.Nil(t, answer["tank_l"])
	assert.Contains(t, answer["reason"], "a larger tank cannot change that")
}

// A record from standard input, of two usable years.
func TestSizeFromStdin(t *testing.T) {
	t.Parallel()
	var rain strings.Builder
	rain.WriteString("date,rain_mm\n")
	for d := time.Date(2021, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() < 2023; d = d.AddDate(0, 0, 1) {
		fmt.Fprintf(&rain, "%s,%d\n", d.Format(time.DateOnly), d.YearDay()*7919%11/8*6)
	}
	var out, errs bytes.Buffer
	args := quick("size", "--rain", "-", "--water-year", "jan", "--roof", "100m2", "--use", "100L/day")
	code := run(t.Context(), args, strings.NewReader(rain.String()), &out, &errs)
	require.Equal(t, exitDone, code, errs.String())
	text := strings.Join(strings.Fields(out.String()), " ")
	assert.Contains(t, text, "2 usable water years")
	assert.Contains(t, text, "No size is told from 2 usable years of record; 5 are the least.")
	assert.Contains(t, text, "Mind: 2 usable years are too few to size a tank from; 5 are the least.")
}

func TestReplay(t *testing.T) {
	t.Parallel()
	golden(t, "replay-demo.txt", done(t, "replay", "--tank", "5000L", "--since", "2003"))

	dir := t.TempDir()
	got := object(t, done(t, "replay", "--tank", "5000L", "--start", "700L", "--json", "--out", dir))
	holds(t, "replay", got, map[string]any{
		"schema": "", "rule": "", "tank_l": aNumber, "first": "", "last": "", "days": aNumber, "inflow_l": aNumber, "demand_l": aNumber,
		"supplied_l": aNumber, "spill_l": aNumber, "start_l": aNumber, "end_l": aNumber, "short_days": aNumber, "volumetric": aNumber, "time": aNumber, "annual": aNumber,
		"roofs": []any{map[string]any{"area_m2": aNumber, "runoff": aNumber, "wetting_mm": aNumber, "first_flush_mm": aNumber, "filter": aNumber}},
		"years": []any{map[string]any{"start": "", "inflow_l": aNumber, "demand_l": aNumber, "supplied_l": aNumber, "spill_l": aNumber, "short_days": aNumber}},
	})
	assert.Equal(t, "tankodds/replay/1", got["schema"])
	assert.Equal(t, 5000.0, got["tank_l"])
	assert.Equal(t, 700.0, got["start_l"])

	assert.Equal(t, []string{"SHA256SUMS", "daily.csv"}, files(t, dir))
	head, err := os.ReadFile(filepath.Join(dir, "daily.csv"))
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(head), "date,rain_mm,inflow_l,demand_l,supplied_l,spill_l,storage_l\n"))
	rows := table(t, filepath.Join(dir, "daily.csv"))
	require.Len(t, rows, int(got["days"].(float64)))
	sums, short, held := map[string]float64{}, 0.0, 700.0
	day := ""
	assert.Equal(t, got["first"], rows[0]["date"])
	assert.Equal(t, got["last"], rows[len(rows)-1]["date"])
	for _, row := range rows {
		require.Greater(t, row["date"], day)
		day = row["date"]
		for _, k := range []string{"inflow_l", "demand_l", "supplied_l", "spill_l"} {
			sums[k] += number(t, row[k])
		}
		next := held + number(t, row["inflow_l"]) - number(t, row["supplied_l"]) - number(t, row["spill_l"])
		held = number(t, row["storage_l"])
		require.InDelta(t, next, held, 1e-6)
		require.True(t, held >= 0 && held <= 5000*0.97)
		if number(t, row["supplied_l"]) < number(t, row["demand_l"])-1e-6 {
			short++
		}
	}
	for k, sum := range sums {
		assert.InEpsilon(t, sum, got[k], 1e-9, k)
	}
	assert.Equal(t, held, got["end_l"])
	assert.Equal(t, short, got["short_days"])
	assert.InEpsilon(t, sums["supplied_l"]/sums["demand_l"], got["volumetric"], 1e-9)
	assert.InDelta(t, 1-short/float64(len(rows)), got["time"], 1e-12)
	years := got["years"].([]any)
	all := 0.0
	for _, y := range years {
		all += y.(map[string]any)["short_days"].(float64)
	}
	assert.Equal(t, short, all)
}

// Two records under one site.
func TestCompare(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "new", "out")
	args := quick("compare", "demo.csv", "../../testdata/new-york.dly.gz",
		"--roof", "1500sqft metal", "--use", "40gal/day", "--target", "0.8", "--measure", "volume", "--tanks", "100gal..5000gal/8")
	golden(t, "compare.txt", done(t, args...))
	got := object(t, done(t, append(args, "--json", "--out", dir)...))
	assert.Equal(t, "tankodds/compare/3", got["schema"])
	stations := got["stations"].([]any)
	require.Len(t, stations, 2)
	rows, curves := table(t, filepath.Join(dir, "answers.csv")), table(t, filepath.Join(dir, "curves.csv"))
	require.Len(t, rows, 2)
	require.Len(t, curves, 16)
	// Alone, a record gets the same numbers.
	alone := object(t, done(t, quick("size", "--json", "--rain", "../../testdata/new-york.dly.gz",
		"--roof", "1500sqft metal", "--use", "40gal/day", "--target", "0.8", "--measure", "volume", "--tanks", "100gal..5000gal/8")...))
	answer, york := alone["answer"].(map[string]any), stations[1].(map[string]any)
	for _, key := range []string{"tank_l", "grade"} {
		assert.Equal(t, answer[key], york[key], key)
	}
	for k, c := range alone["cells"].([]any) {
		c, row := c.(map[string]any), curves[8+k]
		assert.Equal(t, c["tank_l"], number(t, row["tank_l"]))
		assert.Equal(t, c["tank_l"], number(t, curves[k]["tank_l"]), "the same sizes for all")
		assert.Equal(t, c["volumetric"].(map[string]any)["estimate"], number(t, row["volumetric"]))
	}
	record := alone["record"].(map[string]any)
	assert.Equal(t, record["sha256"], rows[1]["sha256"])
	assert.Equal(t, york["seasonality"], number(t, rows[1]["seasonality"]))
	assert.Subset(t, files(t, dir), []string{"answers.csv", "curves.csv", "provenance.txt", "compare.json", "compare.svg", "compare.png"})
	assert.Contains(t, content(t, filepath.Join(dir, "provenance.txt")), "new-york.dly.gz: USW00094728 (a gauge, GHCN-Daily station file (.dly))")
}

// A folder, a list and a file that is no record: a bad one costs its row and says
// why, and nothing else; none that can be answered for is a failure. Names that are
// alike are told apart.
func TestCompareManyRecords(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	york, err := os.ReadFile("../../testdata/new-york.dly.gz")
	require.NoError(t, err)
	folder := filepath.Join(dir, "stations")
	require.NoError(t, os.Mkdir(folder, 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "a.dly.gz"), york, 0o666))
	var other bytes.Buffer // of the same station, and no copy: packed in two pieces
	other.Write(york)
	end := gzip.NewWriter(&other)
	end.Write([]byte("\n"))
	require.NoError(t, end.Close())
	require.NoError(t, os.WriteFile(filepath.Join(folder, "b.dly.gz"), other.Bytes(), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "c.txt"), []byte("not a record\n"), 0o666))
	list := filepath.Join(dir, "list")
	require.NoError(t, os.WriteFile(list, []byte("# two\nstations/a.dly.gz\n\nnone.csv\n"), 0o666))
	args := quick("compare", folder, "@"+list, "--roof", "1500sqft", "--use", "40gal/day")
	out := filepath.Join(dir, "out")
	text := strings.Join(strings.Fields(done(t, append(args, "--out", out)...)), " ")
	assert.Contains(t, text, "5 records: 2 long enough to show the target and 3 not answered for.")
	assert.Contains(t, text, "c.txt:1: no table of daily rain that is known here begins with \"not a record\".")
	assert.Contains(t, text, "none.csv: cannot be read")
	rows := table(t, filepath.Join(out, "answers.csv"))
	require.Len(t, rows, 5)
	for k, name := range []string{"a.dly.gz", "b.dly.gz", "c.txt", "a.dly.gz", "none.csv"} {
		assert.Equal(t, name, filepath.Base(rows[k]["file"]))
		assert.Equal(t, k >= 2, rows[k]["reason"] != "", name) // the fourth is the first again
		assert.Equal(t, k >= 2, rows[k]["tank_l"] == "", name)
	}
	assert.Regexp(t, `(?m)^USW00094728 a\.dly\.gz .*\n.*\n?USW00094728 b\.dly|USW00094728 \(2\)|USW0009472\S* `, done(t, args...))
	// The same, whatever the number of workers.
	assert.Equal(t, done(t, append(args, "--json", "--workers", "1")...), done(t, append(args, "--json", "--workers", "3")...))
	code, _, stderr := typed(t, quick("compare", filepath.Join(folder, "c.txt"), list, "--roof", "1500sqft", "--use", "40gal/day")...)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "none of 2 records could be answered for; the first: ")
	require.NoError(t, os.WriteFile(list, []byte("# none\n"), 0o666))
	_, _, stderr = typed(t, quick("compare", "@"+list, "--roof", "1500sqft", "--use", "40gal/day")...)
	assert.Contains(t, stderr, "names no file")
}

// What cannot be done is said before the long run, and nothing is written: a
// million years would not end within this test.
func TestJobsThatCannotRun(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "taken")
	require.NoError(t, os.WriteFile(file, []byte("mine"), 0o666))
	long := []string{"--years", "10000000"}
	seattle := "../../testdata/seattle-weather.csv"
	site := []string{"--roof", "100m2", "--use", "100L/day"}
	for _, c := range []struct {
		args   []string
		code   int
		stderr string
	}{
		{append([]string{"size", "--out", file}, long...), exitFailed, "tankodds: " + file + " cannot be written: not a directory\nhint: choose a folder that can be written\n"},
		{append([]string{"compare", seattle, "--out", file}, append(site, long...)...), exitFailed, "tankodds: " + file + " cannot be written: not a directory\nhint: choose a folder that can be written\n"},
		{[]string{"replay", "--tank", "5000L", "--out", file}, exitFailed, "tankodds: " + file + " cannot be written: not a directory\nhint: choose a folder that can be written\n"},
		{append([]string{"compare", seattle, dir + "/none.csv", "--out", filepath.Join(dir, "out")}, append(site, long...)...), exitFailed, "tankodds: " + dir + "/none.csv: "},
		{append([]string{"size", "--tanks", "5000"}, long...), exitUsage, "tankodds: --tanks: 5000 has no unit; "},
		{append([]string{"size", "--tanks", "9000L..100L/5"}, long...), exitUsage, "tankodds: --tanks: 9000L..100L/5 does not rise; "},
		{append([]string{"size", "--target", "120%"}, long...), exitUsage, "tankodds: --target: 120% is above 1; "},
		{[]string{"size", "--years", "10"}, exitUsage, "tankodds: --years: 10 is not a whole number from 50 to 10,000,000\n"},
		{[]string{"replay"}, exitUsage, "tankodds: no tank to replay the record through\nhint: name it with --tank, as in --tank 5000L or --tank 1500gal\n"},
		{[]string{"replay", "--tank", "5000L,7000L"}, exitUsage, "tankodds: --tank: 5000L,7000L are several sizes, and a record is replayed through one tank; name one, as in --tank 5000L\nhint: tankodds size --tanks 5000L,7000L tries all of them\n"},
		{[]string{"replay", "--tank", "0L"}, exitUsage, "tankodds: --tank: a tank size is above 0, such as 5000L or 1500gal\n"},
		{[]string{"replay", "--tank", "5000L", "--target", "0.9"}, exitUsage, "tankodds: replay has no flag --target\n"},
		{[]string{"compare"}, exitUsage, "tankodds: no record to compare\nhint: tankodds compare site.yaml a.csv b.csv\n"},
		{append([]string{"compare", seattle}, long...), exitUsage, "tankodds: no roof and no use of water; give them, as in --roof \"140m2 metal\" --use 300L/day\n"},
	} {
		stderr := refused(t, c.code, c.args...)
		assert.True(t, strings.HasPrefix(stderr, c.stderr), "%v\n%s", c.args, stderr)
	}
	assert.Equal(t, []string{"taken"}, files(t, dir))
	mine, _ := os.ReadFile(file)
	assert.Equal(t, "mine", string(mine))
}

// Interrupted before or during the run: 130, one line, nothing written.
func TestJobsInterrupted(t *testing.T) {
	seattle := "../../testdata/seattle-weather.csv"
	for _, args := range [][]string{
		{"size", "--years", "10000000"},
		{"compare", seattle, seattle, "--roof", "100m2", "--use", "100L/day", "--years", "10000000"},
		{"replay", "--tank", "5000L"},
	} {
		for _, after := range []time.Duration{0, 200 * time.Millisecond} {
			if after > 0 && args[0] == "replay" {
				continue // it may be done by then
			}
			dir := t.TempDir()
			ctx, cancel := context.WithCancel(t.Context())
			if after == 0 {
				cancel()
			} else {
				time.AfterFunc(after, cancel)
			}
			var stderr bytes.Buffer
			code := run(ctx, append(args, "--out", filepath.Join(dir, "out")), strings.NewReader(""), io.Discard, &stderr)
			assert.Equal(t, exitInterrupted, code, "%v after %v", args, after)
			assert.Equal(t, "tankodds: interrupted; no file was written\n", stderr.String())
			assert.Empty(t, files(t, dir))
			cancel()
		}
	}
}

// Every number that a terminal shows is in JSON too: the demo's answer.
func TestSizeTextAndJSONAgree(t *testing.T) {
	t.Parallel()
	text := done(t, quick("size")...)
	tank := object(t, done(t, quick("size", "--json")...))["answer"].(map[string]any)["lead_l"].(float64)
	_, after, _ := strings.Cut(text, "A tank of ")
	shown := number(t, strings.ReplaceAll(strings.Fields(after)[0], ",", ""))
	assert.InEpsilon(t, tank, shown, 5e-3)
	assert.False(t, math.IsNaN(tank))
}
