package report

import (
	"fmt"
	"math"
	"strings"

	"tankodds/report/sheet"
	"tankodds/report/words"
)

// record is the rain record and what was found in it.
func (b *sheetMaker) record() sheet.Section {
	m := b.m
	facts := append([]sheet.Fact{{Label: "Record", Value: b.recordName()}, {Label: "File", Value: baseName(m.File)}, {Label: "SHA-256", Value: m.SHA256}}, (&rainSheet{m, b.u}).read()...)
	filled := "no day of them missing"
	if m.FilledDays > 0 {
		filled = words.Plural(m.FilledDays, "missing day") + " in them filled from like years"
	}
	facts = append(facts, sheet.Fact{Label: "Usable", Value: fmt.Sprintf("%s from %v, %s", words.Plural(m.UsableN, "water year"), m.Start, filled)})
	if len(m.Rejected) > 0 {
		facts = append(facts, sheet.Fact{Label: "Not usable", Value: strings.Join(words.Rejected(m, 5), "; ")})
	}
	facts = append(facts, sheet.Fact{Label: "Mean annual", Value: words.MeanAnnual(b.u, m)})
	if m.UsableN > 1 {
		d, w := m.Extremes(1)
		facts = append(facts, sheet.Fact{Label: "Driest, wettest", Value: words.Years(b.u, m, append(d, w...))})
	}
	if m.DrySpell.Days > 0 {
		facts = append(facts, sheet.Fact{Label: "Longest dry spell", Value: words.DrySpell(b.u, m)})
	}
	if !math.IsNaN(m.MaxDay.MM) {
		facts = append(facts, sheet.Fact{Label: "Wettest day", Value: words.WettestDay(b.u, m)})
	}
	out := sheet.Section{ID: "record", Heading: "The record and its quality", Where: sheet.Report}
	out.Blocks = append(out.Blocks, sheet.Block{Facts: facts}, sheet.Figure("record"))
	if all := words.Ordered(b.z.told(b.u, false), words.InEvidence); len(all) > 0 {
		list := sheet.Block{}
		for _, text := range all {
			list.List = append(list.List, sheet.Item{Text: words.UpperFirst(text) + "."})
		}
		out.Blocks = append(out.Blocks, sheet.Led("Mind.", "What the record and the answer should not be read without:"), list)
	}
	out.Blocks = append(out.Blocks, sheet.Block{Table: b.checkTable(), Where: sheet.Page})
	return out
}

// checkTable lists every rule of plausibility and what it found.
func (b *sheetMaker) checkTable() *sheet.Table {
	t := &sheet.Table{
		Name:    "checks",
		Caption: "What was looked for in the record",
		Columns: []sheet.Column{{Title: "Rule", Words: true}, {Title: "Found", Words: true}, {Title: "Source of the rule", Words: true, Where: sheet.Page}},
		Notes:   []string{"A finding is a place to look at; nothing was changed because of it."},
	}
	for _, c := range b.m.Checks {
		found := "nothing"
		if n := len(c.Found); n > 0 {
			found = words.Finding(c.Found[0], b.u)
			if n > 1 {
				found += fmt.Sprintf(", and %s", words.Plural(n-1, "more place"))
			}
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{words.UpperFirst(words.Check(c, b.u)), found, c.Source}})
	}
	return t
}

// recordName is the record's own name, or its file's without folders.
func (b *sheetMaker) recordName() string {
	if rec := b.z.Record; rec.Name() != rec.File {
		return rec.Name()
	}
	return baseName(b.z.Record.File)
}

// baseName is a path without its folders: where a file lay says nothing to a
// reader elsewhere.
func baseName(path string) string {
	if path == "-" {
		return "standard input"
	}
	return path[strings.LastIndexAny(path, `/\`)+1:]
}
