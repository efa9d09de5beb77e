package sheet

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strings"
	"unicode/utf8"

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
func (s *Sheet) HTML(figures []figure.Figure) ([]byte, error) {
	s = s.Only(Page)
	p := &htmlPage{Sheet: s, figures: map[string]figure.Figure{}, dark: map[string]bool{}}
	for _, f := range figures {
		p.figures[f.Name] = f
	}
	for i := range s.Sections {
		if err := p.section(i+1, &s.Sections[i]); err != nil {
			return nil, err
		}
	}
	p.Style = template.CSS(pageStyle + p.colours())
	p.Script = template.JS(pageScript)
	p.lead()
	t, err := template.New("page").Parse(pageTemplate)
	if err != nil {
		return nil, fmt.Errorf("internal fault: the page's template: %w", err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, p); err != nil {
		return nil, fmt.Errorf("internal fault: the page: %w", err)
	}
	return b.Bytes(), nil
}

// htmlPage is what the template sees.
type htmlPage struct {
	*Sheet
	Style                 template.CSS
	Script                template.JS
	Before, Bold, After   string // the first sentence of the answer, about its key
	Rest                  []string
	Parts                 []htmlSection
	figures               map[string]figure.Figure
	dark                  map[string]bool // the colours of the figures
	figuresSet, tablesSet int
}

type htmlSection struct {
	ID, Heading string
	Number      int
	First       bool // holds the answer
	Blocks      []htmlBlock
}

type htmlBlock struct {
	Block
	Table  *htmlTable
	Figure *htmlFigure
}

type htmlTable struct {
	*Table
	Number int
	Plain  bool // holds words: not to be set like a table of numbers
	Worded bool // has long words in its first column
	Short  bool // fits a printed page with room to spare
	Rows   []htmlRow
	Marks  []htmlMark // what the marks of rows mean
}

// htmlMark is a mark and the letter that stands for it in the table.
type htmlMark struct{ Letter, Text string }

type htmlRow struct {
	Name   htmlCell
	Cells  []htmlCell
	Letter string // of its mark, "" for none
}

type htmlCell struct {
	Text  string
	Words bool
}

// section prepares one section; figures that are not there leave no trace.
func (p *htmlPage) section(number int, s *Section) error {
	out := htmlSection{ID: s.ID, Heading: s.Heading, Number: number, First: number == 1}
	for _, x := range s.Blocks {
		b := htmlBlock{Block: x}
		switch {
		case x.Figure != "":
			f, ok := p.figures[x.Figure]
			if !ok {
				continue
			}
			p.figuresSet++
			var err error
			if b.Figure, err = p.figure(p.figuresSet, f); err != nil {
				return err
			}
		case x.Table != nil:
			p.tablesSet++
			b.Table = tableForHTML(p.tablesSet, x.Table)
		}
		out.Blocks = append(out.Blocks, b)
	}
	p.Parts = append(p.Parts, out)
	return nil
}

func tableForHTML(number int, t *Table) *htmlTable {
	out := &htmlTable{Table: t, Number: number, Plain: true, Short: len(t.Rows) <= shortTable}
	for _, c := range t.Columns {
		out.Plain = out.Plain && c.Words
	}
	letters := map[string]string{}
	for _, r := range t.Rows {
		row := htmlRow{}
		if r.Mark != "" {
			if letters[r.Mark] == "" {
				letters[r.Mark] = string(rune('a' + len(letters)))
				out.Marks = append(out.Marks, htmlMark{letters[r.Mark], r.Mark})
			}
			row.Letter = letters[r.Mark]
		}
		for i, c := range r.Cells {
			cell := htmlCell{c, t.Columns[i].Words}
			if i == 0 {
				row.Name = cell
				out.Worded = out.Worded || cell.Words && utf8.RuneCountInString(c) > longName
			} else {
				row.Cells = append(row.Cells, cell)
			}
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

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
