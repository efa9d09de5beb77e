package report

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"tankodds/rainfall"
	"tankodds/report/words"
)

// prose writes wrapped text.
type prose struct{ w io.Writer }

// line prints one line, whatever line ends a name in it has.
func (p *prose) line(format string, args ...any) {
	fmt.Fprintln(p.w, strings.NewReplacer("\n", " ", "\r", " ").Replace(fmt.Sprintf(format, args...)))
}

func (p *prose) gap() { fmt.Fprintln(p.w) }

// para prints a paragraph, wrapped.
func (p *prose) para(format string, args ...any) {
	for _, l := range wrap(fmt.Sprintf(format, args...), width) {
		p.line("%s", l)
	}
}

// labelWidth is the room for the label of an item.
const labelWidth = 15

// item prints a labelled sentence, wrapped beside its label.
func (p *prose) item(s Sentence) {
	label := s.Label
	for _, l := range wrap(s.Text, width-labelWidth) {
		p.line("%s%s", pad(label, labelWidth), l)
		label = ""
	}
}

// mind prints warnings, one a paragraph.
func (p *prose) mind(all []rainfall.Warning) {
	for _, text := range words.Ordered(all, words.InJSON) {
		p.para("Mind: %s.", text)
	}
}

// wrap breaks text into lines of at most n characters where it has spaces.
// The space between a number and its unit is not a place to break.
func wrap(text string, n int) []string {
	var lines []string
	line := ""
	for _, word := range unbroken(strings.Fields(text)) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= n:
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
func pad(s string, n int) string {
	return s + strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s)))
}

// textTable is a table of right-aligned columns with one or more header rows.
type textTable struct {
	left         bool // the first column is words: aligned left
	header, rows [][]string
}

func (t *textTable) print(p *prose) {
	cols := len(t.header[0])
	wide := make([]int, cols)
	for _, rows := range [][][]string{t.header, t.rows} {
		for _, r := range rows {
			for i, c := range r {
				wide[i] = max(wide[i], utf8.RuneCountInString(strings.TrimSuffix(c, "←")))
			}
		}
	}
	total := 0
	for _, w := range wide {
		total += w
	}
	space := max(1, min(3, (width-1-total)/max(1, cols-1)))
	show := func(r []string) {
		var b strings.Builder
		for i, c := range r {
			mark := ""
			if cut, ok := strings.CutSuffix(c, "←"); ok {
				c, mark = cut, "←"
			}
			left := space
			if i == 0 {
				left = 0
			}
			if strings.HasSuffix(b.String(), "←") {
				left-- // the mark stands in the space between columns
			}
			room := strings.Repeat(" ", wide[i]-utf8.RuneCountInString(c))
			if i == 0 && t.left {
				b.WriteString(c + room + mark)
				continue
			}
			b.WriteString(strings.Repeat(" ", left) + room + c + mark)
		}
		p.line("%s", strings.TrimRight(b.String(), " "))
	}
	for _, r := range t.header {
		show(r)
	}
	p.line("%s", strings.Repeat("-", min(width, total+space*(cols-1))))
	for _, r := range t.rows {
		show(r)
	}
}
