package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nearby writes records of one climate into a folder: own of twenty years, hill of
// sixty with twice the rain, and others that do not fit.
func nearby(t *testing.T) string {
	t.Helper()
	dir, rng := t.TempDir(), rand.New(rand.NewPCG(1, 2))
	files := map[string]*strings.Builder{}
	add := func(name string, day time.Time, mm float64) {
		if files[name] == nil {
			files[name] = new(strings.Builder)
			files[name].WriteString("date,rain_mm\n")
		}
		fmt.Fprintf(files[name], "%s,%.1f\n", day.Format(time.DateOnly), mm)
	}
	year, own := [2]float64{}, [2]float64{}
	for day := time.Date(1951, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() < 2011; day = day.AddDate(0, 0, 1) {
		if day.YearDay() == 1 {
			shared := rng.NormFloat64()
			for k := range year {
				year[k] = math.Exp(0.2 * (0.95*shared + 0.3*rng.NormFloat64()))
			}
		}
		season := 1 + 0.6*math.Cos(2*math.Pi*float64(day.YearDay())/365)
		wet := rng.Float64() < 0.22*season
		for k := range own {
			if own[k] = 0; wet {
				own[k] = 9 * year[k] * (0.2 + rng.ExpFloat64())
			}
		}
		add("hill.csv", day, 2*own[1])
		add("other.csv", day, 3*rng.ExpFloat64())
		if day.Year() > 1990 {
			add("own.csv", day, own[0])
		}
		if day.Year() > 2003 {
			add("brief.csv", day, own[1])
		}
	}
	files["site.yaml"] = new(strings.Builder)
	files["site.yaml"].WriteString("rain: {file: own.csv, neighbours: [hill.csv, other.csv]}\nroofs: [{area: 90 m2}]\nuses: [{daily: 100 L}]\ntank: {sizes: [1000 L, 4000 L, 9000 L, 20000 L]}\n")
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text.String()), 0o666))
	}
	return dir
}

// few is a quick run that weighs the record.
func few(args ...string) []string { return append(args, "--years", "2000", "--generator", "years") }

// A record borrows of a neighbour of one climate, names the others, prints both
// bands, and is confirmed while the files are the same.
func TestNeighbours(t *testing.T) {
	t.Parallel()
	dir := nearby(t)
	in := func(name string) string { return filepath.Join(dir, name) }
	out := in("out")
	text := strings.Join(strings.Fields(done(t, few("size", in("site.yaml"), "--out", out)...)), " ")
	assert.Regexp(t, `Borrowed were 60 years of hill\.csv, their rain scaled to this record's: each of its 20 usable years counts as 1\.\d\.`, text)
	assert.Regexp(t, `With them [\d,]+ L has a good year in [\d.]+ % to [\d.]+ % of years, without them in [\d.]+ % to [\d.]+ %\. The answer itself has moved, for they tell more of the dry years; at one and the same share the band is narrower by \d+ %\. The record alone asks for [\d,]+ L \(between [\d,]+ and [\d,]+ L\)`, text)
	assert.Contains(t, text, "other.csv lent nothing: its months go together with the record's by")
	assert.Contains(t, text, "20 usable years of record with what neighbours lent")
	var got struct {
		Results struct {
			Neighbours struct {
				Gain        float64 `json:"worth_factor"`
				Reliability struct{ Low, High float64 }
				Alone       struct {
					Reliability struct{ Low, High float64 }
				}
				Records []struct{ File, SHA256 string }
			}
		}
	}
	evidence := filepath.Join(out, "evidence.json")
	b, err := os.ReadFile(evidence)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, &got))
	n := got.Results.Neighbours
	assert.Greater(t, n.Gain, 1.23)
	assert.Less(t, n.Reliability.High-n.Reliability.Low, 0.95*(n.Alone.Reliability.High-n.Alone.Reliability.Low))
	require.Len(t, n.Records, 2)
	page, err := os.ReadFile(filepath.Join(out, "report.html"))
	require.NoError(t, err)
	assert.Contains(t, string(page), "Neighbours")
	assert.Contains(t, done(t, "recheck", evidence), "confirmed")
	was, err := os.ReadFile(in("hill.csv"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(in("hill.csv"), append(was, "2011-01-01,3\n"...), 0o666))
	code, _, stderr := typed(t, "recheck", evidence)
	assert.NotEqual(t, exitDone, code)
	assert.Contains(t, stderr, "the record of a neighbour, hill.csv, was changed")
	require.NoError(t, os.Remove(in("hill.csv")))
	_, _, stderr = typed(t, "recheck", evidence)
	assert.Contains(t, stderr, "the record of a neighbour, hill.csv, is missing")
}

// Where nothing is borrowed every number is the same as without neighbours.
func TestNeighboursThatLendNothing(t *testing.T) {
	t.Parallel()
	dir := nearby(t)
	args := few("size", "--json", "--rain", filepath.Join(dir, "own.csv"), "--roof", "90m2", "--use", "100L/day", "--tanks", "1000L,4000L,9000L,20000L")
	var plain, with map[string]any
	require.NoError(t, json.Unmarshal([]byte(done(t, args...)), &plain))
	require.NoError(t, json.Unmarshal([]byte(done(t, append(args, "--neighbour", filepath.Join(dir, "other.csv"))...)), &with))
	assert.NotContains(t, plain, "neighbours")
	assert.Contains(t, with, "neighbours")
	assert.Nil(t, with["neighbours"].(map[string]any)["alone"])
	delete(with, "neighbours")
	assert.Equal(t, plain, with)
}

// What cannot be a neighbour is refused in one line that says what to do.
func TestNeighboursRefused(t *testing.T) {
	t.Parallel()
	dir := nearby(t)
	base := few("size", "--roof", "90m2", "--use", "100L/day", "--tanks", "1000L,4000L")
	for want, args := range map[string][]string{
		"gone.csv: cannot be read":                                   {"own.csv", "gone.csv"},
		"own.csv: is the record itself":                              {"own.csv", "own.csv"},
		"brief.csv: has 7 usable years; a neighbour needs 10":        {"own.csv", "brief.csv"},
		"brief.csv: has 7 usable years; 10 are the least that neigh": {"brief.csv", "hill.csv"},
		"is named twice": {"own.csv", "hill.csv", "hill.csv"},
	} {
		line := append(append([]string(nil), base...), "--rain", filepath.Join(dir, args[0]))
		for _, a := range args[1:] {
			line = append(line, "--neighbour", filepath.Join(dir, a))
		}
		code, stdout, stderr := typed(t, line...)
		assert.NotEqual(t, exitDone, code)
		assert.Contains(t, stderr, want)
		assert.LessOrEqual(t, strings.Count(stderr, "\n"), 2, stderr)
		assert.NotContains(t, stdout, "Size ")
	}
	for want, args := range map[string][]string{
		"neighbours sharpen a target of good years":     {"--measure", "volume"},
		"neighbours go with the smallest tank alone":    {"--solve", "use", "--tanks", "4000L"},
		"neighbours narrow the error of a short record": {"--record-error", "off"},
		"a neighbour's record is a file of its own":     {"--neighbour", "-"},
	} {
		_, _, stderr := typed(t, append(append(append([]string(nil), base...), "--rain", filepath.Join(dir, "own.csv"), "--neighbour", filepath.Join(dir, "hill.csv")), args...)...)
		assert.Contains(t, stderr, want)
	}
	same := filepath.Join(dir, "same.csv")
	b, err := os.ReadFile(filepath.Join(dir, "hill.csv"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(same, b, 0o666))
	_, _, stderr := typed(t, append(append([]string(nil), base...), "--rain", filepath.Join(dir, "own.csv"), "--neighbour", filepath.Join(dir, "hill.csv"), "--neighbour", same)...)
	assert.Contains(t, stderr, "same.csv: is the same as")
}
