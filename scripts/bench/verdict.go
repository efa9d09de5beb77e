package main

import (
	"fmt"
	"math"
	"strings"
)

// verdict is one promise and what was measured.
type verdict struct {
	what    string
	got     float64 // NaN where it could not be measured here
	unit    string
	asked   float64
	atLeast bool // asked is the least; otherwise the most
}

// met says "yes", "no" or "not measured".
func (v verdict) met() string {
	switch {
	case math.IsNaN(v.got):
		return "not measured"
	case v.atLeast && v.got >= v.asked, !v.atLeast && v.got <= v.asked:
		return "yes"
	}
	return "no"
}

// verdicts lists every promise.
func (r results) verdicts() []verdict {
	var out []verdict
	for _, p := range peersInC {
		for _, rule := range []string{"yas", "ybs"} {
			out = append(out, verdict{fmt.Sprintf("store, %s, %s: time over that of %s", strings.ToUpper(rule), kernelNames[p.width], p.name),
				r.get(rule+"/"+p.width) / r.get(rule+"/"+p.name), "×", 1.1, false})
		}
	}
	for _, rule := range []string{"yas", "ybs"} {
		out = append(out, verdict{fmt.Sprintf("store, %s, Go alone: a tank-day", strings.ToUpper(rule)), r.get(rule + "/64"), "ns", 1.6, false})
	}
	mc := r.get(sizeMonteCarlo)
	return append(out,
		verdict{"numba's grid: time over that of a whole run", r.get(withNumba) / mc, "×", 8, true},
		verdict{"NumPy's grid: time over that of a whole run", r.get(withNumPy) / mc, "×", 20, true},
		verdict{"whole run with record error", r.get(sizeRecord), "s", 3, false},
		verdict{"outside the kernel, Monte Carlo error only", 100 * r.get("outside, "+sizeMonteCarlo), "%", 35, false},
		verdict{"outside the kernel, with record error", 100 * r.get("outside, "+sizeRecord), "%", 35, false},
		verdict{"2 workers: time of 1 over theirs", r.get("2 workers"), "×", 1.8, true},
		verdict{"peak memory, 1,000 years", r.get("peak, 1,000 years"), "MB", 200, false},
		verdict{"peak memory, 100,000 years", r.get("peak, 100,000 years"), "MB", 200, false},
		verdict{"reading the record", 1000 * r.get("reading"), "ms", 60, false},
		verdict{"first output of the demo", r.get("first output"), "s", 0.3, false},
	)
}

// verdictTable sets the verdicts in columns.
func verdictTable(all []verdict) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-52s %10s %14s   %s\n", "", "measured", "asked", "met")
	for _, v := range all {
		got, bound := "–", "at most"
		if !math.IsNaN(v.got) {
			got = digits(v.got) + " " + v.unit
		}
		if v.atLeast {
			bound = "at least"
		}
		fmt.Fprintf(&b, "%-52s %10s %14s   %s\n", v.what, got, fmt.Sprintf("%s %v %s", bound, v.asked, v.unit), v.met())
	}
	return b.String()
}

// digits sets a number so that it can be told from its bound: two decimals
// below 10, one below 100.
func digits(x float64) string {
	switch {
	case x < 10:
		return fmt.Sprintf("%.2f", x)
	case x < 100:
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.0f", x)
}
