package codec

import (
	"bytes"
	"encoding/csv"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// CSV writes a table for machines and for spreadsheets. A spreadsheet
// runs a cell that begins like a formula, so a cell of text that does gets an
// apostrophe before it, which spreadsheets take for "this is text". Numbers
// stay numbers.
type CSV struct{ *csv.Writer }

// NewCSV returns a CSV that writes to w; Flush it.
func NewCSV(w io.Writer) CSV { return CSV{csv.NewWriter(w)} }

// Write writes a row. Its error is told by Error, too.
func (t CSV) Write(row []string) error {
	for i, cell := range row {
		if isFormula(cell) {
			row = append([]string(nil), row...)
			row[i] = "'" + cell
		}
	}
	return t.Writer.Write(row)
}

// isFormula says whether a spreadsheet may run a cell: it begins, blanks
// aside, with one of = + - @, or with a tab or a carriage return, and is no
// number.
func isFormula(cell string) bool {
	if cell == "" || cell[0] >= '0' && cell[0] <= '9' {
		return false
	}
	if cell[0] == '\t' || cell[0] == '\r' || cell[0] == '\n' {
		return true
	}
	begins := strings.TrimLeft(cell, " \u00a0")
	for _, mark := range []string{"=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"} { // and their wide forms
		if strings.HasPrefix(begins, mark) {
			_, err := strconv.ParseFloat(cell, 64)
			return err != nil
		}
	}
	return false
}

// Rows returns rows, a slice of structs, as the text of a CSV with a header: a
// column a number or text, full precision, nothing where there is none. An
// object within a row gives columns named by both keys; the key "estimate"
// adds nothing to the name. Lists and what is tagged as a tree have none.
func Rows(rows any) ([]byte, error) {
	var b bytes.Buffer
	w := NewCSV(&b)
	v := reflect.ValueOf(rows)
	all := columns(nil, v.Type().Elem(), "", nil, false)
	all = slices.DeleteFunc(all, func(c column) bool {
		for i := range v.Len() {
			if !c.zero || !v.Index(i).FieldByIndex(c.index).IsZero() {
				return false
			}
		}
		return c.zero
	})
	texts := make([]string, len(all))
	for k, c := range all {
		texts[k] = c.name
	}
	w.Write(texts)
	for i := range v.Len() {
		for k, c := range all {
			texts[k] = encode(v.Index(i).FieldByIndex(c.index), c.number).Text
		}
		w.Write(texts)
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// Columns lists the columns that Rows may give rows like one, in their order.
func Columns(row any) (names []string) {
	for _, c := range columns(nil, reflect.TypeOf(row), "", nil, false) {
		names = append(names, c.name)
	}
	return names
}

// column is one of a table's.
type column struct {
	name         string
	index        []int // as reflect.Value.FieldByIndex takes it
	number, zero bool
}

// columns adds those of an object within a row; zero says that it may be left out.
func columns(all []column, t reflect.Type, path string, index []int, zero bool) []column {
	for _, f := range fieldsOf(t) {
		of, name := t.FieldByIndex(f.index).Type, strings.TrimPrefix(path+"_"+f.key, "_")
		at := slices.Concat(index, f.index)
		switch {
		case f.tree || of.Kind() == reflect.Slice || of.Kind() == reflect.Array:
			continue
		case isObject(of):
			all = columns(all, of, name, at, zero || f.zero)
			continue
		case f.key == "estimate":
			name = path
		}
		all = append(all, column{name, at, f.number, zero || f.zero})
	}
	return all
}
