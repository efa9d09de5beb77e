package read

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"strings"
	"unicode/utf8"
)

// digested reads on and digests what passes, so that a digest is of the very
// bytes that were read.
type digested struct {
	r   io.Reader
	sum hash.Hash
	err error // of reading, other than io.EOF
}

func (d *digested) Read(p []byte) (int, error) {
	n, err := d.r.Read(p)
	d.sum.Write(p[:n])
	if err != nil && err != io.EOF {
		d.err = err
	}
	return n, err
}

func (d *digested) hex() string { return hex.EncodeToString(d.sum.Sum(nil)) }

// input is a file as lines of text that stream by: UTF-8, no byte-order mark,
// no line ends. Only its first lines are kept, by which its format is known,
// so that memory does not grow with the file, whatever it is.
type input struct {
	file     string
	opt      Options
	size     int       // bytes, gzip undone; 0 where not known
	head     []string  // the lines kept, in order
	unzipped *digested // what gunzip made; nil for a plain file

	heeded map[string]bool // the options, by their flags, that the format has use for
	noDays map[int]*Error  // by their lines, the dates that there are not
	header int             // the line that names the columns, 0 where none does

	text   *bufio.Reader // the bytes, gzip undone
	lines  *bufio.Scanner
	taken  int    // lines taken from the scanner
	passed int64  // bytes of them
	most   int64  // that may pass
	broken *Error // why no more can be taken
	rows   bool   // they are being read: an error may be the file's end cut off
}

// The bounds of what is read. Beyond them lies no daily record.
const (
	maxBytes  = 2 << 30  // of a text: a year of the whole world's gauges holds 1.3 GB
	maxTable  = 1 << 28  // of one whose lines are cut into cells
	maxLines  = 1 << 26  // twice those of such a year
	maxLine   = 1 << 16  // bytes
	maxHead   = 400      // lines looked through for a header
	lookAhead = 1 << 15  // bytes that tell text from what is none
	maxDrain  = 64 << 20 // bytes read on to see whether a packed file is whole
	byteMark  = "\xef\xbb\xbf"
	gzipMagic = "\x1f\x8b"
)

func newInput(file string, from io.Reader, size int, o Options) *input {
	in := &input{file: file, opt: o, size: size, most: maxBytes, text: bufio.NewReaderSize(from, lookAhead)}
	if magic, _ := in.text.Peek(2); string(magic) == gzipMagic {
		z, err := gzip.NewReader(in.text)
		if err != nil {
			panic(in.damaged(err))
		}
		in.unzipped = &digested{r: z, sum: sha256.New()}
		in.text, in.size = bufio.NewReaderSize(in.unzipped, lookAhead), 0
	}
	start, err := in.text.Peek(lookAhead)
	if err != nil && err != io.EOF && in.unzipped != nil {
		panic(in.damaged(err))
	}
	in.mustBeText(string(start))
	in.lines = bufio.NewScanner(in.text)
	in.lines.Buffer(make([]byte, lookAhead), maxLine)
	in.lines.Split(scanAnyLines)
	return in
}

func (in *input) damaged(err error) *Error {
	why := strings.TrimPrefix(err.Error(), "gzip: ")
	if errors.Is(err, io.ErrUnexpectedEOF) {
		why = "it ends too early"
	}
	return in.err(0, "the gzip file is cut short or damaged: "+why, "download it again")
}

// next takes the next line of the text. The bytes are its own until the next
// call; ok is false at the end.
func (in *input) next() (s []byte, ok bool) {
	s, ok = in.scan()
	if in.broken != nil {
		panic(in.broken)
	}
	return s, ok
}

// scan is next for lines that are only looked at: an error stays in broken.
func (in *input) scan() (s []byte, ok bool) {
	if in.broken == nil && in.lines.Scan() {
		in.taken++
		s, in.broken = in.checked(in.lines.Bytes())
		return s, in.broken == nil
	}
	if err := in.lines.Err(); in.broken == nil && err != nil {
		switch {
		case errors.Is(err, bufio.ErrTooLong):
			in.broken = in.err(in.taken+1, "the line is longer than any of a table of daily rain", "is this the right file? A line ends where the next day's begins")
		case in.unzipped != nil:
			in.broken = in.damaged(err)
		default:
			in.broken = cannotRead(in.file, err)
		}
	}
	return nil, false
}

// checked returns a line without its marks, or why it is none of a text.
func (in *input) checked(s []byte) ([]byte, *Error) {
	if in.passed += int64(len(s)) + 1; in.passed > in.most || in.taken > maxLines {
		return nil, in.err(in.taken, fmt.Sprintf("the file holds more than %d MiB or %s lines", in.most>>20, thousands(maxLines)), "cut one station's record out of it")
	}
	if len(s) > 0 && s[0] == byteMark[0] {
		s = bytes.TrimPrefix(s, []byte(byteMark)) // also where a second file was joined on
	}
	if bytes.IndexByte(s, 0) >= 0 {
		return nil, in.err(in.taken, "the line holds bytes that no text has", "download the file again")
	}
	if len(s) > 0 && s[len(s)-1] == '\x1a' {
		s = bytes.TrimRight(s, "\x1a") // the end-of-file mark of DOS
	}
	return s, nil
}

// line returns line n of the head, counted from 1, "" past its end. An error
// of reading is met again by whoever reads the lines.
func (in *input) line(n int) string {
	for len(in.head) < min(n, maxHead) {
		s, ok := in.scan()
		if !ok {
			break
		}
		in.head = append(in.head, decoded(s))
	}
	if n < 1 || n > len(in.head) {
		return ""
	}
	return in.head[n-1]
}

// decoded makes text of a line: publishers still write station names in ISO
// 8859-1.
func decoded(s []byte) string {
	if utf8.Valid(s) {
		return string(s)
	}
	r := make([]rune, len(s))
	for i, c := range s {
		r[i] = rune(c)
	}
	return string(r)
}

// eachLine calls f with the lines of the text and their numbers, from 1; f
// must not keep them.
func (in *input) eachLine(f func(n int, s []byte)) {
	in.line(1) // the head begins with it
	in.rows = true
	for n, s := range in.head {
		f(n+1, []byte(s))
	}
	for s, ok := in.next(); ok; s, ok = in.next() {
		f(in.taken, s)
	}
}

// whole returns an error, unless it is of a line of a packed file that is
// damaged: that may have cut the line short.
func (in *input) whole(err *Error) *Error {
	if in.unzipped == nil || !in.rows {
		return err
	}
	if _, broken := io.CopyN(io.Discard, in.text, maxDrain); broken != nil && broken != io.EOF {
		return in.damaged(broken)
	}
	return err
}

// mustBeText refuses what is no table of text, and says what it is. s is the
// beginning of the file, all of a short one.
func (in *input) mustBeText(s string) {
	is := func(magic string) bool { return strings.HasPrefix(s, magic) }
	switch {
	case len(s) < lookAhead && len(strings.TrimSpace(strings.TrimPrefix(s, byteMark))) == 0:
		in.fail(0, "the file is empty", "download it again")
	case is("\xff\xfe"), is("\xfe\xff"), looksUTF16(s):
		in.fail(0, "the text is UTF-16", "save it as UTF-8 (in a spreadsheet: CSV UTF-8)")
	case is("PK\x03\x04"):
		in.fail(0, "this is a zip archive or a spreadsheet, not text", "unpack it, or save the sheet as CSV UTF-8")
	case is("\xd0\xcf\x11\xe0"):
		in.fail(0, "this is a spreadsheet of the old kind, not text", "save the sheet as CSV UTF-8")
	case is("\x1f\x9d"), is("BZh"), is("\xfd7zXZ"), is("\x28\xb5\x2f\xfd"), is("7z\xbc\xaf"):
		in.fail(0, "the file is packed, and not by gzip", "unpack it, or pack it with gzip")
	case is("%PDF-"):
		in.fail(0, "this is a PDF, not a table of text", "copy its table into a spreadsheet and save that as CSV UTF-8")
	case is("\x89PNG"), is("\xff\xd8\xff"), is("GIF8"):
		in.fail(0, "this is a picture, not a table of text", "type its numbers into a spreadsheet and save that as CSV UTF-8")
	}
	switch at := binaryAt(s); {
	case at < 0:
	case strings.Contains(s[:at], "\n") && utf8.ValidString(s[:at]): // text until then
		in.fail(1+strings.Count(s[:at], "\n"), "the line holds bytes that no text has", "remove them, or download the file again")
	default:
		in.fail(0, "this is a binary file, not text", "in the program that wrote it, save the daily rain as CSV UTF-8")
	}
	head := strings.ToLower(strings.TrimSpace(s[:min(len(s), 1024)]))
	if strings.HasPrefix(head, "<!doctype") || strings.HasPrefix(head, "<?xml") || strings.Contains(head, "<html") {
		in.fail(1, "this is a saved web page, not a data file", "download the file itself rather than the page that shows it")
	}
}

// binaryAt finds a control character that no text begins with, -1 for none. A zero
// further on is met where its line is read.
func binaryAt(s string) int {
	for i, c := range []byte(s[:min(len(s), 1<<12)]) {
		if c < '\t' || c > '\r' && c < ' ' && c != 0x1a {
			return i
		}
	}
	return -1
}

// looksUTF16 recognises UTF-16 without its mark: every other byte of the
// start is zero, and no more than that.
func looksUTF16(s string) bool {
	n := min(len(s), 200) / 2 * 2
	if n < 8 {
		return false
	}
	even, odd := 0, 0
	for i := 0; i < n; i += 2 {
		if s[i] == 0 {
			even++
		}
		if s[i+1] == 0 {
			odd++
		}
	}
	most := n / 2 * 8 / 10
	return (even > most) != (odd > most)
}

// heed notes that an option has its use.
func (in *input) heed(flag string) {
	if in.heeded == nil {
		in.heeded = map[string]bool{}
	}
	in.heeded[flag] = true
}

// fail ends the reading with the error of err: it panics, and readAny, which
// recovers it, is the one place that hands an error of the file on.
func (in *input) fail(line int, text, hint string) { panic(in.err(line, text, hint)) }

// err makes the error for a line, counted from 1 (0 for the whole file).
func (in *input) err(line int, text, hint string) *Error {
	return &Error{File: in.file, Line: line, Text: text, Hint: hint}
}

// scanAnyLines splits at line feeds, carriage returns and both together.
func scanAnyLines(data []byte, atEOF bool) (advance int, token []byte, err error) {
	at := bytes.IndexByte(data, '\n')
	if cr := bytes.IndexByte(data[:max(at, 0)], '\r'); at < 0 || cr >= 0 {
		if at < 0 {
			cr = bytes.IndexByte(data, '\r')
		}
		switch {
		case cr < 0 && atEOF && len(data) > 0:
			return len(data), data, nil
		case cr < 0:
			return 0, nil, nil
		case cr+1 < len(data) && data[cr+1] == '\n':
			return cr + 2, data[:cr], nil
		case cr+1 < len(data) || atEOF:
			return cr + 1, data[:cr], nil
		}
		return 0, nil, nil // is a line feed next?
	}
	return at + 1, data[:at], nil
}
