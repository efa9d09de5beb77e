package read

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"tankodds/rainfall"
)

// Networks write a number that cannot be rain for a missing value: 99.99,
// 999.9, -9999. Which one is nowhere in a plain table, and counted as rain it
// fills any tank.

// surelyRepeated is how often a number must stand at the top of a record,
// written like a code, to be one; twice will do where it is well above the
// rest. The thresholds are common practice, no source.
const (
	surelyRepeated = 3
	wellAbove      = 1.5 // times the next highest value: a code that stands twice, or has two digits
	farAbove       = 3.0 // times the next: one that stands once is asked about; times the 99th percentile: one below a greater value
	oddlyRepeated  = 5   // times, and
	oddlyAbove     = 5.0 // times the next highest: asked about, however it is written
)

// missingCodes are the numbers of a column that stand for a missing value.
type missingCodes struct {
	numbers []float64
	seen    []string // each as it is written
	cells   int      // how many cells hold one
}

func (m *missingCodes) note(x float64, cell string) {
	m.numbers, m.seen = append(m.numbers, x), append(m.seen, cell)
}

// blank empties the cells that hold one of the numbers; depths are the cells
// read.
func (m *missingCodes) blank(cells []string, depths []float64) {
	m.cells = 0
	for k, x := range depths {
		if len(m.numbers) > 0 && slices.Contains(m.numbers, x) {
			cells[k], depths[k] = "", math.NaN()
			m.cells++
		}
	}
}

func (m *missingCodes) tell(r *rainfall.Record) {
	if m.cells > 0 {
		tell(r, "missing-code", m.cells, m.seen...)
	}
}

// missingCodes finds the numbers of a column that stand for a missing value.
// Where one may be either it is asked for.
func (in *input) missingCodes(lines []int, cells []string, depths []float64) *missingCodes {
	m := &missingCodes{}
	in.heed("missing")
	if in.opt.Missing != "" {
		if in.opt.Missing != "none" {
			for _, s := range strings.Split(in.opt.Missing, ",") {
				x, _ := strconv.ParseFloat(strings.TrimSpace(s), 64) // checked with the options
				m.note(x, strings.TrimSpace(s))
			}
		}
		return m
	}
	type value struct {
		x     float64
		cell  string
		line  int
		times int
	}
	byValue := map[float64]*value{}
	for k, c := range cells {
		x := depths[k]
		if x == 0 || math.IsNaN(x) {
			continue
		}
		if v := byValue[x]; v != nil {
			v.times++
			continue
		}
		byValue[x] = &value{x, c, lines[k], 1}
	}
	values := slices.SortedFunc(maps.Values(byValue), func(a, b *value) int { return cmp.Compare(a.x, b.x) })
	for _, v := range values {
		if v.x < 0 && codeLike(v.cell) {
			m.note(v.x, v.cell)
		}
	}
	high := 0.0 // the 99th percentile of the rains that are not written like codes
	var rains []float64
	for _, v := range values {
		if v.x > 0 && !codeLike(v.cell) {
			rains = slices.Concat(rains, slices.Repeat([]float64{v.x}, v.times))
		}
	}
	if len(rains) > 0 {
		high = rains[min(len(rains)-1, len(rains)*99/100)]
	}
	top := true // nothing above it but codes
	for i := len(values) - 1; i >= 0 && values[i].x > 0; i-- {
		v, next := values[i], 0.0
		if i > 0 {
			next = max(0, values[i-1].x)
		}
		above := v.x / next // infinite where nothing else fell
		like := codeLike(v.cell)
		switch {
		case like && v.times >= surelyRepeated && (v.x >= farAbove*high || top && (above >= wellAbove || nines(v.cell) >= 3)),
			like && v.times == 2 && top && above >= wellAbove:
			m.note(v.x, v.cell)
			continue
		case like && top && (v.times == 2 || above >= farAbove), v.times >= oddlyRepeated && above >= oddlyAbove && next > 0:
			in.fail(v.line, fmt.Sprintf("%s stands %s in the file, and nothing above %g: it may be rain, or a code for a missing value", v.cell, times(v.times), next),
				fmt.Sprintf("--missing %s if it is a code, --missing none if it is rain", v.cell))
		}
		top = false
	}
	return m
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return thousands(n) + " times"
}

// nines counts a number's nines.
func nines(cell string) int { return strings.Count(cell, "9") }

// codeLike reports whether a number is written like a code for a missing
// value: nothing but nines, or of those below zero any one digit; or the
// greatest number that a word of a computer holds.
func codeLike(cell string) bool {
	below := strings.HasPrefix(cell, "-")
	digits := strings.Replace(strings.TrimLeft(cell, "-+"), ".", "", 1)
	if whole, zeros, ok := strings.Cut(strings.TrimLeft(cell, "-+"), "."); ok && strings.Trim(zeros, "0") == "" {
		digits = whole // 9999.0
	}
	switch digits {
	case "32767", "32766", "32768", "65535", "2147483647":
		return true
	}
	if len(digits) < 2 || digits[0] < '6' || digits[0] != '9' && !below {
		return false
	}
	return strings.Trim(digits, digits[:1]) == ""
}

// checkMissing reads the option that names codes.
func checkMissing(s string) bool {
	if s == "" || s == "none" {
		return true
	}
	for _, c := range strings.Split(s, ",") {
		x, err := strconv.ParseFloat(strings.TrimSpace(c), 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
