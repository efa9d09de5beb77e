// Package sheet is a document of sections (paragraphs, lists, facts, tables
// and figures by their names) and its three renderings: text for a terminal, a
// page of HTML, and a PDF. It knows nothing of tanks and rain: every number in
// it is already in the units and digits to be shown.
package sheet

import (
	"fmt"
	"reflect"
	"strings"
)

// Where says which renderings show a part of a sheet.
type Where int

const (
	Everywhere Where = iota
	Report           // page and paper: what a terminal does without
	Page             // the page alone: what has no room on paper either
	Terminal         // a terminal alone
)

// Sheet is what all renderings show. A space that must not break is U+00A0.
type Sheet struct {
	Title    string   // of the site or the record
	Subject  string   // what the sheet is about, a line; a terminal shows Under
	Under    []string `name:""` // what is known before the answer, a paragraph each, below the title on a terminal
	Facts    []Fact   // location, client, author, date, note: those that were given
	Answer   []string // the answer, two sentences, at the head of page and paper
	Key      string   // the words of Answer[0] that matter most, "" for none
	Sections []Section
	Foot     string // program and version, record, seed: a line for the foot of a page

	Program      string `name:""` // and its version, "" for none
	Author, Date string `name:""` // for the signature, "" for none
	Letter       bool   `key:"-"` // the paper is Letter, not A4
	Brief        bool   `key:"-"` // a terminal shows no headings
}

// Section is one heading and what stands under it.
type Section struct {
	ID      string `key:"id" name:""` // a stable word, unique in the sheet: "answer", "sizes", …
	Heading string // "" for none
	Where   Where  `key:"-"`
	Blocks  []Block
}

// Block is one paragraph, list, set of facts, table or figure: exactly one of
// its fields beside Where is set (Lead goes with Text).
type Block struct {
	Lead, Text string // a paragraph; Lead, where there is one, its bold beginning
	List       []Item
	Facts      []Fact
	Table      *Table
	Figure     string `name:""` // the Name of a figure of report/figure; left out where there is none of that name
	Where      Where  `key:"-"`
}

// Item is an entry of a list; Lead, where there is one, its bold beginning.
type Item struct{ Lead, Text string }

// Fact is a labelled value. One without a label goes on with that above.
type Fact struct{ Label, Value string }

// Table is a table with one row of column heads.
type Table struct {
	Name    string `name:""` // a stable word, unique in the sheet
	Caption string // what it shows
	Columns []Column
	Rows    []Row
	Notes   []string // sentences for its foot
}

// Column is the head of a column.
type Column struct {
	Title string
	Unit  string // "" for none
	Words bool   // holds words, set from the left; numbers are set from the right
	Where Where  `key:"-"`
	Note  string // a sentence for the foot of the table where the column is shown
}

// Row is one row of a table, a cell a column. The first cell is its name.
type Row struct {
	Cells []string
	Mark  string // a few words that set the row apart, "" for none
}

// Add adds a section without a heading.
func (s *Sheet) Add(id string, blocks ...Block) {
	s.Sections = append(s.Sections, Section{ID: id, Blocks: blocks})
}

// Only returns the sheet without what the rendering, that of Page, Report for
// paper or Terminal, does not show.
func (s *Sheet) Only(rendering Where) *Sheet {
	out := *s
	out.Sections = nil
	for _, x := range s.Sections {
		blocks := x.Blocks
		x.Blocks = nil
		for _, b := range blocks {
			if !x.Where.within(rendering) || !b.Where.within(rendering) {
				continue
			}
			if b.Table != nil {
				b.Table = b.Table.only(rendering)
			}
			x.Blocks = append(x.Blocks, b)
		}
		if len(x.Blocks) > 0 {
			out.Sections = append(out.Sections, x)
		}
	}
	return &out
}

func (w Where) within(rendering Where) bool {
	return w == Everywhere || w == rendering || w == Report && rendering == Page
}

// only returns the table with the columns shown.
func (t *Table) only(rendering Where) *Table {
	out := *t
	out.Columns, out.Rows, out.Notes = nil, make([]Row, len(t.Rows)), append([]string(nil), t.Notes...)
	for i, r := range t.Rows {
		out.Rows[i].Mark = r.Mark
	}
	for k, c := range t.Columns {
		if !c.Where.within(rendering) {
			continue
		}
		if c.Note != "" {
			out.Notes, c.Note = append(out.Notes, c.Note), ""
		}
		out.Columns = append(out.Columns, c)
		for i, r := range t.Rows {
			if k < len(r.Cells) {
				out.Rows[i].Cells = append(out.Rows[i].Cells, r.Cells[k])
			}
		}
	}
	return &out
}

// Text is a paragraph.
func Text(format string, args ...any) Block { return Block{Text: fmt.Sprintf(format, args...)} }

// Led is a paragraph with a bold beginning.
func Led(lead, format string, args ...any) Block {
	return Block{Lead: lead, Text: fmt.Sprintf(format, args...)}
}

// Figure stands for the figure of that name.
func Figure(name string) Block { return Block{Figure: name} }

// Texts visits every text of the sheet, in order; what is visited may be
// changed. What is tagged as a name is no text.
func (s *Sheet) Texts(visit func(*string)) { texts(reflect.ValueOf(s), visit) }

func texts(v reflect.Value, visit func(*string)) {
	switch v.Kind() {
	case reflect.String:
		visit(v.Addr().Interface().(*string))
	case reflect.Pointer:
		if !v.IsNil() {
			texts(v.Elem(), visit)
		}
	case reflect.Slice:
		for i := range v.Len() {
			texts(v.Index(i), visit)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if _, name := v.Type().Field(i).Tag.Lookup("name"); !name {
				texts(v.Field(i), visit)
			}
		}
	}
}

// Bind puts a space that does not break between every number and its unit.
func (s *Sheet) Bind() { s.Texts(func(text *string) { *text = Bound(*text) }) }

// Bound is text with its numbers bound to their units.
func Bound(text string) string {
	words := unbroken(strings.Fields(text))
	for i, w := range words {
		words[i] = strings.ReplaceAll(w, " ", "\u00a0")
	}
	return strings.Join(words, " ")
}
