package rainfall

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// table is a delimited file with a header, every cell a string.
type table struct {
	in     *input
	header []string   // trimmed
	cells  [][]string // by column, trimmed; nil for a column not held
	line   []int      // the line on which each row stands
}

// table reads the delimited lines from line header (counted from 1) on. No row
// may be shorter or longer than the header, but for delimiters at its end;
// lines without any value are passed over. Of a wide file name the columns
// wanted: only those are held, and the others' cells are blank.
func (in *input) table(header int, comma byte, only ...string) (*table, error) {
	t := &table{in: in}
	return t, t.read(header, comma, false, only)
}

// tableNamed is table for a file with lines of comments; names, if any, are
// the header of one that has none.
func (in *input) tableNamed(names []string, first int, comma byte) (*table, error) {
	t := &table{in: in}
	if names != nil {
		t.name(names, nil, len(in.lines))
	}
	return t, t.read(first, comma, true, nil)
}

func (t *table) read(first int, comma byte, comments bool, only []string) error {
	in := t.in
	var row []string
	for n := first; n <= len(in.lines); n++ {
		if comments && isComment(in.lines[n-1]) {
			continue
		}
		var closed bool
		row, closed = splitRow(row[:0], in.lines[n-1], comma)
		if !closed && n < len(in.lines) {
			return in.fail(n, "a quotation mark is opened and not closed on this line", "close it, or remove it")
		}
		if blank(row) {
			continue
		}
		if t.header == nil {
			t.name(row, only, len(in.lines)-n)
			continue
		}
		if len(row) > len(t.header) && blank(row[len(t.header):]) {
			row = row[:len(t.header)] // delimiters that a spreadsheet appends
		}
		if len(row) != len(t.header) {
			hint := "a decimal comma, or a delimiter inside a value? write 1.5, not 1,5"
			if len(row) == 1 {
				hint = fmt.Sprintf("separate the fields by %s, as the header does", delimiterName(comma))
			}
			return in.fail(n, fmt.Sprintf("%s where %d were expected", count(len(row), "field", "fields"), len(t.header)), hint)
		}
		for i, held := range t.cells {
			if held != nil {
				t.cells[i] = append(held, strings.TrimSpace(row[i]))
			}
		}
		t.line = append(t.line, n)
	}
	if len(t.line) == 0 {
		return in.fail(0, "a header and no line of data", "download the file again, or choose a station and a span that has data")
	}
	return nil
}

// name takes the header's cells, and makes room for so many rows in the
// columns wanted, all if none is named.
func (t *table) name(row, only []string, rows int) {
	t.cells = make([][]string, len(row))
	for i, h := range row {
		t.header = append(t.header, strings.TrimSpace(h))
		if len(only) == 0 || equalsAny(t.header[i], only) {
			t.cells[i] = make([]string, 0, rows)
		}
	}
	t.line = make([]int, 0, rows)
}

// splitRow cuts a line into its fields, which it appends to row. A field
// within quotation marks may hold delimiters, and doubled marks; a mark that
// neither opens nor closes a field stands for itself. It reports false where
// the last field is opened and not closed.
func splitRow(row []string, s string, comma byte) (_ []string, closed bool) {
	for {
		if comma != '\t' { // a blank cell between tabs is a cell
			s = strings.TrimLeftFunc(s, unicode.IsSpace)
		}
		at, more := 0, false
		if s == "" || s[0] != '"' {
			if at = strings.IndexByte(s, comma); at < 0 {
				return append(row, s), true
			}
			row, s = append(row, s[:at]), s[at+1:]
			continue
		}
		s = s[1:]
		if at, more = closingMark(s, comma); at < 0 {
			return append(row, strings.ReplaceAll(s, `""`, `"`)), false
		}
		row = append(row, strings.ReplaceAll(s[:at], `""`, `"`))
		if !more {
			return row, true
		}
		s = s[at+2:]
	}
}

// closingMark returns the place of the quotation mark that closes the field
// that s begins with, -1 for none, and whether another field comes after it.
func closingMark(s string, comma byte) (at int, more bool) {
	for at < len(s) {
		switch {
		case s[at] != '"':
			at++
		case at+1 == len(s):
			return at, false
		case s[at+1] == comma:
			return at, true
		case s[at+1] == '"':
			at += 2
		default:
			at++
		}
	}
	return -1, false
}

// isComment reports whether a line of a plain file is a comment.
func isComment(s string) bool { return strings.HasPrefix(strings.TrimSpace(s), "#") }

// delimiterName is how an error calls a delimiter.
func delimiterName(comma byte) string {
	switch comma {
	case ';':
		return "semicolons"
	case '\t':
		return "tabs"
	}
	return "commas"
}

func blank(row []string) bool {
	for _, c := range row {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return true
}

func equalsAny(s string, names []string) bool {
	for _, n := range names {
		if strings.EqualFold(s, n) {
			return true
		}
	}
	return false
}

// find returns the position of the first column that has one of the names,
// letter case aside, or -1.
func (t *table) find(names ...string) int {
	for _, n := range names {
		for i, h := range t.header {
			if strings.EqualFold(h, n) {
				return i
			}
		}
	}
	return -1
}

// column returns the cells of a column, as long as t.line; all blank for
// position -1 and for a column not held. They are the table's own.
func (t *table) column(i int) []string {
	if i < 0 || i >= len(t.cells) || t.cells[i] == nil {
		return make([]string, len(t.line))
	}
	return t.cells[i]
}

// number reads a cell as a finite decimal number.
func (in *input) number(line int, cell, what string) (float64, error) {
	x, err := strconv.ParseFloat(cell, 64)
	if err == nil && x-x == 0 {
		return x, nil
	}
	hint := "leave the cell blank if the value is missing"
	if cell == "" {
		return 0, in.fail(line, what+" is blank", "")
	}
	if strings.Count(cell, ",") == 1 && strings.Trim(cell, "0123456789,-") == "" {
		hint = "write a decimal point: " + strings.Replace(cell, ",", ".", 1)
	}
	return 0, in.fail(line, fmt.Sprintf("%s %q is not a number", what, cell), hint)
}

// ymd reads YYYYMMDD.
func (in *input) ymd(line int, cell string) (Date, error) {
	if n, err := strconv.Atoi(cell); err == nil && len(cell) == 8 {
		if d, ok := MakeDate(n/10000, time.Month(n/100%100), n%100); ok {
			return d, nil
		}
	}
	return 0, in.fail(line, fmt.Sprintf("date %q is no day of the form YYYYMMDD", cell), "")
}

// iso reads YYYY-MM-DD; a time of day after it is passed over.
func (in *input) iso(line int, cell string) (Date, error) {
	if len(cell) >= 10 && cell[4] == '-' && cell[7] == '-' && (len(cell) == 10 || cell[10] == 'T' || cell[10] == ' ') {
		y, e1 := strconv.Atoi(cell[:4])
		m, e2 := strconv.Atoi(cell[5:7])
		d, e3 := strconv.Atoi(cell[8:10])
		if e1 == nil && e2 == nil && e3 == nil {
			if day, ok := MakeDate(y, time.Month(m), d); ok {
				return day, nil
			}
		}
	}
	return 0, in.fail(line, fmt.Sprintf("date %q is no day of the form YYYY-MM-DD", cell), "")
}
