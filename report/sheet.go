package report

import (
	"fmt"
	"strings"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/sim"
)

// Cover is what a sheet says of its own making. All of it may be left out.
type Cover struct {
	Client, Author, Location, Note string
	Date                           string   // as it is to stand there
	Elevation                      *float64 // of the site, m
}

// Sheet is the content of the evidence handed over: what the HTML page and
// the PDF both render. Every number in it is the Result's, already in the
// units and digits to be shown; a space that must not break is U+00A0.
type Sheet struct {
	Title    string   // of the site
	Subject  string   // what the sheet is about, a line
	Facts    []Fact   // location, client, author, date, note: those that were given
	Answer   []string // the answer, two sentences
	Key      string   // the words of Answer[0] that matter most, "" for none
	Sections []Section
	Foot     string // program and version, record, seed: a line for the foot of a page
}

// Section is one heading and what stands under it.
type Section struct {
	ID      string // a stable word, unique in the sheet: "answer", "sizes", …
	Heading string
	Blocks  []Block
}

// Block is one paragraph, list, set of facts, table or figure: exactly one of
// its fields beside Extra is set (Lead goes with Text).
type Block struct {
	Lead, Text string // a paragraph; Lead, where there is one, its bold beginning
	List       []Item
	Facts      []Fact
	Table      *Table
	Figure     string // the Name of a figure of report/figure; left out where there is none of that name
	Extra      bool   // left out where room is short, as on paper
}

// Item is an entry of a list; Lead, where there is one, its bold beginning.
type Item struct{ Lead, Text string }

// Fact is a labelled value.
type Fact struct{ Label, Value string }

// Table is a table with one row of column heads.
type Table struct {
	Name    string // a stable word, unique in the sheet
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
	Extra bool   // left out where room is short
}

// Row is one row of a table, a cell a column. The first cell is its name.
type Row struct {
	Cells []string
	Mark  string // a few words that set the row apart, "" for none
}

// Sheet returns the content of the evidence.
func (z *Sizing) Sheet() *Sheet {
	b := &sheetMaker{z: z, r: z.Result, s: z.Result.Study, u: z.Units, m: z.Record}
	out := &Sheet{
		Title:   z.Title,
		Subject: "Roof-water storage: how large a tank, and how sure",
		Facts:   z.Cover.facts(),
		Answer:  b.answer(),
		Key:     b.key(),
		Foot:    b.foot(),
	}
	for _, make := range []func() Section{
		b.curve, b.sizes, b.year, b.stops, b.sure, b.record, b.assumptions, b.thumbs, b.cautions, b.method, b.repeat,
	} {
		out.Sections = append(out.Sections, make())
	}
	if out.Title == z.Record.File { // where it lay says nothing to a reader
		out.Title = baseName(out.Title)
	}
	out.bind()
	return out
}

func (c Cover) facts() []Fact {
	var out []Fact
	for _, f := range []Fact{{"Location", c.Location}, {"Client", c.Client}, {"Prepared by", c.Author}, {"Date", c.Date}, {"Note", c.Note}} {
		if f.Value != "" {
			out = append(out, f)
		}
	}
	return out
}

// sheetMaker makes the sections of one sheet.
type sheetMaker struct {
	z *Sizing
	r *sim.Result
	s *sim.Study
	u units.System
	m *rainfall.Summary
}

func (b *sheetMaker) foot() string {
	evidence := ""
	if b.z.Digest != "" {
		evidence = ", evidence " + ShortDigest(b.z.Digest)
	}
	return fmt.Sprintf("tankodds %s%s, seed %d; record %s, SHA-256 %s", b.z.Version, evidence, b.s.Seed, b.recordName(), brief(b.z.Record.SHA256))
}

func text(format string, args ...any) Block { return Block{Text: fmt.Sprintf(format, args...)} }

func led(lead, format string, args ...any) Block {
	return Block{Lead: lead, Text: fmt.Sprintf(format, args...)}
}

func figureBlock(name string) Block { return Block{Figure: name} }

// bind puts a space that does not break between every number and its unit.
func (s *Sheet) bind() {
	fix := func(p *string) { *p = bound(*p) }
	fix(&s.Title)
	fix(&s.Foot)
	fix(&s.Key)
	for i := range s.Answer {
		fix(&s.Answer[i])
	}
	facts := func(all []Fact) {
		for i := range all {
			fix(&all[i].Value)
		}
	}
	facts(s.Facts)
	for i := range s.Sections {
		for j := range s.Sections[i].Blocks {
			x := &s.Sections[i].Blocks[j]
			fix(&x.Lead)
			fix(&x.Text)
			facts(x.Facts)
			for k := range x.List {
				fix(&x.List[k].Lead)
				fix(&x.List[k].Text)
			}
			if x.Table == nil {
				continue
			}
			fix(&x.Table.Caption)
			for k := range x.Table.Notes {
				fix(&x.Table.Notes[k])
			}
			for _, r := range x.Table.Rows {
				for k := range r.Cells {
					fix(&r.Cells[k])
				}
			}
		}
	}
}

// bound is text with its numbers bound to their units.
func bound(text string) string {
	words := unbroken(strings.Fields(text))
	for i, w := range words {
		words[i] = strings.ReplaceAll(w, " ", "\u00a0")
	}
	return strings.Join(words, " ")
}
