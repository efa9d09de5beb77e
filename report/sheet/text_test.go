package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A terminal gets what is everywhere and what is its own: heads as low as they
// will go, marks beside names, sentences on lines of their own.
func TestText(t *testing.T) {
	s := &Sheet{
		Title: "A site\nof two lines", Under: []string{"what is known before"}, Answer: []string{"not here"},
		Sections: []Section{
			{ID: "one", Heading: "One", Blocks: []Block{
				{Facts: []Fact{{"Size", "a tank of 1,000\u00a0L " + strings.Repeat("that goes on ", 6)}, {"", "and on"}}},
				{Figure: "curve"}, {Text: "left out", Where: Report},
				{List: []Item{{"LOOK", "here"}, {"", "and here"}}},
			}},
			{ID: "two", Heading: "Two", Where: Page, Blocks: []Block{{Text: "left out"}}},
			{ID: "three", Heading: "Three", Blocks: []Block{{Table: &Table{
				Caption: "Sizes", Notes: []string{"A note."},
				Columns: []Column{{Title: "Name", Words: true}, {Title: "Tank for the target", Unit: "L"}, {Title: "Price", Unit: "€", Where: Report, Note: "Left out."}, {Title: "Share", Unit: "%"}},
				Rows: []Row{{Cells: []string{"first", "1,000", "9", "5"}}, {Cells: []string{"second", "20,000", "9", "50"}, Mark: "meets it"},
					{Cells: []string{"third", "a sentence that is longer than a number", "9", ""}}},
			}}}},
		},
	}
	var b strings.Builder
	s.Text(&b)
	assert.Equal(t, `A site of two lines
what is known before

One
  Size  a tank of 1,000 L that goes on that goes on that goes on that goes on
        that goes on that goes on
        and on

  LOOK  here
        – and here

Three
  Sizes:
  Name     Tank for the target L   Share %
  ----------------------------------------
  first                    1,000         5
  second←                 20,000        50
  third
    tank for the target  a sentence that is longer than a number
  ← meets it. A note.
`, b.String())

	s.Brief = true
	b.Reset()
	s.Text(&b)
	assert.NotContains(t, b.String(), "Three")
}

// Any table keeps to the width: heads are broken, then columns of words.
func TestTextTableFits(t *testing.T) {
	for columns := 2; columns < 11; columns++ {
		table := &Table{Columns: []Column{{Title: "A record of a name", Words: true}}}
		row := Row{Cells: []string{strings.Repeat("Upper Carrow Hill ", 4)}}
		for range columns {
			table.Columns = append(table.Columns, Column{Title: "Short days", Unit: "a year"})
			row.Cells = append(row.Cells, "153.2")
		}
		table.Rows = []Row{row, row}
		var b strings.Builder
		(&Sheet{Sections: []Section{{Blocks: []Block{{Table: table}}}}}).Text(&b)
		for line := range strings.Lines(b.String()) {
			assert.LessOrEqual(t, runes(strings.TrimSuffix(line, "\n")), Width, line)
		}
		assert.Equal(t, 2*columns, strings.Count(b.String(), "153.2"))
	}
}
