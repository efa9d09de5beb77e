package read

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// amounts returns a column of numbers with points for decimals, however the
// file writes them. 1,5 in a cell of its own is one and a half; 1,234 alone
// may be so or twelve hundred and more, and then the column is refused, as one
// that mixes both signs.
func (t *table) amounts(i int) []string {
	cells := t.column(i)
	comma, point, thousand, told := -1, -1, -1, false
	points, threes, wholes := 0, 0, 0 // numbers with a point, of these with three digits behind it, and without
	for k, c := range cells {
		at := strings.IndexByte(c, ',')
		if !isNumber(strings.Replace(c, ",", ".", 1)) {
			continue
		}
		if dot := strings.IndexByte(c, '.'); dot >= 0 {
			if points++; len(c)-dot-1 == 3 && dot > 0 && c[:dot] != "0" {
				threes++
			}
			if point < 0 {
				point = k
			}
		} else if at < 0 && strings.Trim(c, "0") != "" {
			wholes++
		}
		if at < 0 {
			continue
		}
		if comma < 0 {
			comma = k
		}
		if len(c)-at-1 == 3 && c[:at] != "0" {
			if thousand < 0 {
				thousand = k
			}
			continue
		}
		told = true
	}
	switch {
	case comma < 0 && points > 0 && points == threes && wholes > 0:
		t.in.fail(t.line[point], fmt.Sprintf("%q may be a number with decimals or one in thousands, and no line of the file tells which", cells[point]), "write all values with the same number of decimals, and none between the thousands")
	case comma < 0:
		return cells
	case point >= 0:
		k := max(comma, point)
		t.in.fail(t.line[k], fmt.Sprintf("%q has another sign of decimals than %q on line %d", cells[k], cells[min(comma, point)], t.line[min(comma, point)]), "write all values in one way, best as 1.5")
	case !told:
		t.in.fail(t.line[thousand], fmt.Sprintf("%q may be %s or %s, and no line of the file tells which", cells[thousand], strings.Replace(cells[thousand], ",", ".", 1), strings.Replace(cells[thousand], ",", "", 1)), "write all values with a decimal point, best as 1.5")
	}
	for k, c := range cells {
		cells[k] = strings.Replace(c, ",", ".", 1)
	}
	return cells
}

// numbersOf reads cells, NaN for what is no finite number.
func numbersOf(cells []string) []float64 {
	out := make([]float64, len(cells))
	for k, c := range cells {
		x, err := strconv.ParseFloat(c, 64)
		if err != nil || x-x != 0 {
			x = math.NaN()
		}
		out[k] = x
	}
	return out
}

// isNumber reports whether a cell is a finite decimal number.
func isNumber(c string) bool {
	x, err := strconv.ParseFloat(c, 64)
	return err == nil && x-x == 0
}

// number reads a cell as a finite decimal number.
func (in *input) number(line int, cell, what string) float64 {
	x, err := strconv.ParseFloat(cell, 64)
	if err == nil && x-x == 0 {
		return x
	}
	if cell == "" {
		in.fail(line, what+" is blank", "write it, or remove the line")
	}
	if errors.Is(err, strconv.ErrRange) {
		in.fail(line, fmt.Sprintf("%s %q is too large to be meant", what, clipped(cell)), "correct it, or leave the cell blank if the value is missing")
	}
	in.fail(line, fmt.Sprintf("%s %q is not a number", what, clipped(cell)), "leave the cell blank if the value is missing; write 0 if it means that no rain fell")
	return x
}

// tenths reads a cell of a row as its publisher fills it: a whole number of
// tenths of a millimetre. Another number there is of another unit.
func (t *table) tenths(row int, cell, what string) float64 {
	x := t.in.number(t.line[row], cell, what)
	if x != math.Trunc(x) {
		t.in.fail(t.line[row], fmt.Sprintf("%s %q is not a whole number, as the publisher writes tenths of a millimetre", what, clipped(cell)), "was the file saved anew in another unit? Name its columns and their unit, as in --columns date,rain_mm")
	}
	return x
}

// splitCells cuts a line at a separator, without the quotes and blanks round
// each cell.
func splitCells(s string, comma rune) []string {
	var cells []string
	if strings.IndexByte(s, '"') >= 0 { // a separator may stand inside quotes
		r := csv.NewReader(strings.NewReader(s))
		r.Comma, r.LazyQuotes, r.TrimLeadingSpace = comma, true, comma != '\t'
		cells, _ = r.Read()
	}
	if cells == nil {
		cells = strings.Split(s, string(comma))
	}
	for i, c := range cells {
		cells[i] = strings.TrimSpace(strings.Trim(strings.TrimSpace(c), `"`))
	}
	return cells
}

// withoutTail leaves out the blank cells at a line's end, which a spreadsheet
// appends.
func withoutTail(cells []string) []string {
	for len(cells) > 1 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// hasCells reports whether each name is among the cells, letter case aside.
func hasCells(cells []string, names ...string) bool {
	return !slices.ContainsFunc(names, func(n string) bool { return !equalsAny(n, cells) })
}

// trimmed is a line of a head without what a spreadsheet puts round it.
func trimmed(s string) string { return strings.Trim(s, " \t\",;|") }
