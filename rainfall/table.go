package rainfall

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
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
	line   []int    // the line on which each row begins
}

// table reads the delimited lines from line header (counted from 1) on. Rows
// may be shorter or longer than the header only where ragged; blank lines are
// passed over.
func (in *input) table(header int, comma rune, ragged bool) (*table, error) {
	r := csv.NewReader(strings.NewReader(strings.Join(in.lines[header-1:], "\n")))
	r.Comma = comma
	r.FieldsPerRecord = -1
	r.LazyQuotes = true
	r.TrimLeadingSpace = true
	t := &table{in: in}
	var rows [][]string
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if pe := (*csv.ParseError)(nil); errors.As(err, &pe) {
			return nil, in.fail(header-1+pe.Line, "not a line of delimited text: "+pe.Err.Error(), "")
		}
		if err != nil {
			return nil, in.fail(0, err.Error(), "")
		}
		n, _ := r.FieldPos(0)
		n += header - 1
		if len(rows) > 0 && len(row) != len(rows[0]) {
			if !ragged {
				return nil, in.fail(n, fmt.Sprintf("%d fields where the header has %d", len(row), len(rows[0])), "a decimal comma, or a delimiter inside a value? write 1.5, not 1,5")
			}
			row = append(row, make([]string, max(0, len(rows[0])-len(row)))...)[:len(rows[0])]
		}
		rows = append(rows, row)
		t.line = append(t.line, n)
	}
	if len(rows) < 2 {
		return nil, in.fail(0, "a header and no line of data", "download the file again")
	}
	t.line = t.line[1:]
	for _, h := range rows[0] {
		t.header = append(t.header, strings.TrimSpace(h))
	}
	// gota renames doubled columns and cannot hold blank names; cells are
	// reached by position, so the names it sees are only numbers.
	for i := range rows[0] {
		rows[0][i] = strconv.Itoa(i)
	}
	t.frame = dataframe.LoadRecords(rows, dataframe.DetectTypes(false), dataframe.DefaultType(series.String))
	if t.frame.Err != nil {
		return nil, in.fail(header, t.frame.Err.Error(), "")
	}
	return t, nil
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
// for position -1.
func (t *table) column(i int) []string {
	if i < 0 {
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
