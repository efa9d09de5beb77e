package sheet

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"tankodds/report/figure"
)

// The page's template, its style and its script, which reads values off the
// figures; without the script nothing but that is missing.
var (
	//go:embed html/page.html
	pageTemplate string
	//go:embed html/style.css
	pageStyle string
	//go:embed html/script.js
	pageScript string
)

// HTML sets the sheet as one page that needs nothing beside it, with the
// figures that it names, of those given.
func (s *Sheet) HTML(figures []figure.Figure) ([]byte, error) { return s.set("page", figures) }

// Fragment sets the same as a part of another page, which has the style and the
// script of Style and Script.
func (s *Sheet) Fragment(figures []figure.Figure) ([]byte, error) { return s.set("fragment", figures) }

// Style and Script are those of every page of a sheet. The script reads values off
// the figures that are there, and of others, with readable(element of its data).
func Style() string  { return pageStyle }
func Script() string { return pageScript }

func (s *Sheet) set(as string, figures []figure.Figure) ([]byte, error) {
	p := &htmlPage{Sheet: s.Only(Page), drawn: map[string]*htmlFigure{}}
	if err := p.draw(figures); err != nil {
		return nil, err
	}
	p.Style = template.CSS(pageStyle)
	p.Script = template.JS(pageScript)
	p.lead()
	t, err := template.New("page").Funcs(template.FuncMap{
		"from1":  func(i int) int { return i + 1 },
		"figure": func(name string) *htmlFigure { return p.drawn[name] },
		"table":  p.table,
		"spare":  p.spare,
	}).Parse(pageTemplate)
	if err != nil {
		return nil, fmt.Errorf("internal fault: the page's template: %w", err)
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, as, p); err != nil {
		return nil, fmt.Errorf("internal fault: the page: %w", err)
	}
	return b.Bytes(), nil
}

// htmlPage is what the template sees.
type htmlPage struct {
	*Sheet
	Style               template.CSS
	Script              template.JS
	Before, Bold, After string // the first sentence of the answer, about its key
	Rest                []string
	drawn               map[string]*htmlFigure
	tables              int // set so far
}

// draw draws the figures that the sheet names; those that are not there leave
// no trace.
func (p *htmlPage) draw(figures []figure.Figure) error {
	given := map[string]figure.Figure{}
	for _, f := range figures {
		given[f.Name] = f
	}
	for _, s := range p.Sections {
		for _, b := range s.Blocks {
			f, ok := given[b.Figure]
			if !ok {
				continue
			}
			var err error
			if p.drawn[f.Name], err = newHTMLFigure(len(p.drawn)+1, f); err != nil {
				return err
			}
		}
	}
	return nil
}

// fewFigures are always printed.
const fewFigures = 4

// spare says whether a block stays on the screen when the page is printed: what
// has no room on paper, and of many figures those that a PDF does without.
func (p *htmlPage) spare(b Block) bool {
	most := pdfSpare[:len(pdfSpare)-1] // the last one goes only where nothing else is left to spare
	return b.Where == Page || len(p.drawn) > fewFigures && slices.Contains(most, "figure "+b.Figure)
}

// htmlTable is a table with what its looks depend on.
type htmlTable struct {
	*Table
	Number int
	Plain  bool // holds words: not to be set like a table of numbers
	Worded bool // has long words in its first column
	Short  bool // fits a printed page with room to spare
	Marks  []string
}

func (p *htmlPage) table(t *Table) *htmlTable {
	p.tables++
	out := &htmlTable{Table: t, Number: p.tables, Plain: true, Short: len(t.Rows) <= shortTable}
	for _, c := range t.Columns {
		out.Plain = out.Plain && c.Words
	}
	for _, r := range t.Rows {
		out.Worded = out.Worded || t.Columns[0].Words && runes(r.Cells[0]) > longName
		if r.Mark != "" && !slices.Contains(out.Marks, r.Mark) {
			out.Marks = append(out.Marks, r.Mark)
		}
	}
	return out
}

// Letter stands for a mark in the table, "" for none.
func (t *htmlTable) Letter(mark string) string {
	if i := slices.Index(t.Marks, mark); i >= 0 {
		return string(rune('a' + i))
	}
	return ""
}

// Words says whether a column holds words.
func (t *htmlTable) Words(column int) bool { return t.Columns[column].Words }

// longName is the longest name of a row that need not be broken, in letters.
const longName = 14

// shortTable is the most rows of a table that is not broken between pages.
const shortTable = 14

// lead cuts the first sentence about the words that matter most.
func (p *htmlPage) lead() {
	if len(p.Answer) == 0 {
		return
	}
	p.Before, p.Rest = p.Answer[0], p.Answer[1:]
	if before, after, ok := strings.Cut(p.Answer[0], p.Key); ok && p.Key != "" {
		p.Before, p.Bold, p.After = before, p.Key, after
	}
}
