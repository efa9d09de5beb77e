package read

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"tankodds/rainfall"
)

// Options is what a file cannot say of itself.
type Options struct {
	Unit    string `key:"unit" doc:"\"mm\", \"in\" or \"0.1mm\"; \"\" takes the format's own"`
	Station string `key:"station" doc:"the station wanted of a file that holds several"`
	Column  string `key:"column" doc:"the rain column of a plain file, by its name or number"`
	Columns string `key:"columns" doc:"what the columns of a file without a header hold: \"date,rain_mm\""`
	Dates   string `key:"dates" doc:"\"dmy\" or \"mdy\" where a day and a month could be swapped"`
	Absent  string `key:"absent" doc:"what a day without a line was: \"zero\" or \"missing\"; \"\" asks where it matters"`
	Missing string `key:"missing" doc:"the numbers that stand for a missing value: \"99.99,-1\"; \"none\" for none"`

	// Temperatures says whether Record.Max, Min and Latitude are read. It is
	// what a study needs, not what a file cannot say of itself, so no key
	// keeps it.
	Temperatures bool `key:"-"`
}

// Error says what is wrong with a file, where, and what would mend it.
type Error struct {
	File string
	Line int // counted from 1; 0 where no line is at fault
	Text string
	Hint string // a remedy, "" where Text holds it
}

func (e *Error) Error() string {
	file := e.File
	if file == "-" {
		file = "standard input"
	}
	if e.Line > 0 {
		return fmt.Sprintf("%s:%d: %s", file, e.Line, e.Text)
	}
	return fmt.Sprintf("%s: %s", file, e.Text)
}

// File reads a record from a file, plain or gzip, in any format of
// Formats; "-" is standard input.
func File(path string, o Options) (*rainfall.Record, error) {
	if path == "-" {
		return read(path, os.Stdin, 0, o)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, cannotRead(path, err)
	}
	defer f.Close()
	size := 0
	switch info, err := f.Stat(); {
	case err != nil: // reading will tell
	case info.IsDir(): // reading a folder fails everywhere, but on Windows nobody would know why
		return nil, cannotRead(path, syscall.EISDIR)
	case info.Mode().IsRegular():
		size = int(info.Size())
	}
	return read(path, f, size, o)
}

// GivePath is the hint of an error that a file is not there.
const GivePath = "give the path of the rain record; - is standard input"

func cannotRead(file string, err error) *Error {
	if pe := (*os.PathError)(nil); errors.As(err, &pe) {
		err = pe.Err
	}
	hint := ""
	switch {
	case errors.Is(err, fs.ErrNotExist):
		hint = GivePath
	case errors.Is(err, syscall.EISDIR):
		hint = "give one file of the folder"
	case errors.Is(err, fs.ErrPermission):
		hint = "let its owner give you the right to read it"
	}
	return &Error{File: file, Text: "cannot be read: " + err.Error(), Hint: hint}
}

// From reads a record from a stream, which is called file in errors. Memory
// does not grow with what comes.
func From(file string, from io.Reader, o Options) (*rainfall.Record, error) {
	return read(file, from, 0, o)
}

// Bytes reads a record from the bytes of a file. All its errors are *Error.
func Bytes(file string, b []byte, o Options) (*rainfall.Record, error) {
	return read(file, bytes.NewReader(b), len(b), o)
}

// read reads a record from a stream of size bytes, 0 where not known.
func read(file string, from io.Reader, size int, o Options) (*rainfall.Record, error) {
	if err := o.Check(file); err != nil {
		return nil, err
	}
	src := &digested{r: from, sum: sha256.New()}
	r, err := readAny(file, src, size, o)
	if err == nil { // what follows the text, if anything, is digested too
		_, err = io.Copy(io.Discard, io.LimitReader(src, maxBytes))
	}
	if src.err != nil {
		return nil, cannotRead(file, src.err)
	}
	if err != nil {
		return nil, err
	}
	r.SHA256 = src.hex()
	if r.Unpacked == "" {
		r.Unpacked = r.SHA256
	}
	return r, nil
}

// readAny reads a record in the first format that knows the stream.
func readAny(file string, from io.Reader, size int, o Options) (_ *rainfall.Record, err error) {
	var in *input
	defer func() {
		switch e := recover().(type) {
		case nil:
		case *Error: // see input.fail
			err = e
			if in != nil {
				err = in.whole(e)
			}
		default:
			panic(e)
		}
	}()
	in = newInput(file, from, size, o)
	for _, f := range formats() {
		if o.Columns != "" && f.name != plain().name || !f.sniff(in) {
			continue
		}
		r := f.read(in)
		r.File, r.Format = filepath.ToSlash(file), f.name // as evidence names it, for any system
		if in.unzipped != nil {
			r.Unpacked = in.unzipped.hex()
		}
		if u, _ := parseUnit(o.Unit); o.Unit != "" && u.name != r.Unit {
			tell(r, "unit-ignored", 0, r.Unit, o.Unit)
		}
		for _, x := range []struct{ flag, value string }{{"column", o.Column}, {"missing", o.Missing}} {
			if x.value != "" && !in.heeded[x.flag] {
				tell(r, "option-ignored", 0, f.name, x.flag, quoted(clipped(x.value)))
			}
		}
		if o.Station != "" && o.Station != r.Station {
			tell(r, "station-ignored", 0, r.Station, quoted(o.Station))
		}
		return r, nil
	}
	panic(in.unknown())
}

// Check refuses options that no reader knows; nil is right. file is for the
// error.
func (o Options) Check(file string) *Error {
	if _, ok := parseUnit(o.Unit); o.Unit != "" && !ok {
		return &Error{File: file, Text: fmt.Sprintf("--unit %s is not a unit of rain known here", o.Unit), Hint: "--unit mm, in or 0.1mm"}
	}
	if o.Dates != "" && o.Dates != "dmy" && o.Dates != "mdy" {
		return &Error{File: file, Text: fmt.Sprintf("--dates %s is not an order of day and month", o.Dates), Hint: "--dates dmy or mdy"}
	}
	if o.Absent != "" && o.Absent != "zero" && o.Absent != "missing" {
		return &Error{File: file, Text: fmt.Sprintf("--absent %s does not say what a day without a line was", clipped(o.Absent)), Hint: "--absent zero if it was dry, --absent missing if it was not read"}
	}
	if !checkMissing(o.Missing) {
		return &Error{File: file, Text: fmt.Sprintf("--missing %s is no number", clipped(o.Missing)), Hint: "--missing takes the numbers that stand for a missing value, as in --missing 99.99,-1, or none"}
	}
	return nil
}

// unknown is the error for a text that no reader takes.
func (in *input) unknown() *Error {
	const plainForm = "a plain file needs a header line, a date column and a rain column, separated by commas, semicolons or tabs"
	n := 1
	for s := strings.TrimSpace(in.line(n)); n < len(in.head) && (s == "" || s[0] == '#'); s = strings.TrimSpace(in.line(n)) {
		n++
	}
	in.line(maxHead) // is anything wrong with the lines themselves?
	if in.scan(); in.broken != nil {
		return in.broken
	}
	first := strings.TrimSpace(in.line(n))
	if strings.HasPrefix(first, "{") || strings.HasPrefix(first, "[") {
		return in.err(n, "this looks like JSON, not a table of text", plainForm)
	}
	for _, cell := range strings.Fields(first) {
		if cell != first && (looksDate(cell) || isDateName(cell)) {
			return in.err(n, "the fields are separated by spaces", "separate them by commas, semicolons or tabs")
		}
	}
	for _, comma := range separators {
		cells := splitCells(first, comma)
		if len(cells) < 2 || slices.ContainsFunc(cells, isNumber) {
			continue
		}
		switch {
		case findName(cells, yearNames) >= 0:
			return in.err(n, "a column of years, and none of days: these are the totals of years", "a tank needs the rain of each day: download the daily values")
		case slices.ContainsFunc(cells, namesRain):
			return in.err(n, "no column of dates; there are "+clipped(strings.Join(cells, ", ")), "name one \"date\", or three year, month and day")
		}
	}
	if first == "" || first[0] == '#' {
		return in.err(0, "no table of daily rain is in the file", plainForm)
	}
	return in.err(n, fmt.Sprintf("no table of daily rain that is known here begins with %q", clipped(first)), plainForm)
}

// format is one kind of file. Adding one is one file and one line in formats.
type format struct {
	name  string
	sniff func(*input) bool // by the first lines; must not accept another format's files
	read  func(*input) *rainfall.Record
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
		gsod(),
		ncei(),
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
