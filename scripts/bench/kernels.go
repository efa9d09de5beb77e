package main

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// peersInC are the C peer's builds, by the width of the registers of the
// kernel that each is held against.
var peersInC = []struct{ name, march, width string }{
	{"C, native", "-march=native", "512"},
	{"C, AVX2", "-march=x86-64-v3", "256"},
}

var kernelNames = map[string]string{"512": "AVX-512", "256": "AVX2", "64": "Go alone"}

// kernels measures the store alone, ns a tank-day, beside the peers in C.
// Found are "yas/512", "yas/C, native" and so on.
func (b *bench) kernels() error {
	test := filepath.Join(b.dir, "store.test")
	if _, err := output("go", "test", "-c", "-o", test, "./sim/internal/store"); err != nil {
		return err
	}
	took := map[string][]float64{}
	built := map[string]string{}
	for _, p := range peersInC {
		file := filepath.Join(b.dir, "store"+p.march)
		if b.peers == "" {
			fmt.Printf("%s: left out, no -peers\n", p.name)
		} else if _, err := output("cc", "-O3", p.march, "-ffast-math", "-o", file, filepath.Join(b.peers, "store.c"), "-lm"); err != nil {
			fmt.Printf("%s: left out (%v)\n", p.name, err)
		} else {
			built[p.name] = file
		}
	}
	for range b.runs {
		for _, p := range peersInC {
			if built[p.name] == "" {
				continue
			}
			text, err := output(built[p.name])
			if err != nil {
				return err
			}
			for rule, x := range peerPerDay(text) {
				took[rule+"/"+p.name] = append(took[rule+"/"+p.name], x)
			}
		}
		text, err := output(test, "-test.run", "^$", "-test.bench", "^BenchmarkStore$", "-test.benchtime", "1x", "-test.count", "10")
		if err != nil {
			return err
		}
		for name, x := range benchPerDay(text) {
			took[name] = append(took[name], x)
		}
	}
	for name, x := range took {
		b.found[name] = median(x)
	}
	fmt.Println("store, 64 tanks, ns a tank-day")
	for _, rule := range []string{"yas", "ybs"} {
		for _, width := range []string{"512", "256", "64"} {
			x := b.found.get(rule + "/" + width)
			if x != x {
				continue
			}
			fmt.Printf("  %s %-10s %6.3f", strings.ToUpper(rule), kernelNames[width], x)
			for _, p := range peersInC {
				if c := b.found.get(rule + "/" + p.name); p.width == width && c == c {
					fmt.Printf("   %s %.3f   %.2f ×", p.name, c, x/c)
				}
			}
			fmt.Println()
		}
	}
	fmt.Println()
	return nil
}

var perDay = regexp.MustCompile(`(?m)^BenchmarkStore/(\S+?)(?:-\d+)?\s.*?([0-9.]+) ns/tank-day`)

// benchPerDay reads what go test -bench prints of BenchmarkStore: ns a
// tank-day by RULE/WIDTH. Of several passes the best counts, as the peer in C
// takes the best of its ten.
func benchPerDay(text string) map[string]float64 {
	out := map[string]float64{}
	for _, m := range perDay.FindAllStringSubmatch(text, -1) {
		if x, err := strconv.ParseFloat(m[2], 64); err == nil {
			if was, ok := out[m[1]]; !ok || x < was {
				out[m[1]] = x
			}
		}
	}
	return out
}

// peerPerDay reads what the C peer prints, a line a rule: ns a tank-day.
func peerPerDay(text string) map[string]float64 {
	out := map[string]float64{}
	for line := range strings.Lines(text) {
		if f := strings.Fields(line); len(f) > 1 {
			if x, err := strconv.ParseFloat(f[1], 64); err == nil {
				out[f[0]] = x
			}
		}
	}
	return out
}
