package site

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"tankodds/rainfall/gen"
	"tankodds/report/units"
)

// readRainScale reads the factors of synthetic rain.
func readRainScale(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	var rain [12]float64
	if file, ok := strings.CutPrefix(text, "@"); ok {
		rain, err = rainScaleIn(file)
	} else {
		rain, err = parseRainScale(text)
	}
	if err == nil && rain == ([12]float64{}) { // inside, that stands for none
		err = errors.New("rain × 0 in every month leaves none; give a factor above 0")
	}
	a.Study.Stress.Rain = rain
	return err
}

// mostFactors bounds a file of factors: twelve lines and what is written about them.
const mostFactors = 1 << 16

// rainScaleIn reads a file of factors by month, such as a climate scenario's: a month
// (jan or 1) and a factor a line, set apart by a comma, a semicolon or a tab, with or
// without a header. All twelve months are named, each once.
func rainScaleIn(file string) (out [12]float64, err error) {
	data, err := ReadPlain(file, mostFactors)
	if err != nil {
		return out, &fault{text: file + " cannot be read: " + err.Error(), hint: factorsHint}
	}
	fail := func(line int, format string, args ...any) error {
		return &fault{text: fmt.Sprintf("%s:%d: %s", file, line, fmt.Sprintf(format, args...)), hint: factorsHint}
	}
	var seen [12]int
	n, first := 0, true
	for line := range strings.Lines(strings.TrimPrefix(string(data), "\ufeff")) {
		n++
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.FieldsFunc(line, func(r rune) bool { return r == ',' || r == ';' || r == '\t' })
		header := first && len(cells) >= 2 && !strings.ContainsAny(cells[1], "0123456789")
		first = false
		if header {
			continue
		}
		if len(cells) != 2 {
			return out, fail(n, "a line has a month and a factor")
		}
		m, err := parseMonth(strings.Trim(cells[0], `" `))
		if err != nil {
			return out, fail(n, "%v", err)
		}
		x, err := units.Number("a factor", strings.TrimSpace(cells[1]))
		if err != nil {
			return out, fail(n, "%v", err)
		}
		if seen[m-1] > 0 {
			return out, fail(n, "%s stands in line %d too", m, seen[m-1])
		}
		out[m-1], seen[m-1] = x, n
	}
	for m, line := range seen {
		if line == 0 {
			return out, &fault{text: fmt.Sprintf("%s has no factor for %s", file, time.Month(m+1)), hint: factorsHint}
		}
	}
	return out, nil
}

const factorsHint = "a file of factors has twelve lines such as jan,0.95"

// readDrySpells reads how much longer dry spells last. Inside, 0 stands for as
// they are; typed it is a slip.
func readDrySpells(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	x, err := units.Number("a factor", text)
	if err == nil && x == 0 {
		err = fmt.Errorf("dry spells × 0 is not from 1 to %d", gen.MostDrySpell)
	}
	a.Study.Stress.DrySpell = x
	return err
}

func checkStress(a At) error { return a.Study.Stress.Check() }

// parseRainScale reads "0.9", "jun=0.8" or "jun-aug=0.8,dec=1.1". Months not
// named are left as they are.
func parseRainScale(text string) (out [12]float64, err error) {
	for m := range out {
		out[m] = 1
	}
	const hint = "give one factor for the months, such as 0.9, or each month once, as in jun-aug=0.8,dec=1.1"
	var by [12]string // which part names a month
	whole := false    // whether a factor came without a month
	for part := range strings.SplitSeq(text, ",") {
		months, factor, named := strings.Cut(part, "=")
		if !named {
			months, factor = "jan-dec", part
		}
		if !named && whole {
			return out, &fault{text: fmt.Sprintf("%q has two factors without a month", text), hint: hint}
		}
		whole = whole || !named
		x, err := units.Number("a factor", factor)
		if err != nil {
			return out, err
		}
		a, b, err := monthRange(months)
		if err != nil {
			return out, err
		}
		for m := a; ; m = m%time.December + 1 { // nov-feb goes over New Year
			if named && by[m-1] != "" {
				return out, &fault{text: fmt.Sprintf("%q and %q both name %s", by[m-1], part, m), hint: hint}
			}
			if named {
				by[m-1] = part
			}
			out[m-1] = x
			if m == b {
				break
			}
		}
	}
	return out, nil
}
