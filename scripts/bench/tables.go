package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"tankodds/report/units"
)

// peersInC are the C peer's builds, by the kernel that each is held against.
var peersInC = []struct{ name, march, kernel, registers string }{
	{"C, AVX-512", "-march=x86-64-v4", "avx512", "AVX-512"},
	{"C, AVX2", "-march=x86-64-v3", "avx2", "AVX2"},
}

// What the programs print that measure themselves.
var (
	ofSweep   = regexp.MustCompile(`(?m)^BenchmarkSweep/(\S+?)(?:-\d+)?\s.*?([0-9.]+) ns/day`)
	ofLanes   = regexp.MustCompile(`(?m)^BenchmarkLanes/(\S+?)(?:-\d+)?\s.*?([0-9.]+) ns/tank-day`)
	ofPeer    = regexp.MustCompile(`(?m)^(lanes|all-sizes|curves) .*?([0-9.]+) ns/\S+ \(.*?(humid|dry), 300 L`)
	ofGrid    = regexp.MustCompile(`^(\w+): ([0-9.]+) s`)
	ofReading = regexp.MustCompile(`^(reading) ([0-9.e-]+) s`)
)

// Rows of the whole run, and names of other trials.
const (
	monteCarlo  = "tankodds, Monte Carlo error only"
	oneWorker   = "the same on one core"
	recordError = "tankodds, with record error"
	demo        = "demo"
	fewYears    = "few years"
	manyYears   = "many years"
)

// opening times the reading of the record, which is written for the peers by
// the way, and the demo until it prints something.
func (b *bench) opening(self string) []trial {
	return []trial{
		{args: []string{self, "-record", b.record, "-plain", b.built("record.csv")}, says: ofReading},
		{name: demo, args: []string{b.built("tankodds"), "size"}},
	}
}

// stores measures the store alone, beside the peers in C.
func (b *bench) stores() []trial {
	var all []trial
	for _, of := range []struct {
		name string
		says *regexp.Regexp
	}{{"Sweep", ofSweep}, {"Lanes", ofLanes}} {
		all = append(all, trial{args: []string{b.built(of.name + ".test"), "-test.run", "^$", "-test.bench", "^Benchmark" + of.name + "$", "-test.benchtime", "20x", "-test.count", "3"}, says: of.says})
	}
	for _, p := range peersInC {
		all = append(all, trial{name: p.name + " ", args: []string{b.built(p.name)}, says: ofPeer, optional: true})
	}
	return all
}

// size is the command measured: tanks and roofs are how many of each.
func (b *bench) size(name string, years, tanks, roofs int, more ...string) trial {
	list := func(from, to string, n int) string {
		if n == 1 {
			return from
		}
		return fmt.Sprintf("%s..%s/%d", from, to, n)
	}
	args := []string{b.built("tankodds"), "size", "--rain", b.record,
		"--roofs", list("50m2", "400m2", roofs), "--tanks", list("500L", "50000L", tanks), "--use", "300L/day",
		"--runoff", "0.85", "--first-flush", "0mm", "--years", fmt.Sprint(years), "--json", "--quiet"}
	return trial{name: name, args: append(args, more...)}
}

// whole compares a run from file to answer, 50 tanks under 20 roofs, with the
// peers in Python, which time their grid alone by their own clock: it leaves
// out Python's start and compiling.
func (b *bench) whole() []trial {
	peer := func(how string) trial {
		return trial{name: how + " ", args: []string{"/usr/bin/python3", filepath.Join(b.peers, "grid.py"), b.built("record.csv"), fmt.Sprint(b.slow), how},
			says: ofGrid, optional: true}
	}
	return []trial{
		b.size(monteCarlo, b.years, 50, 20, "--record-error", "off"),
		b.size(oneWorker, b.years, 50, 20, "--record-error", "off", "--workers", "1"),
		b.size(recordError, b.years, 50, 20),
		b.size(fewYears, 1000, 50, 20),
		b.size(manyYears, 100000, 50, 20),
		peer("numba"), peer("numpy"),
	}
}

// cell sets a number found, in a unit that it is so many times, to two digits.
func (b *bench) cell(name string, times float64) string {
	if x := b.value(name); !math.IsNaN(x) {
		return units.Significant(x*times, 2)
	}
	return "–"
}

// value is a number found, NaN where it is not.
func (b *bench) value(name string) float64 {
	if x, ok := b.found[name]; ok {
		return x
	}
	return math.NaN()
}

// markdown sets what was found as DEVELOPERS.md shows it.
func (b *bench) markdown() string {
	var s strings.Builder
	fmt.Fprintf(&s, "\nMeasured on %s; %s.\n\n", b.machine, b.medians())
	row := func(name, humid, dry string) { // what this machine cannot run is left out
		if math.IsNaN(b.value(humid)) && math.IsNaN(b.value(dry)) {
			return
		}
		fmt.Fprintf(&s, "| %s | %s | %s |\n", name, b.cell(humid, 1), b.cell(dry, 1))
	}
	c := peersInC[len(peersInC)-1].name
	s.WriteString("| all sizes at once, ns a day | humid | dry |\n|---|---|---|\n")
	row("tankodds, what every year needs", "yas/humid/needs", "yas/dry/needs")
	row("the same in "+c, c+" all-sizes humid", c+" all-sizes dry")
	row("tankodds, with supply and short days", "yas/humid/curves", "yas/dry/curves")
	row("the same in "+c, c+" curves humid", c+" curves dry")
	s.WriteString("\n| tanks side by side, ns a tank-day | humid | dry |\n|---|---|---|\n")
	for _, p := range peersInC {
		row("tankodds, "+p.registers, "yas/humid/"+p.kernel, "yas/dry/"+p.kernel)
		row(p.name, p.name+" lanes humid", p.name+" lanes dry")
	}
	row("tankodds, Go alone", "yas/humid/go", "yas/dry/go")
	fmt.Fprintf(&s, "\n| %s years × 50 tanks × 20 roofs, from file to answer | seconds |\n|---|---|\n", units.Fixed(float64(b.years), 0))
	scaled := float64(b.years) / float64(b.slow)
	for _, r := range []struct {
		name, key string
		times     float64
	}{{monteCarlo, monteCarlo, 1}, {oneWorker, oneWorker, 1}, {recordError, recordError, 1},
		{"numba, the grid alone", "numba numba", scaled}, {"NumPy, the grid alone", "numpy numpy", scaled}} {
		fmt.Fprintf(&s, "| %s | %s |\n", r.name, b.cell(r.key, r.times))
	}
	fmt.Fprintf(&s, "\nReading the record takes %s ms, the demo begins to print after %s s, and the peak of memory with record error is %s MB at 1,000 years and %s MB at 100,000.\n\n",
		b.cell("reading", 1000), b.cell("first, "+demo, 1), b.cell("peak, "+fewYears, 1), b.cell("peak, "+manyYears, 1))
	return s.String()
}

// The comments between which the tables stand.
const (
	readmeFrom = "<!-- measured by scripts/bench -->\n"
	readmeTo   = "<!-- end of what scripts/bench measured -->\n"
)

// writeReadme writes the tables into a file.
func (b *bench) writeReadme() error {
	text, err := os.ReadFile(b.readme)
	if err != nil {
		return err
	}
	out, err := between(string(text), b.markdown())
	if err != nil {
		return fmt.Errorf("%s: %w", b.readme, err)
	}
	return os.WriteFile(b.readme, []byte(out), 0o666)
}

// between replaces what stands between the comments.
func between(text, tables string) (string, error) {
	before, rest, ok := strings.Cut(text, readmeFrom)
	_, after, ok2 := strings.Cut(rest, readmeTo)
	if !ok || !ok2 {
		return "", fmt.Errorf("no place for the tables: it lies between the lines %q and %q", strings.TrimSpace(readmeFrom), strings.TrimSpace(readmeTo))
	}
	return before + readmeFrom + tables + readmeTo + after, nil
}
