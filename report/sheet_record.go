package report

import (
	"fmt"
	"math"
	"strings"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
)

// record is the rain record and what was found in it.
func (b *sheetMaker) record() Section {
	m := b.m
	kind := "a gauge"
	if m.Modelled {
		kind = "a modelled grid cell, not a gauge"
	}
	facts := []Fact{{"Record", fmt.Sprintf("%s, %s", b.recordName(), kind)}}
	add := func(label, format string, args ...any) {
		facts = append(facts, Fact{label, fmt.Sprintf(format, args...)})
	}
	if m.Station != "" && m.Station != m.Name() {
		add("Station", "%s", m.Station)
	}
	add("File", "%s (%s, in %s)", baseName(m.File), m.Format, m.Unit)
	add("SHA-256", "%s", m.SHA256)
	add("Span", "%v to %v, %s", m.First, m.Last, words.Plural(m.Days, "day"))
	add("Missing", "%s", b.missing())
	filled := "no day of them missing"
	if m.FilledDays > 0 {
		filled = words.Plural(m.FilledDays, "missing day") + " in them filled from like years"
	}
	add("Usable", "%s from %v, %s", words.Plural(m.UsableN, "water year"), m.Start, filled)
	if n := len(m.Rejected); n > 0 {
		add("Not usable", "%s", b.rejected())
	}
	add("Mean annual", "%s", b.meanAnnual())
	if m.UsableN > 1 {
		d, w := m.Extremes(1)
		add("Driest, wettest", "%s (%s) and %s (%s)", words.WaterYear(d[0].Label, b.r.WaterYear), b.u.Depth(d[0].MM), words.WaterYear(w[0].Label, b.r.WaterYear), b.u.Depth(w[0].MM))
	}
	if m.DrySpell.Days > 0 {
		add("Longest dry spell", "%s below %s, from %v", words.Plural(m.DrySpell.Days, "day"), b.depth(rainfall.WetDay), m.DrySpell.From)
	}
	if !math.IsNaN(m.MaxDay.MM) {
		add("Wettest day", "%s on %v", b.u.Depth(m.MaxDay.MM), m.MaxDay.Date)
	}
	out := Section{ID: "record", Heading: "The record and its quality"}
	out.Blocks = append(out.Blocks, Block{Facts: facts}, figureBlock("record"))
	if all := words.Ordered(b.z.told(b.u, false), words.InEvidence); len(all) > 0 {
		list := Block{}
		for _, text := range all {
			list.List = append(list.List, Item{Text: words.UpperFirst(text) + "."})
		}
		out.Blocks = append(out.Blocks, led("Mind.", "What the record and the answer should not be read without:"), list)
	}
	out.Blocks = append(out.Blocks, Block{Table: b.checkTable(), Extra: true})
	return out
}

// meanAnnual is the mean of the whole calendar years and that of the usable
// water years, which differ where the years do.
func (b *sheetMaker) meanAnnual() string {
	of := "the sum of the monthly means"
	if b.m.AnnualYears > 0 {
		of = words.Plural(b.m.AnnualYears, "whole calendar year")
	}
	s := fmt.Sprintf("%s over %s", b.u.Depth(b.m.MeanAnnual), of)
	if !math.IsNaN(b.m.YearMean) {
		s += fmt.Sprintf("; %s over the usable water years", b.u.Depth(b.m.YearMean))
	}
	return s
}

func (b *sheetMaker) missing() string {
	m := b.m
	if m.Missing == 0 {
		return "none"
	}
	s := fmt.Sprintf("%s (%s)", words.Plural(m.Missing, "day"), units.Percent(float64(m.Missing)/float64(m.Days)))
	if m.Gap.Days > 0 {
		s += fmt.Sprintf("; longest hole %s from %v", words.Plural(m.Gap.Days, "day"), m.Gap.From)
	}
	return s
}

// rejected names the first years that are not usable and counts the rest.
func (b *sheetMaker) rejected() string {
	const most = 4
	var parts []string
	for i, x := range b.m.Rejected {
		if i == most && len(b.m.Rejected) > most+1 {
			parts = append(parts, fmt.Sprintf("and %d more", len(b.m.Rejected)-most))
			break
		}
		parts = append(parts, fmt.Sprintf("%s (%s)", words.WaterYear(x.Label, b.r.WaterYear), x.Reason))
	}
	return strings.Join(parts, "; ")
}

// checkTable lists every rule of plausibility and what it found.
func (b *sheetMaker) checkTable() *Table {
	t := &Table{
		Name:    "checks",
		Caption: "What was looked for in the record",
		Columns: []Column{{Title: "Rule", Words: true}, {Title: "Found", Words: true}, {Title: "Source of the rule", Words: true, Extra: true}},
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
		t.Rows = append(t.Rows, Row{Cells: []string{words.UpperFirst(words.Check(c, b.u)), found, c.Source}})
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
