package main

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMedian(t *testing.T) {
	assert.Equal(t, 3.0, median([]float64{9, 1, 3}))
	assert.Equal(t, 2.0, median([]float64{9, 1, 3, 1}))
	assert.True(t, math.IsNaN(median(nil)))
	x := []float64{2, 1}
	median(x)
	assert.Equal(t, []float64{2, 1}, x, "left as it was")
}

// What the programs print that measure themselves, word for word.
func TestValues(t *testing.T) {
	for _, c := range []struct {
		of   trial
		text string
		want results
	}{
		{trial{says: ofLanes}, "goos: linux\ncpu: 7 GHz\n" +
			"BenchmarkLanes/yas/humid/avx2-2         \t       5\t   3958185 ns/op\t         0.0694 ns/tank-day\n" +
			"BenchmarkLanes/yas/humid/avx2-2         \t       1\t   4958185 ns/op\t         0.2169 ns/tank-day\n" +
			"BenchmarkLanes/yas/dry/go            \t       5\t  37235918 ns/op\t         0.594 ns/tank-day\n" +
			"BenchmarkSize/grid-2  \t       2\t1196962850 ns/op\t         0.3279 ns/tank-day\nPASS\n",
			results{"yas/humid/avx2": 0.0694, "yas/dry/go": 0.594}},
		{trial{says: ofSweep}, "BenchmarkSweep/yas/humid/needs-2    \t     295\t   3599125 ns/op\t         9.861 ns/day\n", results{"yas/humid/needs": 9.861}},
		{trial{name: "C ", says: ofPeer}, "events 3.375 ns/day (2.86 days each, humid, 300 L/day)\nlanes yas int32 0.0721 ns/tank-day (tanks 128, humid, 300 L/day)\n" +
			"all-sizes yas 5.865 ns/day (humid, 300 L/day)\ncurves yas 3.701 ns/day (dry, 90 L/day)\n",
			results{"C lanes humid": 0.0721, "C all-sizes humid": 5.865}},
		{trial{name: "numba ", says: ofGrid}, "numba: 0.19 s, 2.41 ns/tank-day, 200 years x 1000 cells, check 151\n", results{"numba numba": 0.19}},
		{trial{says: ofGrid}, "Traceback (most recent call last):", results{}},
		{trial{says: ofGrid}, "", results{}},
		{trial{says: ofReading}, "reading 8.7e-05 s\n", results{"reading": 8.7e-5}},
	} {
		assert.Equal(t, c.want, c.of.values(spent{text: c.text}), c.text)
	}
	assert.Equal(t, results{"demo": 2, "first, demo": 1, "peak, demo": 30}, trial{name: "demo"}.values(spent{wall: 2, first: 1, peak: 30}))
}

func TestReadme(t *testing.T) {
	b := &bench{options: options{runs: 5, years: 10000, slow: 200}, machine: "a machine",
		found: results{"yas/humid/avx512": 0.0694, "yas/dry/avx512": 0.0171, "C, AVX-512 lanes dry": 0.0183, "yas/humid/needs": 9.861, "C, AVX2 curves dry": 4.87, monteCarlo: 1.04, "numba numba": 0.19, "reading": 0.0401, "peak, " + fewYears: 51.2}}
	tables := b.markdown()
	for _, want := range []string{"| tankodds, AVX-512 | 0.069 | 0.017 |", "| C, AVX-512 | – | 0.018 |", "| tankodds, what every year needs | 9.9 | – |", "| the same in C, AVX2 | – | 4.9 |", "| tankodds, Monte Carlo error only | 1 |",
		"| numba, the grid alone | 9.5 |", "Reading the record takes 40 ms", "51 MB at 1,000 years", "Measured on a machine; medians of 5 runs."} {
		assert.Contains(t, tables, want)
	}
	assert.NotContains(t, tables, "NaN")
	assert.NotContains(t, tables, "| C, AVX2 |", "it was not run")

	old := "# Title\n" + readmeFrom + "old\n" + readmeTo + "rest\n"
	got, err := between(old, tables)
	require.NoError(t, err)
	assert.Equal(t, "# Title\n"+readmeFrom+tables+readmeTo+"rest\n", got)
	again, err := between(got, tables)
	require.NoError(t, err)
	assert.Equal(t, got, again)
	_, err = between("# Title\n"+readmeFrom, tables)
	assert.Error(t, err)

	// DEVELOPERS.md has the place, and the figure beside it.
	readme, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	_, err = between(string(readme), "")
	assert.NoError(t, err)
	assert.Contains(t, string(readme), "](testdata/growth.svg)")
	assert.FileExists(t, "../../testdata/growth.svg")
}

func TestMachine(t *testing.T) {
	assert.Empty(t, busy("0.40 1.20 0.90 1/120 4242\n", 2))
	assert.Contains(t, busy("1.37 0.20 0.10 2/120 4242\n", 2), "1.37")
	assert.Empty(t, busy("", 2))
	assert.Equal(t, " of an Invented 3000", modelName("processor\t: 0\nmodel name\t: Invented 3000\nprocessor\t: 1\nmodel name\t: Other\n"))
	assert.Empty(t, modelName("Processor : ARMv8\n"))
	for cores, want := range map[int][]int{1: {1}, 2: {1, 2}, 6: {1, 2, 4, 6}, 8: {1, 2, 4, 8}} {
		assert.Equal(t, want, workerCounts(cores))
	}
}

// The reading is timed and written for the peers, a line a day.
func TestReadOnce(t *testing.T) {
	to := filepath.Join(t.TempDir(), "plain.csv")
	require.NoError(t, readOnce(options{record: "../../cmd/tankodds/demo.csv", plain: to}))
	text, err := os.ReadFile(to)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	assert.Len(t, lines, 1+21915, "60 years of days")
	assert.Equal(t, "date,mm", lines[0])
	assert.Equal(t, "1965-01-02,12.2", lines[2])
	assert.Error(t, readOnce(options{record: filepath.Join(t.TempDir(), "none"), plain: to}))
}

// A program that fills 200 MB, far more than this process holds, is seen to
// hold them; one that fails says why, and is left out where it may be.
func TestTrials(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("python3 is not installed")
	}
	script := func(name, text string) trial { return trial{name: name, args: []string{python, "-c", text}} }
	absent := trial{name: "absent", args: []string{filepath.Join(t.TempDir(), "none")}, optional: true}
	b := &bench{found: results{}}
	require.NoError(t, b.inTurn(2, []trial{script("small", "print('x')"), script("large", "b = b'x' * 200_000_000"), absent}))
	if small, large := b.found["peak, small"], b.found["peak, large"]; !math.IsNaN(large) {
		assert.InDelta(t, 215, large, 15)
		assert.Less(t, small, 200.0)
	}
	assert.Greater(t, b.found["small"], 0.0)
	assert.LessOrEqual(t, b.found["first, small"], b.found["small"])
	assert.True(t, math.IsNaN(b.found["first, large"]), "it prints nothing")
	assert.NotContains(t, b.found, "absent")
	assert.ErrorContains(t, b.inTurn(1, []trial{script("bad", "import sys; sys.exit('no such thing')")}), "no such thing")
}
