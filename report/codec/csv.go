package codec

import (
	"bytes"
	"encoding/csv"
	"io"
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

// Rows returns rows, a slice of structs, as the text of a CSV (see Table).
func Rows(rows any) ([]byte, error) {
	var b bytes.Buffer
	w := NewCSV(&b)
	header, lines := Table(rows)
	w.Write(header)
	for _, l := range lines {
		w.Write(l)
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
