package report

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"tankodds/report/codec"
	"tankodds/report/units"
	"tankodds/report/words"
)

// RecheckSchema names the shape of a recheck's JSON.
const RecheckSchema = "tankodds/recheck/2"

// mostDiffering is how many differing values the text lists unless all are
// asked for: another seed changes thousands.
const mostDiffering = 24

// Text says first whether all agrees and, where it does not, why, then what
// became of record, files and version, then the values that do not agree; with
// all every value. At most 80 columns.
func (c *Recheck) Text(out io.Writer, all bool) {
	var b strings.Builder
	c.text(&prose{w: &b}, all)
	io.WriteString(out, codec.VisibleText(b.String()))
}

func (c *Recheck) text(p *prose, all bool) {
	name := filepath.Base(c.File)
	if c.File == "-" {
		name = "standard input"
	}
	p.para("%s: %s.", shorten(name, 40), c.summary())
	p.gap()
	for _, s := range c.facts(all) {
		p.item(s)
	}
	var rows []Rechecked
	for _, r := range c.Rows {
		if all || r.Status != agrees {
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
		p.para("%s more; --all lists every value.", words.Plural(left, "differing value"))
	}
}

func (c *Recheck) summary() string {
	text := "confirmed"
	if !c.Agrees() {
		text = "not confirmed"
	}
	return fmt.Sprintf("%s; %s of %s and %d of %s agree", text,
		units.Fixed(float64(c.count(agrees)), 0), words.Plural(len(c.Rows), "value"), c.filesSame(), words.Plural(len(c.Written), "file"))
}

// facts says why evidence is not confirmed, what became of the record, the
// files and the version, and the rule.
func (c *Recheck) facts(all bool) []Sentence {
	var out []Sentence
	label := "Because"
	for _, r := range c.Reasons() {
		out = append(out, Sentence{label, r.Text + "."})
		label = ""
	}
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
		if n := c.wordsDiffer(); n > 0 {
			version += fmt.Sprintf(" %s words, which another version may put otherwise.", are(n, "differing value"))
		}
	}
	exactly := "all that agree do so to the last digit."
	if n := c.inexact(); n > 0 {
		exactly = fmt.Sprintf("%s of those that agree not to the last digit.", units.Fixed(float64(n), 0))
	}
	digest := ShortDigest(c.Evidence.Digest) + ", as its page and sheet must print it."
	if c.Evidence.Stated != c.Evidence.Digest {
		digest = ShortDigest(c.Evidence.Stated) + ", as its page and sheet must print it; its inputs and results have another, " + ShortDigest(c.Evidence.Digest) + "."
	}
	return append(out,
		Sentence{"Record", record},
		Sentence{"Files", c.files(all)},
		Sentence{"Evidence", digest},
		Sentence{"Version", version},
		Sentence{"Rule", "words agree letter for letter, numbers to one part in 1,000,000,000, for processors differ in the last bits; " + exactly},
	)
}

// files counts the files beside evidence, and with all names them.
func (c *Recheck) files(all bool) string {
	said := fmt.Sprintf("%d of the %s written with it are beside it and unchanged", c.filesSame(), words.Plural(len(c.Written), "file"))
	if c.filesSame() == len(c.Written) {
		said = fmt.Sprintf("all %d written with it are beside it and unchanged", len(c.Written))
	}
	if !all {
		return said + "."
	}
	for _, s := range []FileState{FileSame, FileChanged, FileOther, FileUnread, FileMissing} {
		if names := c.filesIn(s); len(names) > 0 {
			said += fmt.Sprintf("; %s: %s", s, strings.Join(names, ", "))
		}
	}
	return said + "."
}

func are(n int, one string) string {
	if n == 1 {
		return words.Plural(n, one) + " is"
	}
	return words.Plural(n, one) + " are"
}

func brief(sum string) string {
	if len(sum) > 12 {
		return sum[:12] + "…"
	}
	return sum
}

func oneLine(s string) string { return codec.VisibleText(strings.Join(strings.Fields(s), " ")) }

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
			if r.Status == agrees {
				p.quoted("  "+r.verdict()+" ", r.Again)
				continue
			}
			p.quoted("  in the file ", r.File)
			p.quoted("  run again   ", r.Again)
			continue
		}
		line := pad(name[0], wide) + " " + right(plain(r.File), recheckNumber) + " " + right(plain(r.Again), recheckNumber) + verdict(r)
		p.line("%s", strings.TrimRight(line, " "))
		for _, more := range name[1:] {
			p.line("%s", more)
		}
	}
}

// words reports whether a row is shown as sentences.
func (r Rechecked) words() bool {
	long := func(n *codec.Node) bool { return n != nil && utf8.RuneCountInString(plain(n)) > recheckNumber }
	return long(r.File) || long(r.Again)
}

func (r Rechecked) verdict() string {
	if r.Status == agrees {
		return string(agrees)
	}
	return strings.ToUpper(string(r.Status))
}

// plain prints a value; a dash for one that a side lacks.
func plain(n *codec.Node) string {
	switch {
	case n == nil:
		return "–"
	case n.Kind == codec.Text:
		return oneLine(n.Text)
	case n.Kind == codec.Null:
		return "none"
	case !n.Scalar():
		return fmt.Sprintf("%d values", n.Len())
	}
	return n.Text
}

func (p *prose) quoted(lead string, n *codec.Node) {
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
