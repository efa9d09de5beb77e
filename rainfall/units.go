package rainfall

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// unit is a unit that a file may hold rain in.
type unit struct {
	name string  // as Record.Unit
	flag string  // as --unit takes it
	mm   float64 // millimetres in one
}

var (
	unitMM    = unit{"mm", "mm", 1}
	unitTenth = unit{"0.1 mm", "0.1mm", 0.1}
	unitInch  = unit{"in", "in", 25.4} // exact since 1959
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
	for _, a := range []string{"perday", "/day", "/d", "day-1", "d-1"} {
		s = strings.TrimSuffix(s, a)
	}
	switch s {
	case "mm", "millimetre", "millimetres", "millimeter", "millimeters", "l/m2", "l/m²", "kg/m2", "kgm-2":
		return unitMM, true
	case "0.1mm", "0,1mm", "1/10mm", "mm/10", "tenthsofmm", "tenthsofamm", "tenthmm", "tenthsofamillimetre", "tenthsofamillimeter":
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
	unit unit
	sure sureness
	why  string // a clause
}

// The evidence that guessUnit weighs. The rains are means over the file.
const (
	// fewWet is the number of wet values from which on the form of the
	// values is taken to show a rule rather than chance.
	fewWet = 30
	// driestYear and wettestYear bound a plausible mean annual rain, mm: the
	// driest gauges hold below 1 (Arica 0.8), the wettest 11,900 (Mawsynram);
	// from memory, unverified.
	driestYear, wettestYear = 0.5, 13000
	// inchDay and inchYear mark rain that hardly any gauge would give in
	// inches: more than 20 in (508 mm) in a day together with more than
	// 250 in (6,350 mm) a year.
	inchDay, inchYear = 20, 250
)

// guessUnit judges the unit of a column of daily values (none missing) by how
// they are written and what climate they would make. Three things tell:
//
//   - inches are published in hundredths; millimetres with one decimal; tenths
//     of a millimetre as whole numbers;
//   - rain measured in hundredths of an inch and converted has only values
//     that are rounded multiples of 0.254 mm: by chance 39 % of the values
//     with one decimal are, 4 % of those with two;
//   - a year, and a day, hold so much rain and no more.
func guessUnit(cells []string) unitGuess {
	var n, wet, whole, one, two, fromInches, hundredths float64
	var sum, most float64
	for _, c := range cells {
		x, err := strconv.ParseFloat(c, 64)
		if err != nil || !(x >= 0) {
			continue
		}
		n++
		if at := strings.IndexByte(c, '.'); at >= 0 && len(c)-at == 3 {
			hundredths++ // as written, 0.00 included
		}
		sum += x
		most = max(most, x)
		if x == 0 {
			continue
		}
		wet++
		switch {
		case x == math.Round(x):
			whole++
		case math.Abs(x*10-math.Round(x*10)) < 1e-6:
			one++
		default:
			two++
		}
		if multipleOfCentiInch(x, c) {
			fromInches++
		}
	}
	if wet == 0 {
		return unitGuess{unitMM, noTelling, "no value is above zero"}
	}
	year := sum / n * 365
	climate := func(u unit) string { return fmt.Sprintf("%.*f mm a year", decimals(u.inMM(year)), u.inMM(year)) }
	possible := func(u unit) bool {
		return u.inMM(most) <= MaxDaily && (n < 300 || u.inMM(year) >= driestYear && u.inMM(year) <= wettestYear)
	}
	switch {
	case whole == wet:
		if possible(unitTenth) && (!possible(unitMM) || year > 6000) {
			return unitGuess{unitTenth, veryLikely, fmt.Sprintf("all values are whole numbers, and as mm they would make %s", climate(unitMM))}
		}
		return unitGuess{unitMM, noTelling, fmt.Sprintf("all values are whole numbers: %s if they are mm, %s if they are tenths of a mm", climate(unitMM), climate(unitTenth))}
	case !possible(unitInch), most > inchDay && year > inchYear:
		return unitGuess{unitMM, certain, fmt.Sprintf("in inches they would make %s and %.0f mm in one day", climate(unitInch), unitInch.inMM(most))}
	case wet >= fewWet && fromInches >= 0.95*wet && one+whole == wet:
		return unitGuess{unitMM, certain, "the values are hundredths of an inch turned into mm"}
	case wet >= fewWet && fromInches >= 0.8*wet:
		return unitGuess{unitMM, veryLikely, "most values are hundredths of an inch turned into mm"}
	case two > 0 && (most > inchDay || year > inchYear/2):
		return unitGuess{unitMM, likely, fmt.Sprintf("in inches they would make %s and %.0f mm in one day", climate(unitInch), unitInch.inMM(most))}
	case two > 0:
		sure := likely
		if !possible(unitMM) || n >= fewWet && hundredths == n || wet >= fewWet && two >= 0.7*wet {
			sure = veryLikely
		}
		return unitGuess{unitInch, sure, fmt.Sprintf("values such as %s are in hundredths; they make %s if they are inches, %s if they are mm", example(cells), climate(unitInch), climate(unitMM))}
	}
	sure := likely
	if wet >= fewWet {
		sure = veryLikely
	}
	return unitGuess{unitMM, sure, fmt.Sprintf("no value has more than one decimal, and inches are written in hundredths; %s if they are mm, %s if they are inches", climate(unitMM), climate(unitInch))}
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

// decimals shows small yearly totals with one decimal.
func decimals(x float64) int {
	if x < 10 {
		return 1
	}
	return 0
}

// unitUnknown is the error for a column without a unit.
func (in *input) unitUnknown(column string, g unitGuess) *ReadError {
	text := fmt.Sprintf("the unit of column %q is not stated; ", column)
	if g.sure == noTelling {
		return in.fail(0, text+"the values do not tell: "+g.why, "--unit mm, in or 0.1mm")
	}
	word := map[unit]string{unitMM: "millimetres are", unitInch: "inches are", unitTenth: "tenths of a millimetre are"}[g.unit]
	return in.fail(0, fmt.Sprintf("%s%s %v: %s", text, word, g.sure, g.why), "say it with --unit mm, in or 0.1mm; the best guess is --unit "+g.unit.flag)
}
