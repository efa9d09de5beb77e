package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// The whole tool, from the record to what is printed. The record is the
// invented one unless TANKODDS_RECORD names a file.

// benchRain names the record of the benchmarks, a file.
func benchRain(b *testing.B) string {
	if file := os.Getenv("TANKODDS_RECORD"); file != "" {
		return file
	}
	file := filepath.Join(b.TempDir(), "carrow-hill.csv")
	require.NoError(b, os.WriteFile(file, demoCSV, 0o666))
	return file
}

// benchGrid is the question of the table in DEVELOPERS.md: 50 tanks under 20 roofs.
const (
	benchGrid  = "--roofs 50m2..400m2/20 --tanks 500L..50000L/50 --use 300L/day --runoff 0.85 --first-flush 0mm --json --quiet"
	benchCells = 1000
	benchYears = 10000
)

// benchRun runs the tool again and again and returns the seconds of one run.
func benchRun(b *testing.B, args ...string) float64 {
	for b.Loop() {
		var errs bytes.Buffer
		if code := run(b.Context(), args, strings.NewReader(""), io.Discard, &errs); code != exitDone {
			b.Fatal(errs.String())
		}
	}
	return b.Elapsed().Seconds() / float64(b.N)
}

// BenchmarkSize times `size`: the demo as it comes, and a grid of 1,000 cells
// over 10,000 years without and with record error. ns/tank-day is the wall
// time over the days of the grid's tanks in the main run alone, with all that
// is done beside it in the time.
func BenchmarkSize(b *testing.B) {
	rain := benchRain(b)
	grid := append([]string{"size", "--rain", rain, "--years", "10000"}, strings.Fields(benchGrid)...)
	perDay := func(b *testing.B, seconds float64) {
		b.ReportMetric(seconds*1e9/(benchCells*benchYears*rainfall.DaysPerYear), "ns/tank-day")
	}
	b.Run("demo", func(b *testing.B) { benchRun(b, "size", "--quiet") })
	b.Run("grid", func(b *testing.B) { perDay(b, benchRun(b, append(grid, "--record-error", "off")...)) })
	b.Run("grid-record-error", func(b *testing.B) { perDay(b, benchRun(b, grid...)) })
}

// BenchmarkCompare times `compare` of two records, 23 tanks each.
func BenchmarkCompare(b *testing.B) {
	rain := benchRain(b)
	benchRun(b, "compare", rain, "../../testdata/seattle-weather.csv", "--roof", "180m2", "--use", "90L/day", "--quiet")
}

// BenchmarkReplay times `replay` of the invented record, 60 years of days.
func BenchmarkReplay(b *testing.B) {
	s := benchRun(b, "replay", "--tank", "17000L")
	b.ReportMetric(s*1e9/(60*365.25), "ns/day")
}

// BenchmarkBacktest times `backtest` of the invented record, two windows.
func BenchmarkBacktest(b *testing.B) {
	benchRun(b, "backtest", "--demo", "--learn", "30", "--step", "15", "--years", "1000", "--generators", "guided", "--quiet")
}

// BenchmarkOut times `size` of the demo with every file it writes.
func BenchmarkOut(b *testing.B) {
	benchRun(b, "size", "--quiet", "--out", filepath.Join(b.TempDir(), "out"))
}
