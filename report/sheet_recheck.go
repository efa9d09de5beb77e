package report

import (
	"fmt"
	"strings"

	"tankodds/report/codec"
	"tankodds/report/sheet"
	"tankodds/report/words"
)

// mostDiffering is how many differing values the text lists unless all are
// asked for: another seed changes thousands.
const mostDiffering = 24

// Sheet says first whether all agrees and, where it does not, why, then what
// became of record, files and version, then the values that do not agree; with
// all every value.
func (c *Recheck) Sheet(all bool) *sheet.Sheet {
	out := &sheet.Sheet{Brief: true, Under: []string{fmt.Sprintf("%s: %s.", clip(oneLine(baseName(c.File)), 40), c.summary())}}
	out.Add("facts", sheet.Block{Facts: c.facts(all)})
	rows, left := c.shown(all), 0
	if !all && len(rows) > mostDiffering {
		left = len(rows) - mostDiffering
		rows = rows[:mostDiffering]
	}
	if len(rows) > 0 {
		out.Add("values", sheet.Block{Table: recheckTable(rows, left, all)})
	}
	return out
}

func (c *Recheck) summary() string {
	text := "confirmed"
	if !c.Agrees {
		text = "not confirmed"
	}
	return fmt.Sprintf("%s; %s of %s and %d of %s agree", text, words.Whole(c.Agree), words.Plural(c.Values, "value"), c.Same, words.Plural(c.Expected, "file"))
}

// facts says why evidence is not confirmed, what became of the record, the
// files and the version, and the rule.
func (c *Recheck) facts(all bool) []sheet.Fact {
	var out []sheet.Fact
	label := "Because"
	for _, r := range c.Reasons {
		out = append(out, sheet.Fact{Label: label, Value: r.Text + "."})
		label = ""
	}
	name := baseName(c.Record.File)
	if c.Evidence.Inputs.Record.Embedded {
		name = "the invented record that the program carries"
	}
	record := fmt.Sprintf("%s, unchanged (SHA-256 %s).", name, brief(c.Record.Wanted))
	switch c.Record.State {
	case Repacked:
		record = fmt.Sprintf("%s, packed otherwise than it was, the same inside.", name)
	case Changed:
		record = fmt.Sprintf("%s was changed: its SHA-256 is %s, in the evidence %s.", name, brief(c.Record.SHA256), brief(c.Record.Wanted))
	}
	version := c.Version + ", which wrote the evidence."
	if c.Wrote != c.Version {
		version = fmt.Sprintf("%s; %s wrote the evidence.", c.Version, oneLine(c.Wrote))
		isWords := func(r Rechecked) bool {
			return r.Status == differs && r.File.Kind == codec.Text && r.Again.Kind == codec.Text
		}
		if n := c.count(isWords); n > 0 {
			version += fmt.Sprintf(" %s words, which another version may put otherwise.", are(n, "differing value"))
		}
	}
	exactly := "all that agree do so to the last digit."
	if c.Inexact > 0 {
		exactly = words.Whole(c.Inexact) + " of those that agree not to the last digit."
	}
	digest := ShortDigest(c.Digest) + ", as its page and sheet must print it."
	if c.Evidence.Stated != c.Digest {
		digest = ShortDigest(c.Evidence.Stated) + ", as its page and sheet must print it; its inputs and results have another, " + ShortDigest(c.Digest) + "."
	}
	return append(out,
		sheet.Fact{Label: "Record", Value: record},
		sheet.Fact{Label: "Files", Value: c.files(all)},
		sheet.Fact{Label: "Evidence", Value: digest},
		sheet.Fact{Label: "Version", Value: version},
		sheet.Fact{Label: "Rule", Value: "words agree letter for letter, numbers to one part in 1,000,000,000, for processors differ in the last bits; " + exactly},
	)
}

// files counts the files beside evidence, and with all names them.
func (c *Recheck) files(all bool) string {
	said := fmt.Sprintf("%d of the %s written with it are beside it and unchanged", c.Same, words.Plural(c.Expected, "file"))
	if c.Same == c.Expected {
		said = fmt.Sprintf("all %d written with it are beside it and unchanged", c.Same)
	}
	if !all {
		return said + "."
	}
	for _, s := range []State{Same, Changed, Other, Unread, Missing} {
		if names := c.filesIn(s); len(names) > 0 {
			said += fmt.Sprintf("; %s: %s", s, strings.Join(names, ", "))
		}
	}
	return said + "."
}

func are(n int, one string) string {
	verb := " are"
	if n == 1 {
		verb = " is"
	}
	return words.Plural(n, one) + verb
}

// brief is the beginning of a SHA-256.
func brief(sum string) string { return clip(sum, 13) }

func oneLine(s string) string { return codec.VisibleText(strings.Join(strings.Fields(s), " ")) }

// mostNumber is the longest number of full precision; what is longer is words.
const mostNumber = 20

// recheckTable has a row a value; with all a verdict beside each.
func recheckTable(rows []Rechecked, left int, all bool) *sheet.Table {
	t := &sheet.Table{Name: "values", Columns: []sheet.Column{{Title: "Value", Words: true}, {Title: "In the file"}, {Title: "Run again"}}}
	if all {
		t.Columns = append(t.Columns, sheet.Column{Title: "Result", Words: true})
	}
	for _, r := range rows {
		cells := []string{oneLine(r.Name), plain(r.File), plain(r.Again)}
		if r.Status == agrees && len([]rune(cells[1])) > mostNumber {
			cells[1] = "" // a sentence once
		}
		if all {
			cells = append(cells, r.verdict())
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: cells})
	}
	if left > 0 {
		t.Notes = []string{words.Plural(left, "differing value") + " more; --all lists every value."}
	}
	return t
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
