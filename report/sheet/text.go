package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// Width is what a terminal is taken to hold, in characters.
const Width = 80

// Text writes the sheet for a terminal, at most Width columns.
func (s *Sheet) Text(w io.Writer) {
	s.Head(w)
	s.Body(w)
}

// Head writes what Text begins with: title, and what is known before anything
// is worked out.
func (s *Sheet) Head(w io.Writer) {
	t := &terminal{w: w}
	if s.Title != "" {
		t.line(s.Title)
	}
	for _, p := range s.Under {
		t.hanging("", p)
	}
}

// Body writes what follows the head.
func (s *Sheet) Body(w io.Writer) {
	s = s.Only(Terminal)
	t := &terminal{w: w, label: s.labels()}
	for _, x := range s.Sections {
		drawn := func(b Block) bool { return b.Figure != "" } // which a terminal cannot
		blocks := slices.DeleteFunc(slices.Clone(x.Blocks), drawn)
		if len(blocks) == 0 {
			continue
		}
		t.line("")
		t.indent = ""
		if x.Heading != "" && !s.Brief {
			t.line(x.Heading)
			t.indent = "  "
		}
		for i, b := range blocks {
			if i > 0 && (b.Text == "" && blocks[i-1].Text == "" || b.Table != nil || b.Text != "" && blocks[i-1].Text == "") {
				t.line("")
			}
			t.block(b)
		}
	}
}

// terminal writes wrapped text.
type terminal struct {
	w      io.Writer
	indent string
	label  int // the room for labels of facts
}

// mostLabel is the longest label that has its value beside it.
const mostLabel = 20

// labels is the room that the labels of all facts ask for.
func (s *Sheet) labels() int {
	most := 0
	for _, x := range s.Sections {
		for _, b := range x.Blocks {
			for _, f := range b.Facts {
				if n := runes(f.Label); n <= mostLabel {
					most = max(most, n)
				}
			}
		}
	}
	return most + 2
}

// line writes one line, whatever line ends a name in it has.
func (t *terminal) line(s string) {
	s = strings.NewReplacer("\n", " ", "\r", " ", "\u00a0", " ").Replace(t.indent + s)
	fmt.Fprintln(t.w, strings.TrimRight(s, " "))
}

// hanging writes text after a lead and wraps it under its own beginning.
func (t *terminal) hanging(lead, text string) {
	n := runes(lead)
	for _, l := range wrap(text, Width-runes(t.indent)-n) {
		t.line(lead + l)
		lead = blanks(n)
	}
}

func (t *terminal) block(b Block) {
	switch {
	case b.Table != nil:
		t.table(b.Table)
	case b.List != nil:
		t.list(b.List)
	case b.Facts != nil:
		for _, f := range b.Facts {
			t.hanging(pad(f.Label, t.label), f.Value)
		}
	default:
		t.hanging("", strings.TrimSpace(b.Lead+" "+b.Text))
	}
}

// list writes entries below each other, their leads in a column where they are
// short; an entry without a lead has a dash.
func (t *terminal) list(all []Item) {
	lead := 0
	for _, x := range all {
		lead = max(lead, runes(x.Lead)+2)
	}
	if lead > mostLabel {
		lead = 0
	}
	for _, x := range all {
		switch {
		case x.Lead == "":
			t.hanging(blanks(lead)+"– ", x.Text)
		case lead == 0:
			t.hanging("", x.Lead+" "+x.Text)
		default:
			t.hanging(pad(x.Lead, lead), x.Text)
		}
	}
}

// wrap breaks text into lines of at most n characters where it has spaces; a
// word longer than that is a line. The space between a number and its unit is
// not a place to break.
func wrap(text string, n int) []string { return filled(unbroken(strings.Fields(text)), n) }

// filled sets words in lines.
func filled(words []string, n int) []string {
	var lines []string
	line := ""
	for _, word := range words {
		switch {
		case line == "":
			line = word
		case runes(line)+1+runes(word) <= n:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// unbroken joins each number to the unit that follows it.
func unbroken(words []string) []string {
	var out []string
	for _, w := range words {
		if n := len(out); n > 0 && isUnit(w) && strings.ContainsAny(out[n-1][len(out[n-1])-1:], "0123456789") {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

func isUnit(w string) bool {
	switch strings.TrimRight(w, ".,;:)") {
	case "L", "m³", "gal", "m²", "ft²", "mm", "in", "%", "L/day", "gal/day", "kg", "lb", "m", "ft", "kPa", "psi":
		return true
	}
	return false
}

// pad fills s with spaces to n characters.
func pad(s string, n int) string { return s + blanks(n-runes(s)) }

// right fills s with spaces before it to n characters.
func right(s string, n int) string { return blanks(n-runes(s)) + s }

func blanks(n int) string { return strings.Repeat(" ", max(0, n)) }

func runes(s string) int { return utf8.RuneCountInString(s) }
