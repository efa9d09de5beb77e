package report

import (
	"fmt"
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Sizing is one answered study, ready to be shown. Text, JSON, tables and
// figures are renderings of it.
type Sizing struct {
	Version string // of the program
	Title   string // of the site, or of the record where it has none
	Record  *rainfall.Summary
	Result  *sim.Result
	Units   units.System
	Source  RecordInput // which record was asked for, and how to read it
	Cover   Cover       // of its sheet
	Digest  string      // of its evidence (EvidenceDigest), printed on the sheet; "" for none
}

// NewSizing is the answer to a plan under a record.
func NewSizing(version string, p *site.Plan, rec *rainfall.Summary, r *sim.Result) *Sizing {
	return &Sizing{Version: version, Title: p.Title(rec), Record: rec, Result: r, Units: p.Units, Source: p.Record, Cover: p.Cover}
}

// Warnings returns what must be told of the record, of its plausibility, of
// any change in it, and of the result: all of it, in SI.
func (z *Sizing) Warnings() []words.Warning { return z.told(units.SI, false) }

// told returns the same in a unit, with what to type to see more where it is
// wanted.
func (z *Sizing) told(u units.System, hints bool) []words.Warning {
	m := z.Record
	return words.Warned(slices.Concat(m.Findings, m.Suspicious(), m.Changes(), z.Result.Findings), u, hints)
}

// SizingHead is the sheet of a sizing as far as it is known before anything is
// simulated: its head.
func SizingHead(title string, s *sim.Study, u units.System) *sheet.Sheet {
	return &sheet.Sheet{Title: title, Under: []string{words.Site(u, s.Roofs, s.Uses, s.Rule)}}
}

// Answer says what was found, in plain words: the size, the safe size, where
// more storage stops paying, the real driest years, the years ahead.
func (z *Sizing) Answer() []sheet.Fact {
	r, u := z.Result, z.Units
	found, sure, safe := words.Size(u, r)
	out := append(z.turned(), sheet.Fact{Label: "Size", Value: words.UpperFirst(found) + ". " + sure + "."})
	if safe != "" {
		out = append(out, sheet.Fact{Label: "Safe size", Value: words.UpperFirst(safe) + "."})
	}
	if near := words.Near(u, r); near != "" {
		out = append(out, sheet.Fact{Label: "Neighbours", Value: near})
	}
	if ends := words.Ends(u, r); ends != "" {
		out = append(out, sheet.Fact{Label: "People", Value: words.UpperFirst(ends)})
	}
	told := r.Main.Grade != sim.TooShort
	if told {
		label := "Stops paying"
		if r.Stop.Method == sim.ByValue {
			label = words.UpperFirst(words.Worth(r.Study, r.Stop))
		}
		out = append(out, sheet.Fact{Label: label, Value: words.UpperFirst(words.Stop(u, r))})
	}
	out = append(out, sheet.Fact{Label: "Driest years", Value: words.UpperFirst(words.Driest(u, r))})
	if o := r.Outlook; o != nil && told && r.Study.Measure != sim.Volume {
		out = append(out, sheet.Fact{Label: fmt.Sprintf("Next %d years", o.Horizon), Value: words.UpperFirst(words.Outlook(u, r.Study, o)) + "."})
	}
	return out
}

// basis says what the numbers rest on.
func (z *Sizing) basis() string {
	r, rec := z.Result, z.Record
	return fmt.Sprintf("%s (%s, %s), %v to %v: %s, %s of rain a year, %s filled; water years from %s; "+
		"%s synthetic years of %s (%s), seed %d.",
		rec.Name(), words.Kind(rec.Modelled), rec.Format, rec.First, rec.Last, words.Plural(r.Usable, "usable water year"), z.Units.Depth(rec.MeanAnnual), words.Plural(r.Filled, "day"), words.Begin(rec),
		units.Fixed(float64(r.Simulated), 0), r.Generator, r.GeneratorWhat, r.Study.Seed)
}

// ownCells are the sizes asked about under the site's own roofs: a row of the
// grid or, where it has other areas alone, those of the curve.
func (z *Sizing) ownCells() []sim.Cell {
	r := z.Result
	for _, row := range r.Rows() {
		if row[0].Area == r.Main.Area {
			return row
		}
	}
	return slices.DeleteFunc(slices.Clone(r.Curve), func(c sim.Cell) bool { return !slices.Contains(r.Study.Sizes, c.Tank) })
}

// worthShowing leaves out sizes from both ends of a list, which nobody would
// quote: those that hardly ever meet a measure, and those beyond which nothing is
// won. Of a long list it leaves out more. Those to keep stay.
func worthShowing(cells []sim.Cell, m sim.Measure, most int, keep ...float64) []sim.Cell {
	const hardly, alike = 0.01, 0.001
	kept := func(c sim.Cell) bool { return slices.Contains(keep, c.Tank) }
	is := func(k int) float64 { return cells[k].Of(m).Estimate }
	a, b := 0, len(cells)
	for b-a > 1 && is(a) < hardly && !kept(cells[a]) {
		a++
	}
	for b-a > 1 && is(b-1)-is(b-2) < alike && !kept(cells[b-1]) {
		b--
	}
	if b-a <= most {
		return cells[a:b]
	}
	// So many of a long list, evenly from its first to its last.
	var out []sim.Cell
	for k := a; k < b; k++ {
		if n := most - len(keep) - 1; kept(cells[k]) || k == a || (k-a)*n/(b-1-a) > (k-1-a)*n/(b-1-a) {
			out = append(out, cells[k])
		}
	}
	return out
}

// bandCell prints a band for a table: one dash where there is none, and the
// one bound where the other lies outside what was asked about.
func bandCell(c units.Column, low, high float64) string {
	switch {
	case math.IsNaN(low) && math.IsNaN(high):
		return c.Cell(low)
	case math.IsNaN(high):
		return "≥" + c.Cell(low)
	case math.IsNaN(low):
		return "≤" + c.Cell(high)
	}
	return c.Cell(low) + "–" + c.Cell(high)
}
