package rainfall

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"
)

// ReadOptions is what a file cannot say of itself.
type ReadOptions struct {
	Unit    string // "mm", "in" or "0.1mm"; "" takes the format's own
	Station string // the station wanted of a file that holds several
	Dates   string // "dmy" or "mdy" where a day and a month could be swapped
	Column  string // the rain column of a plain file with several
}

// ReadError says what is wrong with a file, where, and what would mend it.
type ReadError struct {
	File string
	Line int // counted from 1; 0 where no line is at fault
	Text string
	Hint string // a remedy, "" where Text holds it
}

func (e *ReadError) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("%s:%d: %s", e.File, e.Line, e.Text)
	}
	return fmt.Sprintf("%s: %s", e.File, e.Text)
}

// ReadFile reads a record from a file, plain or gzip, in any format of
// Formats; "-" is standard input.
func ReadFile(path string, o ReadOptions) (*Record, error) {
	var b []byte
	var err error
	if path == "-" {
		b, err = io.ReadAll(os.Stdin)
	} else {
		b, err = os.ReadFile(path)
	}
	if err != nil {
		text := "cannot be read: " + err.Error()
		if pe := (*os.PathError)(nil); errors.As(err, &pe) {
			text = "cannot be read: " + pe.Err.Error()
		}
		return nil, &ReadError{File: path, Text: text}
	}
	return Read(path, b, o)
}

// Read reads a record from a file's bytes. All its errors are *ReadError.
func Read(file string, b []byte, o ReadOptions) (*Record, error) {
	sum := sha256.Sum256(b)
	in, err := newInput(file, b, o)
	if err != nil {
		return nil, err
	}
	for _, f := range formats() {
		if !f.sniff(in) {
			continue
		}
		r, err := f.read(in)
		if err != nil {
			return nil, err
		}
		r.File, r.Format, r.SHA256 = file, f.name, hex.EncodeToString(sum[:])
		return r, nil
	}
	return nil, in.fail(0, "no format of daily rain known here", "a plain file needs a header line and a date and a rain column, comma-separated")
}

// format is one kind of file. Adding one is one file and one line in formats.
type format struct {
	name  string
	sniff func(*input) bool // by the first lines; must not accept another format's files
	read  func(*input) (*Record, error)
}

// Formats lists the names of the formats known, in the order they are tried.
func Formats() []string {
	var names []string
	for _, f := range formats() {
		names = append(names, f.name)
	}
	return names
}

func formats() []format {
	return []format{ghcnDaily()}
}

// input is a file as text: UTF-8, no byte-order mark, lines without their
// ends.
type input struct {
	file  string
	lines []string
	opt   ReadOptions
}

const maxUnpacked = 1 << 30 // bytes; more is not one station's record

func newInput(file string, b []byte, o ReadOptions) (*input, error) {
	in := &input{file: file, opt: o}
	if bytes.HasPrefix(b, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(bytes.NewReader(b))
		if err == nil {
			b, err = io.ReadAll(io.LimitReader(z, maxUnpacked))
		}
		if err != nil {
			return nil, in.fail(0, "the gzip file is cut short or damaged: "+err.Error(), "download it again")
		}
	}
	switch {
	case len(bytes.TrimSpace(b)) == 0:
		return nil, in.fail(0, "the file is empty", "download it again")
	case bytes.HasPrefix(b, []byte{0xff, 0xfe}), bytes.HasPrefix(b, []byte{0xfe, 0xff}), looksUTF16(b):
		return nil, in.fail(0, "the text is UTF-16", "save it as UTF-8 (in a spreadsheet: CSV UTF-8)")
	case bytes.HasPrefix(b, []byte("PK\x03\x04")):
		return nil, in.fail(0, "this is a zip archive or a spreadsheet, not text", "unpack it, or save the sheet as CSV UTF-8")
	case bytes.IndexByte(b, 0) >= 0, bytes.HasPrefix(b, []byte("%PDF-")):
		return nil, in.fail(0, "this is a binary file, not text", "give the daily rain as text")
	}
	b = bytes.TrimPrefix(b, []byte("\xef\xbb\xbf"))
	head := bytes.ToLower(bytes.TrimSpace(b[:min(len(b), 512)]))
	if bytes.HasPrefix(head, []byte("<!doctype html")) || bytes.HasPrefix(head, []byte("<html")) || bytes.HasPrefix(head, []byte("<?xml")) {
		return nil, in.fail(1, "this is a saved web page, not a data file", "download the file itself rather than the page that shows it")
	}
	text := string(b)
	if !utf8.ValidString(text) {
		text = latin1(b)
	}
	if strings.IndexByte(text, '\r') >= 0 {
		text = strings.ReplaceAll(text, "\r\n", "\n")
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	in.lines = strings.Split(strings.TrimRight(text, "\n"), "\n")
	return in, nil
}

// looksUTF16 recognises UTF-16 without its mark: every other byte of the
// start is zero.
func looksUTF16(b []byte) bool {
	n := min(len(b), 200) / 2 * 2
	if n < 8 {
		return false
	}
	even, odd := 0, 0
	for i := 0; i < n; i += 2 {
		if b[i] == 0 {
			even++
		}
		if b[i+1] == 0 {
			odd++
		}
	}
	return even > n/2*8/10 || odd > n/2*8/10
}

// latin1 decodes ISO 8859-1, in which publishers still write station names.
func latin1(b []byte) string {
	r := make([]rune, len(b))
	for i, c := range b {
		r[i] = rune(c)
	}
	return string(r)
}

// fail makes the error for a line, counted from 1 (0 for the whole file).
func (in *input) fail(line int, text, hint string) *ReadError {
	return &ReadError{File: in.file, Line: line, Text: text, Hint: hint}
}

// line returns line n, counted from 1, "" past the end.
func (in *input) line(n int) string {
	if n < 1 || n > len(in.lines) {
		return ""
	}
	return in.lines[n-1]
}
