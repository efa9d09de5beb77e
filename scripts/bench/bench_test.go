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

// The texts below are as the programs print them.

func TestBenchPerDay(t *testing.T) {
	got := benchPerDay("goos: linux\ncpu: 7 GHz\n" +
		"BenchmarkStore/yas/512-2         \t       5\t   3958185 ns/op\t         0.1694 ns/tank-day\n" +
		"BenchmarkStore/yas/512-2         \t       1\t   4958185 ns/op\t         0.2169 ns/tank-day\n" +
		"BenchmarkStore/ybs/64            \t       5\t  37235918 ns/op\t         1.594 ns/tank-day\n" +
		"BenchmarkSize/grid-2  \t       2\t1196962850 ns/op\t         0.3279 ns/tank-day\nPASS\n")
	assert.Equal(t, map[string]float64{"yas/512": 0.1694, "ybs/64": 1.594}, got)
}

func TestPeers(t *testing.T) {
	assert.Equal(t, map[string]float64{"yas": 0.1712, "ybs": 0.1623},
		peerPerDay("yas 0.1712 ns/tank-day (check 1.2e+12)\nybs 0.1623 ns/tank-day (check 1.2e+12)\n"))
	s, err := peerSeconds("numba: 0.19 s, 2.41 ns/tank-day, 200 years x 1000 cells, check 151\n")
	require.NoError(t, err)
	assert.Equal(t, 0.19, s)
	for _, bad := range []string{"", "numba", "Traceback (most recent call last):"} {
		_, err := peerSeconds(bad)
		assert.Error(t, err, bad)
	}
}

func TestOutside(t *testing.T) {
	const head = "File: tankodds.test\nType: cpu\nDuration: 4.21s, Total samples = 1000ms (95%)\nShowing nodes accounting for 1000ms, 100% of 1000ms total\n      flat  flat%   sum%        cum   cum%\n"
	got, err := outside(head +
		"     500ms 50.00% 50.00%      500ms 50.00%  tankodds/sim/internal/store.yas512x32\n" +
		"     150ms 15.00% 65.00%      150ms 15.00%  tankodds/sim/internal/store.ybs256x8\n" +
		"     100ms 10.00% 75.00%      100ms 10.00%  tankodds/sim/internal/store.(*Lanes).yas (inline)\n" +
		"     240ms 24.00% 99.00%      900ms 90.00%  tankodds/sim/internal/store.(*Lanes).blocks\n" +
		"      10ms  1.00% 100.0%       10ms  1.00%  runtime.memmove\n" +
		"         0     0% 100.0%      950ms 95.00%  tankodds/sim.Size\n")
	require.NoError(t, err)
	assert.InDelta(t, 0.25, got, 1e-12)
	_, err = outside(head + "      10ms  1.00% 100.0%       10ms  1.00%  runtime.memmove\n")
	assert.Error(t, err)
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		v    verdict
		want string
	}{
		{verdict{got: 1.1, asked: 1.1}, "yes"},
		{verdict{got: 1.11, asked: 1.1}, "no"},
		{verdict{got: 8, asked: 8, atLeast: true}, "yes"},
		{verdict{got: 7.9, asked: 8, atLeast: true}, "no"},
		{verdict{got: math.NaN(), asked: 8}, "not measured"},
		{verdict{got: math.NaN(), asked: 8, atLeast: true}, "not measured"},
	} {
		assert.Equal(t, c.want, c.v.met(), "%+v", c.v)
	}
	r := results{"yas/512": 0.18, "yas/C, native": 0.2, "ybs/256": 0.5, "ybs/C, AVX2": 0.4, "yas/64": 1.5, sizeMonteCarlo: 1.25, withNumba: 10,
		withNumPy: 20, sizeRecord: 2.5, "outside, " + sizeMonteCarlo: 0.4, "2 workers": 1.9, "peak, 100,000 years": 61, "reading": 0.0412, "first output": 0.5}
	table := verdictTable(r.verdicts())
	for _, want := range []string{
		"store, YAS, AVX-512: time over that of C, native         0.90 ×  at most 1.1 ×   yes",
		"store, YBS, AVX-512: time over that of C, native              –  at most 1.1 ×   not measured",
		"store, YBS, AVX2: time over that of C, AVX2              1.25 ×  at most 1.1 ×   no",
		"store, YAS, Go alone: a tank-day                        1.50 ns at most 1.6 ns   yes",
		"numba's grid: time over that of a whole run              8.00 ×   at least 8 ×   yes",
		"NumPy's grid: time over that of a whole run              16.0 ×  at least 20 ×   no",
		"outside the kernel, Monte Carlo error only               40.0 %   at most 35 %   no",
		"peak memory, 100,000 years                              61.0 MB at most 200 MB   yes",
		"reading the record                                      41.2 ms  at most 60 ms   yes",
		"first output of the demo                                 0.50 s  at most 0.3 s   no",
	} {
		assert.Contains(t, strings.Split(table, "\n"), want, "in\n%s", table)
	}
}

func TestReadme(t *testing.T) {
	b := &bench{options: options{runs: 5, years: 10000}, machine: "a machine", found: results{"yas/512": 0.1694, "ybs/512": 0.171, sizeMonteCarlo: 1.04, "reading": 0.0401}}
	tables := b.markdown()
	for _, want := range []string{"| tankodds, AVX-512 | 0.17 | 0.17 |", "| C, AVX2 | – | – |", "| tankodds, Monte Carlo error only | 1 |", "Measured on a machine; medians of 5 runs."} {
		assert.Contains(t, tables, want)
	}
	assert.NotContains(t, tables, "NaN")

	old := "# Title\n" + readmeFrom + "old\n" + readmeTo + "rest\n"
	got, err := between(old, tables)
	require.NoError(t, err)
	assert.Equal(t, "# Title\n"+readmeFrom+tables+readmeTo+"rest\n", got)
	again, err := between(got, tables)
	require.NoError(t, err)
	assert.Equal(t, got, again)
	_, err = between("# Title\n"+readmeFrom, tables)
	assert.Error(t, err)

	// The README has the place, and the figure beside it.
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, err = between(string(readme), "")
	assert.NoError(t, err)
	assert.True(t, strings.Contains(string(readme), "](testdata/growth.svg)"))
	assert.FileExists(t, "../../testdata/growth.svg")
}

func TestBusy(t *testing.T) {
	assert.Empty(t, busy("0.40 1.20 0.90 1/120 4242\n", 2))
	assert.Contains(t, busy("1.37 0.20 0.10 2/120 4242\n", 2), "1.37")
	assert.Empty(t, busy("", 2))
}

func TestWorkerCounts(t *testing.T) {
	assert.Equal(t, []int{1}, workerCounts(1))
	assert.Equal(t, []int{1, 2}, workerCounts(2))
	assert.Equal(t, []int{1, 2, 4, 6}, workerCounts(6))
	assert.Equal(t, []int{1, 2, 4, 8}, workerCounts(8))
}

func TestModelName(t *testing.T) {
	assert.Equal(t, " of an Invented 3000", modelName("processor\t: 0\nmodel name\t: Invented 3000\nprocessor\t: 1\nmodel name\t: Other\n"))
	assert.Empty(t, modelName("Processor : ARMv8\n"))
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
// hold them; one that fails says why.
func TestTimed(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("python3 is not installed")
	}
	small, err := timed(nil, python, "-c", "pass")
	require.NoError(t, err)
	large, err := timed(nil, python, "-c", "b = b'x' * 200_000_000")
	require.NoError(t, err)
	if !math.IsNaN(large.peak) {
		assert.InDelta(t, 215, large.peak, 15)
		assert.Less(t, small.peak, 200.0)
	}
	text, err := output(python, "-c", "print('x')")
	require.NoError(t, err)
	assert.Equal(t, "x\n", text)
	_, err = timed(nil, python, "-c", "import sys; sys.exit('no such thing')")
	assert.ErrorContains(t, err, "no such thing")
}
