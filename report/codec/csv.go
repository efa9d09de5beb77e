package codec

import (
	"bytes"
	"encoding/csv"
	"io"
	"reflect"
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
	header, _ := row(nil, nil, reflect.Zero(v.Type().Elem()), "")
	w.Write(header)
	for i := range v.Len() {
		_, cells := row(nil, nil, v.Index(i), "")
		w.Write(cells)
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// row adds the names and the texts of an object's columns.
func row(names, texts []string, v reflect.Value, path string) ([]string, []string) {
	for _, f := range fieldsOf(v.Type()) {
		x, name := v.FieldByIndex(f.index), strings.TrimPrefix(path+"_"+f.key, "_")
		switch {
		case f.tree || x.Kind() == reflect.Slice || x.Kind() == reflect.Array:
			continue
		case isObject(x.Type()):
			names, texts = row(names, texts, x, name)
			continue
		case f.key == "estimate":
			name = path
		}
		names, texts = append(names, name), append(texts, encode(x, f.number).Text)
	}
	return names, texts
}
