package report

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"tankodds/report/units"
)

// RecheckSchema names the shape of a recheck's JSON.
const RecheckSchema = "tankodds/recheck/1"

// mostDiffering is how many differing values the text lists unless all are
// asked for: another seed changes thousands.
const mostDiffering = 24

// Text says first whether all agrees, then what became of record and version,
// then the values that differ; with all every value. At most 80 columns.
func (c *Recheck) Text(w io.Writer, all bool) {
	p := &prose{w: w}
	p.para("%s: %s.", shorten(filepath.Base(c.File), 40), c.summary())
	p.gap()
	for _, s := range c.facts() {
		p.item(s)
	}
	var rows []Rechecked
	for _, r := range c.Rows {
		if all || r.status == differs {
			rows = append(rows, r)
		}
	}
	left := 0
	if !all && len(rows) > mostDiffering {
		left = len(rows) - mostDiffering
		rows = rows[:mostDiffering]
	}
	if len(rows) == 0 {
		return
	}
	p.gap()
	c.table(p, rows, all)
	if left > 0 {
		p.para("%s more; --all lists every value.", plural(left, "differing value"))
	}
}

func (c *Recheck) summary() string {
	n, bad := c.Values(), c.count(differs)
	text := fmt.Sprintf("%s of %s agree", units.Fixed(float64(n-bad), 0), plural(n, "value"))
	if c.Record == RecordChanged {
		text += ", but the record was changed"
	}
	return text
}

// facts says what became of the record and the version, and the rule.
func (c *Recheck) facts() []Sentence {
	in := c.Evidence.Inputs.Record
	name := filepath.Base(c.Found.File)
	if in.Embedded {
		name = "the invented record that the program carries"
	}
	record := fmt.Sprintf("%s, unchanged (SHA-256 %s).", name, brief(in.SHA256))
	switch c.Record {
	case RecordRepacked:
		record = fmt.Sprintf("%s, packed otherwise than it was, the same inside.", name)
	case RecordChanged:
		record = fmt.Sprintf("%s was changed: its SHA-256 is %s, in the evidence %s.", name, brief(c.Found.SHA256), brief(in.SHA256))
	}
	version := c.Version + ", which wrote the evidence."
	if c.Evidence.Version != c.Version {
		version = fmt.Sprintf("%s; %s wrote the evidence.", c.Version, oneLine(c.Evidence.Version))
		if c.Agrees() {
			version += " Both come to the same."
		}
		if n := c.wordsDiffer(); n > 0 {
			version += fmt.Sprintf(" %s words, which another version may put otherwise.", are(n, "differing value"))
		}
		if n := c.count(added); n > 0 {
			version += fmt.Sprintf(" %s new since then, with nothing to compare.", are(n, "value"))
		}
	}
	exactly := "all that agree do so to the last digit."
	if n := c.inexact(); n > 0 {
		exactly = fmt.Sprintf("%s of those that agree not to the last digit.", units.Fixed(float64(n), 0))
	}
	return []Sentence{
		{"Record", record},
		{"Version", version},
		{"Rule", "words agree letter for letter, numbers to one part in 1,000,000,000, for processors differ in the last bits; " + exactly},
	}
}

func are(n int, one string) string {
	if n == 1 {
		return plural(n, one) + " is"
	}
	return plural(n, one) + " are"
}

func brief(sum string) string {
	if len(sum) > 12 {
		return sum[:12] + "…"
	}
	return sum
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// Widths of the table's columns: names, two numbers of full precision, and
// with all of them the verdict.
const (
	recheckName   = 37
	recheckNumber = 20
	recheckAll    = 29 // names where the verdict stands too
)

// table prints rows: numbers side by side, words one under the other.
func (c *Recheck) table(p *prose, rows []Rechecked, all bool) {
	wide, verdict := recheckName, func(Rechecked) string { return "" }
	if all {
		wide, verdict = recheckAll, func(r Rechecked) string { return "  " + r.verdict() }
	}
	head := pad("value", wide) + " " + right("in the file", recheckNumber) + " " + right("run again", recheckNumber)
	p.line("%s", head)
	p.line("%s", strings.Repeat("-", width-1))
	for _, r := range rows {
		name := wrapName(r.Name, wide)
		if r.words() {
			for _, l := range wrapName(r.Name, width-10) {
				p.line("%s", l)
			}
			if r.status == agrees {
				p.quoted("  "+r.verdict()+" ", r.again)
				continue
			}
			p.quoted("  in the file ", r.file)
			p.quoted("  run again   ", r.again)
			continue
		}
		line := pad(name[0], wide) + " " + right(plain(r.file), recheckNumber) + " " + right(plain(r.again), recheckNumber) + verdict(r)
		p.line("%s", strings.TrimRight(line, " "))
		for _, more := range name[1:] {
			p.line("%s", more)
		}
	}
}

// words reports whether a row is shown as sentences.
func (r Rechecked) words() bool {
	long := func(n *node) bool { return n != nil && utf8.RuneCountInString(plain(n)) > recheckNumber }
	return long(r.file) || long(r.again)
}

func (r Rechecked) verdict() string { return [...]string{"agrees", "DIFFERS", "new"}[r.status] }

// plain prints a value; a dash for one that a side lacks.
func plain(n *node) string {
	switch {
	case n == nil:
		return "–"
	case n.kind == jsonText:
		return oneLine(n.text)
	case n.kind == jsonNull:
		return "none"
	case !n.scalar():
		return fmt.Sprintf("%d values", n.len())
	}
	return n.text
}

func (p *prose) quoted(lead string, n *node) {
	for _, l := range wrap(plain(n), width-utf8.RuneCountInString(lead)) {
		p.line("%s%s", lead, l)
		lead = strings.Repeat(" ", utf8.RuneCountInString(lead))
	}
}

func right(s string, n int) string {
	return strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s))) + s
}

// wrapName breaks a name at its points, later lines set in.
func wrapName(name string, n int) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(name) {
		if line != "" && utf8.RuneCountInString(line+" "+word) > n {
			out = append(out, line)
			line = " "
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(out, line)
}
