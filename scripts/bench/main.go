// Command bench measures tankodds against what a practitioner would write
// instead, in one run on one machine, and prints medians and ratios:
//
//	go run ./scripts/bench -peers DIR -record FILE
//
// DIR holds store.c, the daily balance over 64 tanks in C, and grid.py, a
// resampled grid in Python; FILE is a GHCN-Daily station file. A C compiler
// and Debian's python3-numpy and python3-numba are needed for them; what is
// absent is named and left out. Each peer runs in turn with tankodds, several
// times, so that a machine whose speed drifts does not favour one of them.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"sort"
	"strconv"
	"strings"
	"time"

	"tankodds/rainfall"
)

func main() {
	peers := flag.String("peers", "", "`folder` with store.c and grid.py")
	record := flag.String("record", "", "a GHCN-Daily station `file`")
	runs := flag.Int("n", 5, "runs of each; the median is printed")
	years := flag.Int("years", 10000, "synthetic years of the whole run")
	slow := flag.Int("slow-years", 200, "synthetic years of the peers in Python, scaled up")
	flag.Parse()
	if err := bench(*peers, *record, *runs, *years, *slow); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func bench(peers, record string, runs, years, slow int) error {
	if record == "" {
		return errors.New("give a station file with -record")
	}
	dir, err := os.MkdirTemp("", "bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	fmt.Printf("%s/%s, %d cores, %s; medians of %d runs\n\n", runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), runtime.Version(), runs)
	if err := kernels(peers, dir, runs); err != nil {
		return err
	}
	return whole(peers, record, dir, runs, years, slow)
}

var perDay = regexp.MustCompile(`(?m)^Benchmark(\S+?)(?:-\d+)?\s.*?([0-9.]+) ns/tank-day`)

// kernels compares the store alone, in ns a tank-day.
func kernels(peers, dir string, runs int) error {
	test := filepath.Join(dir, "sim.test")
	if _, err := output("go", "test", "-c", "-o", test, "./sim"); err != nil {
		return err
	}
	took := map[string][]float64{}
	var order []string
	note := func(name string, x float64) {
		if took[name] == nil {
			order = append(order, name)
		}
		took[name] = append(took[name], x)
	}
	variants := map[string]string{"C, native": "-march=native", "C, AVX2": "-march=x86-64-v3"}
	for name, march := range variants {
		if _, err := output("cc", "-O3", march, "-ffast-math", "-o", filepath.Join(dir, "store "+name), filepath.Join(peers, "store.c"), "-lm"); err != nil {
			fmt.Printf("%s: left out (%v)\n", name, err)
			delete(variants, name)
		}
	}
	for range runs {
		for _, name := range []string{"C, native", "C, AVX2"} {
			if variants[name] == "" {
				continue
			}
			text, err := output(filepath.Join(dir, "store "+name))
			if err != nil {
				return err
			}
			for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
				f := strings.Fields(line)
				x, err := strconv.ParseFloat(f[1], 64)
				if err != nil {
					return err
				}
				note("Store/"+f[0]+"/"+name, x)
			}
		}
		text, err := output(test, "-test.run", "^$", "-test.bench", "^BenchmarkStore$", "-test.benchtime", "100x")
		if err != nil {
			return err
		}
		for _, m := range perDay.FindAllStringSubmatch(text, -1) {
			x, err := strconv.ParseFloat(m[2], 64)
			if err != nil {
				return err
			}
			note(m[1], x)
		}
	}
	sort.Strings(order)
	fmt.Println("store, 64 tanks, ns a tank-day")
	for _, name := range order {
		fmt.Printf("  %-28s %8.3f", name, median(took[name]))
		rule := strings.Split(name, "/")[1]
		for kernel, peer := range map[string]string{"avx512": "C, native", "avx2": "C, AVX2"} {
			if c := took["Store/"+rule+"/"+peer]; strings.HasSuffix(name, "/"+kernel) && c != nil {
				fmt.Printf("   %.2f × %s", median(took[name])/median(c), peer)
			}
		}
		fmt.Println()
	}
	fmt.Println()
	return nil
}

// whole compares a run from file to answer: 50 tanks under 20 roofs.
func whole(peers, record, dir string, runs, years, slow int) error {
	program := filepath.Join(dir, "tankodds")
	if _, err := output("go", "build", "-o", program, "./cmd/tankodds"); err != nil {
		return err
	}
	plain := filepath.Join(dir, "record.csv")
	if err := writePlain(record, plain); err != nil {
		return err
	}
	args := func(more ...string) []string {
		return append([]string{program, "size", "--rain", record, "--roofs", "50m2..400m2/20", "--tanks", "500L..50000L/50",
			"--use", "300L/day", "--runoff", "0.85", "--first-flush", "0mm", "--years", fmt.Sprint(years), "--json", "--quiet"}, more...)
	}
	python := filepath.Join(peers, "grid.py")
	rows := []struct {
		name  string
		args  []string
		scale float64 // years wanted over years run
		peer  bool
	}{
		{"tankodds, Monte Carlo only", args("--record-error", "off", "--generator", "years"), 1, false},
		{"tankodds, default generator", args("--record-error", "off"), 1, false},
		{"tankodds, with record error", args(), 1, false},
		{"one worker, Monte Carlo only", args("--record-error", "off", "--workers", "1"), 1, false},
		{"numba", []string{"/usr/bin/python3", python, plain, fmt.Sprint(slow), "numba"}, float64(years) / float64(slow), true},
		{"NumPy", []string{"/usr/bin/python3", python, plain, fmt.Sprint(slow), "numpy"}, float64(years) / float64(slow), true},
	}
	took := make([][]float64, len(rows))
	for range runs {
		for i, r := range rows {
			start := time.Now()
			text, err := output(r.args[0], r.args[1:]...)
			wall := time.Since(start).Seconds()
			if r.peer {
				if err != nil {
					continue
				}
				// The peer's own clock, without Python's start and compiling.
				f := strings.Fields(text)
				if wall, err = strconv.ParseFloat(f[1], 64); err != nil {
					return err
				}
				wall *= r.scale
			} else if err != nil {
				return err
			}
			took[i] = append(took[i], wall)
		}
	}
	fmt.Printf("whole run, %d years × 1,000 cells, seconds (peers: %d years, scaled)\n", years, slow)
	base := median(took[0])
	for i, r := range rows {
		if took[i] == nil {
			fmt.Printf("  %-30s left out: it does not run here\n", r.name)
			continue
		}
		fmt.Printf("  %-30s %8.2f   %6.2f × the first\n", r.name, median(took[i]), median(took[i])/base)
	}
	return nil
}

// writePlain writes a record as date,mm for the peers.
func writePlain(from, to string) error {
	r, err := rainfall.ReadFile(from, rainfall.ReadOptions{})
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.WriteString("date,mm\n")
	for i, x := range r.Depth {
		if x == x {
			fmt.Fprintf(&b, "%v,%g\n", r.First+rainfall.Date(i), x)
		} else {
			fmt.Fprintf(&b, "%v,\n", r.First+rainfall.Date(i))
		}
	}
	return os.WriteFile(to, b.Bytes(), 0o666)
}

func output(name string, args ...string) (string, error) {
	var stdout, stderr bytes.Buffer
	c := exec.Command(name, args...)
	c.Stdout, c.Stderr = &stdout, &stderr
	if err := c.Run(); err != nil {
		return "", fmt.Errorf("%s: %w: %s", filepath.Base(name), err, strings.TrimSpace(stderr.String()))
	}
	return stdout.String(), nil
}

func median(x []float64) float64 {
	s := append([]float64(nil), x...)
	sort.Float64s(s)
	n := len(s)
	if n%2 == 1 {
		return s[n/2]
	}
	return (s[n/2-1] + s[n/2]) / 2
}
