package rainfall

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"
)

// table is a delimited file with a header, every cell a string.
type table struct {
	in     *input
	frame  dataframe.DataFrame
	header []string // trimmed
	held   []int    // the positions of the columns in frame
	line   []int    // the line on which each row begins
}

// table reads the delimited lines from line header (counted from 1) on. Rows
// may be shorter or longer than the header only where ragged; lines without
// any value are passed over. Of a wide file name the columns wanted: only
// those are held, and the others' cells are blank.
func (in *input) table(header int, comma rune, ragged bool, only ...string) (*table, error) {
	return in.tableNamed(nil, header, comma, ragged, only...)
}

// tableNamed is table for lines that have no header of their own, but names.
func (in *input) tableNamed(names []string, first int, comma rune, ragged bool, only ...string) (*table, error) {
	r := csv.NewReader(strings.NewReader(strings.Join(in.lines[first-1:], "\n")))
	r.Comma = comma
	r.FieldsPerRecord = -1
	r.LazyQuotes = true
	r.TrimLeadingSpace = comma != '\t' // a blank cell between tabs is a cell
	r.ReuseRecord = true
	t := &table{in: in}
	var rows [][]string
	if names != nil {
		rows = [][]string{t.name(names, only)}
	}
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if pe := (*csv.ParseError)(nil); errors.As(err, &pe) {
			return nil, in.fail(first-1+pe.Line, "not a line of delimited text: "+pe.Err.Error(), "")
		}
		if err != nil {
			return nil, in.fail(0, err.Error(), "")
		}
		n, _ := r.FieldPos(0)
		n += first - 1
		if blank(row) {
			continue
		}
		for _, cell := range row {
			if strings.IndexByte(cell, '\n') >= 0 {
				return nil, in.fail(n, "a quotation mark is opened and not closed on this line", "close it, or remove it")
			}
		}
		if t.header == nil {
			rows = [][]string{t.name(row, only)}
			continue
		}
		if len(row) > len(t.header) && blank(row[len(t.header):]) {
			row = row[:len(t.header)] // delimiters that a spreadsheet appends
		}
		if len(row) != len(t.header) && !ragged {
			hint := "a decimal comma, or a delimiter inside a value? write 1.5, not 1,5"
			if len(row) == 1 {
				hint = fmt.Sprintf("separate the fields by %s, as the header does", delimiterName(comma))
			}
			return nil, in.fail(n, fmt.Sprintf("%s where %d were expected", count(len(row), "field", "fields"), len(t.header)), hint)
		}
		cells := make([]string, len(t.held))
		for k, i := range t.held {
			if i < len(row) {
				cells[k] = row[i]
			}
		}
		rows = append(rows, cells)
		t.line = append(t.line, n)
	}
	if len(rows) < 2 {
		return nil, in.fail(0, "a header and no line of data", "download the file again, or choose a station and a span that has data")
	}
	t.frame = dataframe.LoadRecords(rows, dataframe.DetectTypes(false), dataframe.DefaultType(series.String))
	if t.frame.Err != nil {
		return nil, in.fail(first, t.frame.Err.Error(), "")
	}
	return t, nil
}

// name takes the header's cells and returns the names that gota is given:
// it renames doubled columns and cannot hold blank names, so it sees only the
// positions, and cells are reached by them.
func (t *table) name(row, only []string) []string {
	for i, h := range row {
		t.header = append(t.header, strings.TrimSpace(h))
		if len(only) == 0 || equalsAny(t.header[i], only) {
			t.held = append(t.held, i)
		}
	}
	if len(t.held) == 0 {
		t.held = []int{0}
	}
	names := make([]string, len(t.held))
	for k, i := range t.held {
		names[k] = strconv.Itoa(i)
	}
	return names
}

// delimiterName is how an error calls a delimiter.
func delimiterName(comma rune) string {
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

// column returns the trimmed cells of a column, as long as t.line; all blank
// for position -1 and for a column not held.
func (t *table) column(i int) []string {
	if !slices.Contains(t.held, i) {
		return make([]string, len(t.line))
	}
	cells := t.frame.Col(strconv.Itoa(i)).Records()
	for k, c := range cells {
		cells[k] = strings.TrimSpace(c)
	}
	return cells
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
