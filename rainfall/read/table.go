package read

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"tankodds/rainfall"
)

// delimited is a format of delimited text as a publisher describes it: by the
// names of its columns. What separates them, the sign of decimals and the
// form of dates are the file's own affair, for people save such files anew.
type delimited struct {
	name    string
	within  int                       // the header is one of the first so many lines
	header  func(cells []string) bool // knows it
	keep    func(name string) bool    // the columns needed
	thermal func(name string) bool    // those needed beside them for temperatures; nil where there are none
	titled  bool                      // the lines above it are the publisher's own
	station []string                  // the names that the column of stations may have
	ident   func(string) string       // writes a station's name in one way; nil keeps it
	read    func(*table) *rainfall.Record

	known          func(*input) bool // knows the file by what stands above the header; nil where that is the header alone
	noHeader, hint string            // what a file so known is told that has no such header
}

func (d delimited) format() format {
	known := d.known
	if known == nil {
		known = func(in *input) bool { return in.findHeader(d.within, d.header).line > 0 }
	}
	return format{
		name:  d.name,
		sniff: known,
		read: func(in *input) *rainfall.Record {
			t := &table{in: in, heading: in.findHeader(d.within, d.header)}
			if t.heading.line == 0 {
				in.fail(0, d.noHeader, d.hint)
			}
			t.hold(func(name string) bool {
				return d.keep(name) || in.opt.Temperatures && d.thermal != nil && d.thermal(name)
			})
			t.station, t.ident = t.find(d.station...), d.ident
			t.load()
			r := d.read(t)
			t.stand(r)
			if !d.titled {
				tellTitles(r, t.heading.line-1)
			}
			return r
		},
	}
}

// heading is a header line that was found.
type heading struct {
	line  int // counted from 1; 0 where none was found
	comma rune
	cells []string
}

// separators are what may stand between cells, in the order in which they are
// tried.
const separators = ",;\t|"

// findHeader looks for a header among the first lines.
func (in *input) findHeader(within int, is func(cells []string) bool) heading {
	for n := 1; n <= within; n++ {
		s := in.line(n)
		if n > len(in.head) {
			break
		}
		for _, comma := range separators {
			if strings.ContainsRune(s, comma) {
				if cells := splitCells(s, comma); is(withoutTail(cells)) {
					return heading{n, comma, cells}
				}
			}
		}
	}
	return heading{}
}

// table is a delimited file of which the rows of one station are kept, every
// cell a string.
type table struct {
	in *input
	heading
	header   []string // the names of the columns
	held     []int    // the positions of the columns kept, rising
	station  int      // the position of the column of stations, −1 where there is none
	ident    func(string) string
	id       string          // the station kept, "" where the file does not name it
	comments bool            // lines that begin with # are passed over
	headless bool            // header was given, and the first line holds data
	line     []int           // the line of each row
	day      []rainfall.Date // and its day, once known
	build    *builder
	frame    dataframe.DataFrame
	place    *placer
}

// The most that a table keeps. A daily record of 400 years has 146,000 rows.
const (
	maxRows    = 1 << 18
	maxHeld    = 64 << 20 // bytes of cells
	cellBytes  = 16       // of an empty one
	maxColumns = 2000
)

// hold takes the header's names and says which columns are kept.
func (t *table) hold(keep func(name string) bool) {
	t.header = t.cells
	for i, h := range t.header {
		if keep(h) {
			t.held = append(t.held, i)
		}
	}
}

// among makes a rule of hold: these names, letter case aside.
func among(names ...string) func(string) bool {
	return func(name string) bool { return equalsAny(name, names) }
}

// load reads the rows below the header.
func (t *table) load() {
	if t.station >= 0 && !slices.Contains(t.held, t.station) {
		t.held = append(t.held, t.station)
	}
	if len(t.held) == 0 {
		t.held = []int{0}
	}
	if len(t.header) > maxColumns {
		t.in.fail(t.heading.line, fmt.Sprintf("the table has %s columns", thousands(len(t.header))), "leave those of date and rain")
	}
	slices.Sort(t.held)
	t.in.most, t.in.rows = maxTable, true
	if !t.headless {
		t.in.header = t.heading.line
	}
	rows := &rowReader{in: t.in, next: t.heading.line, comments: t.comments}
	if t.headless {
		rows.next--
	}
	r := csv.NewReader(rows)
	r.Comma = t.comma
	r.FieldsPerRecord = -1
	r.LazyQuotes = true
	r.TrimLeadingSpace = t.comma != '\t' // a blank cell between tabs is a cell
	r.ReuseRecord = true

	stations := t.newStations()
	t.place = newPlacer(t.header)
	names := make([]string, len(t.held))
	for k, i := range t.held {
		names[k] = strconv.Itoa(i) // gota renames doubled columns and has no blank ones: it sees positions
	}
	kept, held, store := [][]string{names}, 0, cellStore{}
	for {
		rows.fed = false
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			rows.explain(err)
		}
		if blank(row) || t.repeatsHeader(row) {
			continue
		}
		if row = t.fitted(row, rows.n); !stations.wants(row, rows.n) {
			continue
		}
		t.place.see(row)
		cells := store.hold(row, t.held)
		held += cellBytes * len(cells)
		for _, c := range cells {
			held += len(c)
		}
		if len(t.line) == maxRows || held > maxHeld {
			t.in.fail(rows.n, fmt.Sprintf("the file has gone on for %s of one station: this is no daily record", count(len(t.line), "line", "lines")), "sum the values to days first, or cut the daily rain out of it")
		}
		kept, t.line = append(kept, cells), append(t.line, rows.n)
	}
	t.id = stations.one()
	if len(kept) < 2 {
		t.in.fail(t.heading.line, "a header and no line of data", "download the file again, or choose a station and a span that has data")
	}
	t.frame = dataframe.LoadRecords(kept, dataframe.DetectTypes(false), dataframe.DefaultType(series.String))
	if t.frame.Err != nil {
		t.in.fail(t.heading.line, "the table cannot be read: "+t.frame.Err.Error(), "leave the columns of date and rain")
	}
}

// cellStore keeps cells, many rows in one piece of memory.
type cellStore struct {
	text []byte
	free []string
}

// hold copies the cells at the positions held into one string of their own: a
// long line is not kept for the sake of a few of its cells.
func (s *cellStore) hold(row []string, held []int) []string {
	const rows = 1024
	s.text = s.text[:0]
	for _, i := range held {
		s.text = append(s.text, row[i]...)
	}
	if len(s.free) < len(held) {
		s.free = make([]string, rows*len(held))
	}
	cells := s.free[:len(held):len(held)]
	s.free = s.free[len(held):]
	all := string(s.text)
	for k, i := range held {
		cells[k], all = all[:len(row[i])], all[len(row[i]):]
	}
	return cells
}

// fitted returns a row with as many cells as the header.
func (t *table) fitted(row []string, line int) []string {
	kept := row
	if len(row) > len(t.header) && blank(row[len(t.header):]) {
		kept = row[:len(t.header)] // delimiters that a spreadsheet appends
	}
	n := len(kept)
	split := len(row) > n && t.comma == ',' && n > 1 && isDigits(kept[n-1]) && len(kept[n-1]) < 3 && isDigits(kept[n-2])
	if n == len(t.header) && !split { // else perhaps 1,5 and a blank cell
		return kept
	}
	hint := "a decimal comma, or a delimiter inside a value? write 1.5, not 1,5; a blank cell needs its delimiter"
	if len(row) == 1 {
		hint = fmt.Sprintf("separate the fields by %s, as the header does", delimiterNames[t.comma])
	}
	t.in.fail(line, fmt.Sprintf("%s where %d were expected", count(len(row), "field", "fields"), len(t.header)), hint)
	return nil
}

// repeatsHeader reports whether a row is the header of a second file that was
// joined on.
func (t *table) repeatsHeader(row []string) bool {
	for i, h := range t.header {
		if t.headless || i >= len(row) || !strings.EqualFold(strings.TrimSpace(row[i]), h) {
			return false
		}
	}
	return true
}

// rowReader hands a text's lines to package csv, and only one for each row: a
// quotation mark left open is an error of its line, not the loss of those
// that follow.
type rowReader struct {
	in       *input
	next     int // of the head's lines, the place of the next
	comments bool
	n        int // the line handed out last
	fed      bool
	rest     []byte
}

var errOpenQuote = errors.New("a quotation mark is opened and not closed on this line")

func (r *rowReader) Read(p []byte) (int, error) {
	if len(r.rest) == 0 {
		if r.fed {
			return 0, errOpenQuote
		}
		for len(bytes.TrimSpace(r.rest)) == 0 || r.comments && isComment(r.rest) {
			if !r.take() {
				return 0, io.EOF
			}
		}
		r.fed = true
		r.rest = append(r.rest, '\n')
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

// isComment reports whether a line begins with #. A date that a spreadsheet
// had no room for begins with ##, and is none.
func isComment(s []byte) bool {
	s = bytes.TrimSpace(s)
	return bytes.HasPrefix(s, []byte("#")) && !bytes.HasPrefix(s, []byte("##"))
}

// take takes the next line, if there is one.
func (r *rowReader) take() bool {
	if r.next < len(r.in.head) {
		r.rest = append(r.rest[:0], r.in.head[r.next]...)
		r.next++
		r.n = r.next
		return true
	}
	s, ok := r.in.next()
	if !ok {
		return false
	}
	if !utf8.Valid(s) {
		s = []byte(decoded(s))
	}
	r.rest, r.n = append(r.rest[:0], s...), r.in.taken
	return true
}

// explain fails with what an error of package csv says of the line.
func (r *rowReader) explain(err error) {
	if errors.Is(err, errOpenQuote) {
		r.in.fail(r.n, errOpenQuote.Error(), "close it, or remove it")
	}
	r.in.fail(r.n, "a quotation mark stands within a cell", "close it, or remove it")
}

// delimiterNames is how an error calls a delimiter.
var delimiterNames = map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs", '|': "the sign |"}

func blank(row []string) bool {
	return !slices.ContainsFunc(row, func(c string) bool { return strings.TrimSpace(c) != "" })
}

func equalsAny(s string, names []string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(s, n) })
}

// find returns the position of the first column that has one of the names,
// letter case aside, or -1.
func (t *table) find(names ...string) int { return firstOf(t.header, names, strings.EqualFold) }

// firstOf returns the position of the first column that is called by one of
// the names, the names in their order; -1 where none is.
func firstOf(columns, names []string, called func(column, name string) bool) int {
	for _, n := range names {
		if i := slices.IndexFunc(columns, func(c string) bool { return called(c, n) }); i >= 0 {
			return i
		}
	}
	return -1
}

// need returns the position of a column that a format cannot do without.
func (t *table) need(hint string, names ...string) int {
	i := t.find(names...)
	if i < 0 {
		t.in.fail(t.heading.line, fmt.Sprintf("no column %q", names[0]), hint)
	}
	return i
}

// column returns the trimmed cells of a column, as long as t.line; all blank
// for position -1 and for a column not held.
func (t *table) column(i int) []string {
	cells := t.raw(i)
	for k, c := range cells {
		cells[k] = strings.TrimSpace(c)
	}
	return cells
}

// raw is column with the blanks round the cells.
func (t *table) raw(i int) []string {
	if !slices.Contains(t.held, i) {
		return make([]string, len(t.line))
	}
	return t.frame.Col(strconv.Itoa(i)).Records()
}

// keep leaves the given rows, in their order.
func (t *table) keep(rows []int) {
	if len(rows) == len(t.line) {
		return
	}
	t.frame = t.frame.Subset(rows)
	line := make([]int, len(rows))
	for i, k := range rows {
		line[i] = t.line[k]
	}
	t.line = line
}

// above returns the lines above the header.
func (t *table) above() []string { return t.in.head[:max(t.heading.line-1, 0)] }

// usualHead is how far down a header may stand that its publisher puts first:
// people write titles above it.
const usualHead = 60

// tellTitles says how many lines above the header were passed over.
func tellTitles(r *rainfall.Record, n int) {
	if n > 0 {
		tell(r, "titles", n)
	}
}
