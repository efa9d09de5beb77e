package report

import (
	"fmt"

	"tankodds/rainfall"
	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Sheet returns the content of the evidence.
func (z *Sizing) Sheet() *sheet.Sheet {
	b := &sheetMaker{z: z, r: z.Result, s: z.Result.Study, u: z.Units, m: z.Record}
	out := &sheet.Sheet{
		Title:   z.Title,
		Subject: "Roof-water storage: how large a tank, and how sure",
		Under:   []string{words.Site(z.Units, b.s.Roofs, b.s.Uses, b.s.Rule)},
		Facts:   coverFacts(z.Cover),
		Answer:  b.answer(),
		Key:     b.key(),
		Foot:    b.foot(),
		Program: "tankodds " + z.Version, Author: z.Cover.Author, Date: z.Cover.Date,
		Letter: z.Units == units.US,
		Brief:  true,
	}
	for _, make := range []func() sheet.Section{
		b.curve, b.sizes, b.quote, b.year, b.works, b.overflow, b.stops, b.explain, b.sure, b.near, b.record, b.assumptions, b.thumbs, b.cautions, b.method, b.repeat, b.rests,
	} {
		if s := make(); len(s.Blocks) > 0 {
			out.Sections = append(out.Sections, s)
		}
	}
	if out.Title == z.Record.File { // where it lay says nothing to a reader
		out.Title = baseName(out.Title)
	}
	out.Bind()
	return out
}

func coverFacts(c Cover) []sheet.Fact {
	var out []sheet.Fact
	for _, f := range []sheet.Fact{{Label: "Location", Value: c.Location}, {Label: "Client", Value: c.Client}, {Label: "Prepared by", Value: c.Author}, {Label: "Date", Value: c.Date}, {Label: "Note", Value: c.Note}} {
		if f.Value != "" {
			out = append(out, f)
		}
	}
	return out
}

// sheetMaker makes the sections of one sheet.
type sheetMaker struct {
	z *Sizing
	r *sim.Result
	s *sim.Study
	u units.System
	m *rainfall.Summary
}

func (b *sheetMaker) foot() string {
	evidence := ""
	if b.z.Digest != "" {
		evidence = ", evidence " + ShortDigest(b.z.Digest)
	}
	return fmt.Sprintf("tankodds %s%s, seed %d; record %s, SHA-256 %s", b.z.Version, evidence, b.s.Seed, b.recordName(), brief(b.z.Record.SHA256))
}

// rests is what the numbers rest on, in short.
func (b *sheetMaker) rests() sheet.Section {
	return sheet.Section{ID: "rests", Where: sheet.Terminal, Blocks: closing(b.z.told(b.u, true), "The numbers rest on "+b.z.basis())}
}

// closing ends an answer on a terminal: what it rests on, what must be told
// and the caution.
func closing(told []words.Warning, rests ...string) []sheet.Block {
	var out []sheet.Block
	for _, text := range rests {
		out = append(out, sheet.Block{Text: text})
	}
	if len(told) > 0 {
		out = append(out, mind(told))
	}
	return append(out, sheet.Block{Text: words.Caution})
}

// mind lists what a reader must be told, for a terminal.
func mind(told []words.Warning) sheet.Block {
	b := sheet.Block{}
	for _, text := range words.Ordered(told, words.InJSON) {
		b.List = append(b.List, sheet.Item{Lead: "Mind:", Text: text + "."})
	}
	return b
}
