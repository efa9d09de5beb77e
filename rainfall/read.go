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
	if err := o.check(file); err != nil {
		return nil, err
	}
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
		if u, _ := parseUnit(o.Unit); o.Unit != "" && u.name != r.Unit {
			r.warn("unit-ignored", "the file itself says that it holds %s; --unit %s was left aside", r.Unit, o.Unit)
		}
		if o.Station != "" && o.Station != r.Station {
			names := "names no station"
			if r.Station != "" {
				names = "holds " + r.Station
			}
			r.warn("station-ignored", "the file %s; --station %s was left aside", names, quoted(o.Station))
		}
		return r, nil
	}
	return nil, in.unknown()
}

// check refuses options that no reader knows.
func (o ReadOptions) check(file string) error {
	if _, ok := parseUnit(o.Unit); o.Unit != "" && !ok {
		return &ReadError{File: file, Text: fmt.Sprintf("--unit %s is not a unit of rain known here", o.Unit), Hint: "--unit mm, in or 0.1mm"}
	}
	if o.Dates != "" && o.Dates != "dmy" && o.Dates != "mdy" {
		return &ReadError{File: file, Text: fmt.Sprintf("--dates %s is not an order of day and month", o.Dates), Hint: "--dates dmy or mdy"}
	}
	return nil
}

// unknown is the error for a text that no reader takes.
func (in *input) unknown() *ReadError {
	const plainForm = "a plain file needs a header line, a date column and a rain column, separated by commas, semicolons or tabs"
	n := 1
	for s := strings.TrimSpace(in.line(n)); n < len(in.lines) && (s == "" || s[0] == '#'); s = strings.TrimSpace(in.line(n)) {
		n++
	}
	first := strings.TrimSpace(in.line(n))
	if strings.HasPrefix(first, "{") || strings.HasPrefix(first, "[") {
		return in.fail(n, "this looks like JSON, not a table of text", plainForm)
	}
	for _, sep := range []string{"|", " "} {
		for _, cell := range strings.Split(first, sep) {
			if c := strings.TrimSpace(cell); c != first && (looksDate(c) || isDateName(c)) {
				name := "spaces"
				if sep == "|" {
					name = "the sign |"
				}
				return in.fail(n, "the fields are separated by "+name, "separate them by commas, semicolons or tabs")
			}
		}
	}
	return in.fail(0, "no format of daily rain known here", plainForm)
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
	return []format{
		ghcnDaily(),
		ghcnCSV(),
		nceiAccess(),
		nceiOrder(),
		nceiPastWeather(),
		bom(),
		ecad(),
		dwd(),
		knmi(),
		metEireann(),
		envCanada(),
		nasaPower(),
		openMeteo(),
		plain(), // takes what no other does
	}
}

// input is a file as text: UTF-8, no byte-order mark, lines without their
// ends.
type input struct {
	file  string
	lines []string // of a GHCN-Daily CSV the first alone: see ghcnCSV
	opt   ReadOptions
	raw   []byte // the file as it lies on disk
}

const maxUnpacked = 1 << 30 // bytes; more is not one station's record

// unpacked streams the file's bytes, gzip undone.
func (in *input) unpacked() (io.Reader, error) {
	if !bytes.HasPrefix(in.raw, []byte{0x1f, 0x8b}) {
		return bytes.NewReader(in.raw), nil
	}
	z, err := gzip.NewReader(bytes.NewReader(in.raw))
	if err != nil {
		return nil, in.damaged(err)
	}
	return z, nil
}

func (in *input) damaged(err error) *ReadError {
	return in.fail(0, "the gzip file is cut short or damaged: "+err.Error(), "download it again")
}

func newInput(file string, b []byte, o ReadOptions) (*input, error) {
	in := &input{file: file, opt: o, raw: b}
	r, err := in.unpacked()
	if err != nil {
		return nil, err
	}
	if first, ok := firstGHCNCSV(r); ok {
		in.lines = []string{first}
		return in, nil
	}
	if bytes.HasPrefix(b, []byte{0x1f, 0x8b}) {
		if r, err = in.unpacked(); err == nil {
			b, err = io.ReadAll(io.LimitReader(r, maxUnpacked+1))
		}
		if err != nil {
			return nil, in.damaged(err)
		}
		if len(b) > maxUnpacked {
			return nil, in.fail(0, "unpacked, the file holds more than 1 GiB", "cut one station's record out of it")
		}
	}
	if err := in.isText(b); err != nil {
		return nil, err
	}
	b = bytes.TrimPrefix(b, []byte("\xef\xbb\xbf"))
	b = bytes.TrimRight(b, "\x1a") // the end-of-file mark of DOS
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

// isText refuses what is no table of text, and says what it is.
func (in *input) isText(b []byte) error {
	is := func(magic string) bool { return bytes.HasPrefix(b, []byte(magic)) }
	switch {
	case len(bytes.TrimSpace(bytes.TrimPrefix(b, []byte("\xef\xbb\xbf")))) == 0:
		return in.fail(0, "the file is empty", "download it again")
	case is("\xff\xfe"), is("\xfe\xff"), looksUTF16(b):
		return in.fail(0, "the text is UTF-16", "save it as UTF-8 (in a spreadsheet: CSV UTF-8)")
	case is("PK\x03\x04"):
		return in.fail(0, "this is a zip archive or a spreadsheet, not text", "unpack it, or save the sheet as CSV UTF-8")
	case is("\x1f\x9d"), is("BZh"), is("\xfd7zXZ"), is("\x28\xb5\x2f\xfd"), is("7z\xbc\xaf"):
		return in.fail(0, "the file is packed, and not by gzip", "unpack it, or pack it with gzip")
	case is("%PDF-"), isBinary(b):
		return in.fail(0, "this is a binary file, not text", "give the daily rain as text")
	}
	head := bytes.ToLower(bytes.TrimSpace(b[:min(len(b), 1024)]))
	if bytes.HasPrefix(head, []byte("<!doctype")) || bytes.HasPrefix(head, []byte("<?xml")) || bytes.Contains(head, []byte("<html")) {
		return in.fail(1, "this is a saved web page, not a data file", "download the file itself rather than the page that shows it")
	}
	return nil
}

// isBinary finds a byte that no text holds: zero anywhere, another control
// character among the first.
func isBinary(b []byte) bool {
	if bytes.IndexByte(b, 0) >= 0 {
		return true
	}
	for _, c := range b[:min(len(b), 1<<12)] {
		if c < '\t' || c > '\r' && c < ' ' && c != 0x1a {
			return true
		}
	}
	return false
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
