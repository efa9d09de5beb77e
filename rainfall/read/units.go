package read

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tankodds/rainfall"
)

// unit is a unit that a file may hold rain in.
type unit struct {
	name  string  // as Record.Unit
	flag  string  // as --unit takes it
	words string  // as a sentence calls several
	mm    float64 // millimetres in one
}

var (
	unitMM    = unit{"mm", "mm", "mm", 1}
	unitTenth = unit{"0.1 mm", "0.1mm", "tenths of a mm", 0.1}
	unitInch  = unit{"in", "in", "inches", 25.4} // exact since 1959
)

// inMM turns x of the unit into mm. Tenths are divided, not multiplied by
// 0.1, so that 7 of them are 0.7 to the last bit.
func (u unit) inMM(x float64) float64 {
	if u == unitTenth {
		return x / 10
	}
	return x * u.mm
}

// parseUnit reads a unit's name as flags, headers and comments write it.
func parseUnit(s string) (unit, bool) {
	s = strings.ToLower(strings.Join(strings.Fields(s), ""))
	for _, a := range []string{"perday", "/day", "/d", "day-1", "d-1", "aday", "day"} {
		s = strings.TrimSuffix(s, a)
	}
	switch s {
	case "mm", "millimetre", "millimetres", "millimeter", "millimeters", "l/m2", "l/m²", "kg/m2", "kgm-2":
		return unitMM, true
	case "0.1mm", "0,1mm", "1/10mm", "mm/10", "tenthsofmm", "tenthsofamm", "tenthsmm", "tenthmm", "10thsofmm", "10thsmm", "tenthsofamillimetre", "tenthsofamillimeter":
		return unitTenth, true
	case "in", "in.", "inch", "inches", `"`:
		return unitInch, true
	}
	return unit{}, false
}

// sureness says how far a guess of the unit may be trusted.
type sureness int

const (
	noTelling sureness = iota
	likely
	veryLikely
	certain
)

func (s sureness) String() string {
	return [...]string{"anyone's guess", "likely", "very likely", "certain"}[s]
}

// unitGuess is what a column of rain without a unit looks like.
type unitGuess struct {
	unit  unit
	sure  sureness
	why   string // a clause
	looks rainLooks
}

// The evidence that guessUnit weighs. It rests on quantiles and shares, so that
// a few bad cells cannot turn it.
const (
	// fewWet is the number of wet values from which on the form of the
	// values is taken to show a rule rather than chance.
	fewWet = 30
	// driestYear and wettestYear bound a plausible mean annual rain, mm: the
	// driest gauges hold below 1 (Arica 0.8), the wettest 11,900 (Mawsynram);
	// from memory, unverified.
	driestYear, wettestYear = 0.5, 13000
	// wetMedian and wetHigh bound, together, the median and the 95th
	// percentile of a place's wet days, mm: at the wettest gauges they are
	// about 50 and 250 (from memory, unverified). Their lower counterparts
	// are those of drizzle alone.
	wetMedian, wetHigh         = 60, 400
	drizzleMedian, drizzleHigh = 0.25, 2.5
	// nearlyAll is the share of values that shows the rule of a column.
	nearlyAll = 0.98
)

// rainLooks is what a column of daily values shows of its unit.
type rainLooks struct {
	wet, year       float64 // how many are above 0; the mean of all times 365, none counted for more than three times high
	median, high    float64 // of the wet values: the median and the 95th percentile
	whole, one, two float64 // shares of the wet values: whole numbers, one decimal, more
	fromInches      float64 // share: hundredths of an inch turned into mm
	hundredths      float64 // share of all values: written with two decimals
	n               float64
}

func looksOf(cells []string, depths []float64) rainLooks {
	var l rainLooks
	var wet []float64
	for k, c := range cells {
		x := depths[k]
		if !(x >= 0) {
			continue
		}
		l.n++
		if at := strings.IndexByte(c, '.'); at >= 0 && len(c)-at == 3 {
			l.hundredths++ // as written, 0.00 included
		}
		if x == 0 {
			continue
		}
		wet = append(wet, x)
		switch {
		case x == math.Round(x):
			l.whole++
		case math.Abs(x*10-math.Round(x*10)) < 1e-6:
			l.one++
		default:
			l.two++
		}
		if multipleOfCentiInch(x, c) {
			l.fromInches++
		}
	}
	if l.wet = float64(len(wet)); l.wet == 0 {
		return l
	}
	slices.Sort(wet)
	l.median, l.high = wet[len(wet)/2], wet[len(wet)*95/100]
	for _, x := range wet {
		l.year += min(x, 3*l.high)
	}
	l.year *= 365 / l.n
	for _, share := range []*float64{&l.whole, &l.one, &l.two, &l.fromInches} {
		*share /= l.wet
	}
	l.hundredths /= l.n
	return l
}

// possible reports whether the values make the rain of some place if they are
// of the unit.
func (l rainLooks) possible(u unit) bool {
	if l.n >= 300 && (u.inMM(l.year) < driestYear || u.inMM(l.year) > wettestYear) {
		return false
	}
	if l.wet < fewWet {
		return u.inMM(l.median) <= MaxDaily
	}
	return !(u.inMM(l.median) > wetMedian && u.inMM(l.high) > wetHigh)
}

// drizzle reports whether the values, of the unit, would be drizzle alone.
func (l rainLooks) drizzle(u unit) bool {
	return u.inMM(l.median) < drizzleMedian && u.inMM(l.high) < drizzleHigh
}

// in says what the values would make in a unit.
func (l rainLooks) in(u unit) string {
	return fmt.Sprintf("%s a year with %s on a usual wet day", about(u.inMM(l.year)), about(u.inMM(l.median)))
}

// guessUnit judges the unit of a column of daily values by how
// they are written and what climate they would make. Three things tell:
//
//   - inches are published in hundredths; millimetres with one decimal; tenths
//     of a millimetre as whole numbers;
//   - rain measured in hundredths of an inch and converted has only values
//     that are rounded multiples of 0.254 mm: by chance 39 % of the values
//     with one decimal are, 4 % of those with two;
//   - a year, and a wet day, hold so much rain and no more.
func guessUnit(cells []string, depths []float64) unitGuess {
	l := looksOf(cells, depths)
	g := l.guess(cells)
	g.looks = l
	return g
}

func (l rainLooks) guess(cells []string) unitGuess {
	both := func(a, b unit) string {
		return fmt.Sprintf("%s if they are %s, %s if they are %s", l.in(a), a.words, l.in(b), b.words)
	}
	many := l.wet >= fewWet
	switch {
	case l.wet == 0:
		return unitGuess{unit: unitMM, sure: noTelling, why: "no value is above zero"}
	case l.whole >= nearlyAll:
		if l.possible(unitTenth) && (!l.possible(unitMM) || l.year > 6000) {
			return unitGuess{unit: unitTenth, sure: veryLikely, why: "the values are whole numbers; " + both(unitTenth, unitMM)}
		}
		return unitGuess{unit: unitMM, sure: noTelling, why: "the values are whole numbers; " + both(unitMM, unitTenth)}
	case !l.possible(unitInch) && !l.possible(unitMM):
		return unitGuess{unit: unitMM, sure: noTelling, why: "they make the rain of no place: " + both(unitMM, unitInch)}
	case !l.possible(unitInch):
		return unitGuess{unit: unitMM, sure: certain, why: "in inches they would make " + l.in(unitInch)}
	case many && l.fromInches >= 0.95 && l.two <= 1-nearlyAll:
		return unitGuess{unit: unitMM, sure: certain, why: "the values are hundredths of an inch turned into mm"}
	case many && l.fromInches >= 0.8:
		return unitGuess{unit: unitMM, sure: veryLikely, why: "most values are hundredths of an inch turned into mm; " + both(unitMM, unitInch)}
	case l.two > 1-nearlyAll:
		sure := likely
		if !l.possible(unitMM) || (l.n >= fewWet && l.hundredths >= nearlyAll || many && l.two >= 0.7) && l.drizzle(unitMM) {
			sure = veryLikely
		}
		if many && !l.drizzle(unitMM) && l.possible(unitMM) {
			return unitGuess{unit: unitMM, sure: noTelling, why: fmt.Sprintf("values such as %s make %s", example(cells), both(unitMM, unitInch))}
		}
		return unitGuess{unit: unitInch, sure: sure, why: fmt.Sprintf("values such as %s are in hundredths; they make %s", example(cells), both(unitInch, unitMM))}
	}
	sure := likely
	switch {
	case l.drizzle(unitMM) || !l.possible(unitMM):
		sure = noTelling
	case many:
		sure = veryLikely
	}
	return unitGuess{unit: unitMM, sure: sure, why: "the values have one decimal, and inches are written in hundredths; " + both(unitMM, unitInch)}
}

// multipleOfCentiInch reports whether x mm, written as in cell, is a whole
// number of hundredths of an inch, rounded to the cell's decimals.
func multipleOfCentiInch(x float64, cell string) bool {
	k := 0
	if at := strings.IndexByte(cell, '.'); at >= 0 {
		k = len(strings.TrimRight(cell[at+1:], "0"))
	}
	scale := math.Pow10(min(max(k, 1), 4))
	exact := math.Round(x/0.254) * 0.254
	// half a unit of the last place, and a hair for a tie rounded either way
	return math.Abs(exact-x) <= 0.5/scale+1e-9
}

// example is the first value written with two decimals.
func example(cells []string) string {
	for _, c := range cells {
		x, err := strconv.ParseFloat(c, 64)
		if at := strings.IndexByte(c, '.'); err == nil && x > 0 && at >= 0 && len(c)-at == 3 {
			return c
		}
	}
	return cells[0]
}

// about says a depth in mm and in inches: who reads an error may think in
// either.
func about(mm float64) string { return fmt.Sprintf("%s mm (%s in)", shown(mm), shown(mm/unitInch.mm)) }

// shown writes a depth: small ones with one decimal or two, great ones
// with separators.
func shown(mm float64) string {
	switch {
	case mm < 0.1:
		return fmt.Sprintf("%.2g", mm)
	case mm < 1:
		return fmt.Sprintf("%.2f", mm)
	case mm < 10:
		return fmt.Sprintf("%.1f", mm)
	case mm > 1e12: // more than a whole number holds, at last
		return fmt.Sprintf("%.3g", mm)
	}
	return thousands(int(math.Round(mm)))
}

// askUnit refuses a column without a unit.
func (in *input) askUnit(column string, g unitGuess) {
	text := fmt.Sprintf("the unit of column %q is not stated; ", column)
	if g.sure == noTelling {
		in.fail(in.header, text+"the values do not tell: "+g.why, "--unit mm, in or 0.1mm; turn any other unit into one of these first")
	}
	word := map[unit]string{unitMM: "millimetres are", unitInch: "inches are", unitTenth: "tenths of a millimetre are"}[g.unit]
	in.fail(in.header, fmt.Sprintf("%s%s %v: %s", text, word, g.sure, g.why), "say it with --unit mm, in or 0.1mm; the best guess is --unit "+g.unit.flag)
}

// doubtUnit tells where the unit that the file or, asked, the user stated is
// hardly the one that the values show.
func doubtUnit(r *rainfall.Record, stated unit, g unitGuess, asked bool) {
	if g.sure < veryLikely || g.unit == stated {
		return
	}
	ask := 0.0
	if asked {
		ask = 1
	}
	ofUnit(r, "unit-doubtful",
		rainfall.InUnit.Of("stated", stated.mm), rainfall.InUnit.Of("likely", g.unit.mm), rainfall.InCount.Of("asked", ask), rainfall.InCount.Of("sureness", float64(g.sure)),
		rainfall.InDepth.Of("year_stated", stated.inMM(g.looks.year)), rainfall.InDepth.Of("wet_day_stated", stated.inMM(g.looks.median)),
		rainfall.InDepth.Of("year_likely", g.unit.inMM(g.looks.year)), rainfall.InDepth.Of("wet_day_likely", g.unit.inMM(g.looks.median)))
}

// tellInferred notes the unit that was taken where none was stated, and what the
// values would make in inches.
func tellInferred(r *rainfall.Record, g unitGuess) {
	ofUnit(r, "unit-inferred",
		rainfall.InUnit.Of("read_as", g.unit.mm), rainfall.InShare.Of("from_inches", g.looks.fromInches),
		rainfall.InDepth.Of("year_in_inches", unitInch.inMM(g.looks.year)), rainfall.InDepth.Of("wet_day_in_inches", unitInch.inMM(g.looks.median)))
}

// ofUnit tells of the unit before all else.
func ofUnit(r *rainfall.Record, code string, values ...rainfall.Value) {
	f := rainfall.Finding{Code: code, From: r.First, Days: len(r.Depth), Values: values}
	r.Findings = slices.Insert(r.Findings, 0, f)
}

// unitChange tells where the usual wet day of one quarter of the file is a
// multiple of another's: a unit that changes half-way.
func unitChange(r *rainfall.Record, cells []string, depths []float64) {
	const quarters, tooMuch = 4, 8.0
	low, high := math.Inf(1), 0.0
	for q := range quarters {
		from, to := q*len(cells)/quarters, (q+1)*len(cells)/quarters
		l := looksOf(cells[from:to], depths[from:to])
		if l.wet < fewWet {
			return
		}
		low, high = min(low, l.median), max(high, l.median)
	}
	if high > tooMuch*low {
		tell(r, "unit-change", 0).value(rainfall.InFile.Of("low", low), rainfall.InFile.Of("high", high))
	}
}
