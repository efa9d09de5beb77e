package rainfall

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
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

// input is a file as text: UTF-8, no byte-order mark, lines without their
// ends. Files of many elements of which few are rain are walked as they
// stream by (eachLine): fresh memory for all of one would take longer than
// reading it.
type input struct {
	file     string
	opt      ReadOptions
	size     int           // bytes, gzip undone; 0 where not known
	lines    []string      // of a streamed file the start of the first alone
	text     *bufio.Reader // the bytes, gzip undone
	unzipped *digested     // what gunzip made; nil for a plain file
}

const (
	maxUnpacked = 1 << 30 // bytes; more is not one station's record
	maxLine     = 1 << 16 // bytes of a streamed file's line
	byteMark    = "\xef\xbb\xbf"
	gzipMagic   = "\x1f\x8b"
)

func newInput(file string, from io.Reader, size int, o ReadOptions) (*input, error) {
	in := &input{file: file, opt: o, size: size, text: bufio.NewReaderSize(from, 1<<15)}
	if magic, _ := in.text.Peek(2); string(magic) == gzipMagic {
		z, err := gzip.NewReader(in.text)
		if err != nil {
			return nil, in.damaged(err)
		}
		in.unzipped = &digested{r: z, sum: sha256.New()}
		in.text, in.size = bufio.NewReaderSize(in.unzipped, 1<<15), 0
	}
	if first := in.firstLine(); isGHCN(first) || isGHCNCSV(first) {
		in.lines = []string{first}
		return in, nil
	}
	return in, in.readText()
}

func (in *input) damaged(err error) *ReadError {
	return in.fail(0, "the gzip file is cut short or damaged: "+err.Error(), "download it again")
}

// firstLine returns the start of the text's first line.
func (in *input) firstLine() string {
	b, _ := in.text.Peek(256) // a shorter or damaged file is met again later
	b = bytes.TrimPrefix(b, []byte(byteMark))
	if at := bytes.IndexAny(b, "\r\n"); at >= 0 {
		b = b[:at]
	}
	return string(b)
}

// eachLine calls f with the lines of a streamed file and their numbers, from
// 1; f must not keep them.
func (in *input) eachLine(f func(n int, s []byte) error) error {
	lines := bufio.NewScanner(in.text)
	lines.Buffer(make([]byte, 1<<15), maxLine)
	lines.Split(scanAnyLines)
	n := 0
	for lines.Scan() {
		n++
		s := lines.Bytes()
		if n == 1 {
			s = bytes.TrimPrefix(s, []byte(byteMark))
		}
		if bytes.IndexByte(s, 0) >= 0 {
			return in.fail(n, "the line holds bytes that no text has", "download the file again")
		}
		if err := f(n, s); err != nil {
			if _, broken := io.Copy(io.Discard, in.text); broken != nil {
				return in.damaged(broken) // which may have cut this line short
			}
			return err
		}
	}
	switch err := lines.Err(); {
	case err == bufio.ErrTooLong:
		return in.fail(n+1, "the line is longer than any of this format", "download the file again")
	case err != nil:
		return in.damaged(err)
	}
	return nil
}

// readText reads the whole text and cuts it into lines.
func (in *input) readText() error {
	var b strings.Builder
	b.Grow(in.size)
	from := io.Reader(in.text)
	if in.unzipped != nil {
		from = io.LimitReader(from, maxUnpacked+1)
	}
	if _, err := io.Copy(&b, from); err != nil {
		return in.damaged(err)
	}
	text := b.String()
	if in.unzipped != nil && len(text) > maxUnpacked {
		return in.fail(0, "unpacked, the file holds more than 1 GiB", "cut one station's record out of it")
	}
	if err := in.isText(text); err != nil {
		return err
	}
	text = strings.TrimPrefix(text, byteMark)
	text = strings.TrimRight(text, "\x1a") // the end-of-file mark of DOS
	if !utf8.ValidString(text) {
		text = latin1(text)
	}
	if strings.IndexByte(text, '\r') >= 0 {
		text = strings.ReplaceAll(text, "\r\n", "\n")
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	in.lines = strings.Split(strings.TrimRight(text, "\n"), "\n")
	return nil
}

// isText refuses what is no table of text, and says what it is.
func (in *input) isText(s string) error {
	is := func(magic string) bool { return strings.HasPrefix(s, magic) }
	switch {
	case len(strings.TrimSpace(strings.TrimPrefix(s, byteMark))) == 0:
		return in.fail(0, "the file is empty", "download it again")
	case is("\xff\xfe"), is("\xfe\xff"), looksUTF16(s):
		return in.fail(0, "the text is UTF-16", "save it as UTF-8 (in a spreadsheet: CSV UTF-8)")
	case is("PK\x03\x04"):
		return in.fail(0, "this is a zip archive or a spreadsheet, not text", "unpack it, or save the sheet as CSV UTF-8")
	case is("\x1f\x9d"), is("BZh"), is("\xfd7zXZ"), is("\x28\xb5\x2f\xfd"), is("7z\xbc\xaf"):
		return in.fail(0, "the file is packed, and not by gzip", "unpack it, or pack it with gzip")
	case is("%PDF-"), isBinary(s):
		return in.fail(0, "this is a binary file, not text", "give the daily rain as text")
	}
	head := strings.ToLower(strings.TrimSpace(s[:min(len(s), 1024)]))
	if strings.HasPrefix(head, "<!doctype") || strings.HasPrefix(head, "<?xml") || strings.Contains(head, "<html") {
		return in.fail(1, "this is a saved web page, not a data file", "download the file itself rather than the page that shows it")
	}
	return nil
}

// isBinary finds a byte that no text holds: zero anywhere, another control
// character among the first.
func isBinary(s string) bool {
	if strings.IndexByte(s, 0) >= 0 {
		return true
	}
	for _, c := range []byte(s[:min(len(s), 1<<12)]) {
		if c < '\t' || c > '\r' && c < ' ' && c != 0x1a {
			return true
		}
	}
	return false
}

// looksUTF16 recognises UTF-16 without its mark: every other byte of the
// start is zero.
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
	return even > n/2*8/10 || odd > n/2*8/10
}

// latin1 decodes ISO 8859-1, in which publishers still write station names.
func latin1(s string) string {
	r := make([]rune, len(s))
	for i, c := range []byte(s) {
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
