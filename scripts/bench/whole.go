package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// size is the command measured: tanks and roofs are how many of each.
func (b *bench) size(years, tanks, roofs int, more ...string) []string {
	return append([]string{"size", "--rain", b.record,
		"--roofs", list("50m2", "400m2", roofs), "--tanks", list("500L", "50000L", tanks), "--use", "300L/day",
		"--runoff", "0.85", "--first-flush", "0mm", "--years", fmt.Sprint(years), "--json", "--quiet"}, more...)
}

// list writes from..to/n, the first alone where n is 1.
func list(from, to string, n int) string {
	if n == 1 {
		return from
	}
	return fmt.Sprintf("%s..%s/%d", from, to, n)
}

// Rows of the whole run, as found and printed.
const (
	sizeMonteCarlo = "tankodds, Monte Carlo error only"
	sizeLike       = "the same, resampling years as the peers do"
	sizeOneWorker  = "the same on one core"
	sizeRecord     = "tankodds, with record error"
	withNumba      = "numba, the grid alone"
	withNumPy      = "NumPy, the grid alone"
)

// whole compares a run from file to answer, 50 tanks under 20 roofs, with the
// peers in Python, which time their grid alone.
func (b *bench) whole() error {
	peer := func(how string) []string {
		return []string{"/usr/bin/python3", filepath.Join(b.peers, "grid.py"), filepath.Join(b.dir, "record.csv"), fmt.Sprint(b.slow), how}
	}
	rows := []struct {
		name string
		args []string
		peer bool
	}{
		{sizeMonteCarlo, append([]string{b.program}, b.size(b.years, 50, 20, "--record-error", "off")...), false},
		{sizeOneWorker, append([]string{b.program}, b.size(b.years, 50, 20, "--record-error", "off", "--workers", "1")...), false},
		{sizeLike, append([]string{b.program}, b.size(b.years, 50, 20, "--record-error", "off", "--generator", "years")...), false},
		{sizeRecord, append([]string{b.program}, b.size(b.years, 50, 20)...), false},
		{withNumba, peer("numba"), true},
		{withNumPy, peer("numpy"), true},
	}
	took, cpu := make([][]float64, len(rows)), make([][]float64, len(rows))
	for range b.runs {
		for i, r := range rows {
			if r.peer && b.peers == "" {
				continue
			}
			if r.peer {
				text, _ := output(r.args[0], r.args[1:]...)
				if s, err := peerSeconds(text); err == nil {
					took[i] = append(took[i], s*float64(b.years)/float64(b.slow))
				}
				continue
			}
			s, err := timed(nil, r.args[0], r.args[1:]...)
			if err != nil {
				return err
			}
			took[i], cpu[i] = append(took[i], s.wall), append(cpu[i], s.cpu)
		}
	}
	fmt.Printf("whole run, %d years × 1,000 cells, s (peers: %d years, scaled)\n", b.years, b.slow)
	for i, r := range rows {
		if took[i] == nil {
			fmt.Printf("  %-44s left out: it does not run here\n", r.name)
			continue
		}
		b.found[r.name] = median(took[i])
		fmt.Printf("  %-44s %7.2f   %6.2f × the first", r.name, b.found[r.name], b.found[r.name]/b.found[sizeMonteCarlo])
		if cpu[i] != nil { // what a busy machine disturbs less
			fmt.Printf(", %.2f s of processor time", median(cpu[i]))
		}
		fmt.Println()
	}
	fmt.Println()
	return nil
}

// peerSeconds reads the Python peer's own clock, "numba: 1.23 s, …", which
// leaves out Python's start and compiling.
func peerSeconds(text string) (float64, error) {
	f := strings.Fields(text)
	if len(f) < 2 {
		return 0, fmt.Errorf("the peer says %q", text)
	}
	return strconv.ParseFloat(f[1], 64)
}

// profiles finds the share of processor time outside the kernel, in
// BenchmarkSize on the record, by sampling.
func (b *bench) profiles() error {
	test, profile := filepath.Join(b.dir, "tankodds.test"), filepath.Join(b.dir, "cpu.profile")
	if _, err := output("go", "test", "-c", "-o", test, "./cmd/tankodds"); err != nil {
		return err
	}
	fmt.Println("processor time outside the kernel, by samples")
	for _, p := range []struct{ bench, name string }{{"grid", sizeMonteCarlo}, {"grid-record-error", sizeRecord}} {
		c := exec.Command(test, "-test.run", "^$", "-test.bench", "^BenchmarkSize$/^"+p.bench+"$", "-test.benchtime", fmt.Sprintf("%dx", b.runs), "-test.cpuprofile", profile)
		c.Env = append(os.Environ(), "TANKODDS_RECORD="+b.record)
		if text, err := c.CombinedOutput(); err != nil {
			return fmt.Errorf("profiling: %w: %s", err, text)
		}
		text, err := output("go", "tool", "pprof", "-top", "-nodecount=100000", "-nodefraction=0", "-unit=ms", test, profile)
		if err != nil {
			return err
		}
		share, err := outside(text)
		if err != nil {
			return err
		}
		b.found["outside, "+p.name] = share
		fmt.Printf("  %-44s %6.1f %%\n", p.name, 100*share)
	}
	fmt.Println()
	return nil
}

var (
	topLine    = regexp.MustCompile(`^\s*([0-9.]+)(?:ms)?\s+[0-9.]+%\s+[0-9.]+%\s+[0-9.]+(?:ms)?\s+[0-9.]+%\s+(\S.*)$`)
	kernelFunc = regexp.MustCompile(`^tankodds/sim/internal/store\.(?:\(\*Lanes\)\.)?(?:yas|ybs)[0-9x]*(?:$|\s)`)
)

// outside returns the share of the samples of pprof -top that lie in no
// kernel of the store.
func outside(top string) (float64, error) {
	all, kernel := 0.0, 0.0
	for line := range strings.Lines(top) {
		m := topLine.FindStringSubmatch(strings.TrimRight(line, "\n"))
		if m == nil {
			continue
		}
		x, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			return 0, err
		}
		all += x
		if kernelFunc.MatchString(m[2]) {
			kernel += x
		}
	}
	if kernel == 0 {
		return 0, fmt.Errorf("the profile shows no kernel of the store")
	}
	return 1 - kernel/all, nil
}
