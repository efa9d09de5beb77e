package report

import (
	"fmt"
	"slices"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// method says how the numbers were made, and after whom.
func (b *sheetMaker) method() sheet.Section {
	s, r := b.s, b.r
	rule := "the use draws only on what the day before left (yield after spillage, the careful order)"
	if s.Rule == sim.YBS {
		rule = "the use may draw on today's rain before any overflows (yield before spillage)"
	}
	out := sheet.Section{ID: "method", Heading: "Method and references", Where: sheet.Report}
	out.Blocks = append(out.Blocks,
		sheet.Led("Rain.", "The daily record is split into water years. Those without large gaps are used. From them the generator “%s” builds %s synthetic years, which keep the seasons, the dry spells and the differences between years: %s.",
			r.Generator, units.Fixed(float64(r.Simulated), 0), r.GeneratorWhat),
		sheet.Led("Roof.", "The wetting loss is taken from each day's rain. The rest is multiplied by the runoff coefficient and by the roof's area in plan. The first-flush diverter takes its part, and the filter passes on its share."),
		sheet.Led("Store.", "Day by day, %s. What does not fit overflows. Volumes are counted in whole units of %s, so inflow, use, overflow and storage balance exactly.", rule, b.u.Volume(sim.VolumeUnit)),
	)
	if s.Slow() {
		text := "On each day uses are served in their order from what the day before left, each down to its level."
		if slices.ContainsFunc(s.Roofs, func(r sim.Roof) bool { return r.Surge > 0 }) {
			text += " Roofs with a surge tank fill that, and its pump moves the water up in the hours of a storm and after it as far as there is room; what a surge tank cannot hold overflows."
		}
		if s.Fitted.Open > 0 {
			text += " Open water evaporates."
		}
		if s.Fitted.TopUp.To != (sim.Level{}) {
			text += " Mains let into the tank come last, in the evening."
		}
		out.Blocks = append(out.Blocks, sheet.Led("What belongs to the tank.", "%s Each tank is taken through the days by itself.", text))
	}
	if s.Beds() {
		out.Blocks = append(out.Blocks, sheet.Led("Beds.", "Each morning a bed asks for water by what its soil lacks; in the evening its plants have taken their share of the day's reference evapotranspiration, less the rain (Allen and others 1998, FAO Irrigation and Drainage Paper 56, chapter 8). Rain below a fifth of it counts for nothing."))
	}
	out.Blocks = append(out.Blocks,
		sheet.Led("Measure.", "%s", b.measureWords()),
		sheet.Led("Size.", "Every size is tried with the same rain. The smallest that meets the target is rounded up to three digits. The printed figures are those of the rounded size."),
	)
	if t := b.r.Turned; t != nil && t.Map != nil {
		out.Blocks = append(out.Blocks, sheet.Led("Use and roof.", "All uses are scaled alike, and so are all roofs. The largest use and the smallest roof have three digits; they and the numbers next to them were simulated with the same rain. Their bounds are read from fewer years and are right to some hundredths."))
	}
	out.Blocks = append(out.Blocks,
		sheet.Led("Record error.", "This sheet states only what the record supports. The share of good years follows a beta distribution with Jeffreys' prior (Brown, Cai & DasGupta 2001). The record counts for fewer years where dry years come in clusters or depend on each other. The shares of days and of water follow the same law, by how many years fail and by how much. The sheet never states more than the simulation shows."),
		sheet.Led("Stop paying.", "The turnover of a size tells how often a year its last %[1]s is used. It is the extra water that this size supplies over the next smaller one, for each extra %[1]s of tank. Without prices, stop at the last size used at least every other year. With prices, stop at the size for sale with the largest net present value.", words.Litre(b.u)),
		sheet.Block{List: b.references()})
	return out
}

// references are the works that the method follows.
func (b *sheetMaker) references() []sheet.Item {
	var out []sheet.Item
	for _, w := range works {
		out = append(out, sheet.Item{Text: w.Text()})
	}
	if src := b.r.GeneratorSource; src != "" {
		out = append(out, sheet.Item{Text: fmt.Sprintf("The generator follows %s.", src)})
	}
	return append(out, sheet.Item{Text: "Volumes and identifiers of these works are from memory. Where a value is common practice, or has no source, it says so beside it."})
}

// repeat says how the numbers can be had again.
func (b *sheetMaker) repeat() sheet.Section {
	rec := b.z.Record
	facts := []sheet.Fact{
		{Label: "Program", Value: "tankodds " + b.z.Version},
		{Label: "Record", Value: fmt.Sprintf("%s, SHA-256 %s", baseName(rec.File), rec.SHA256)},
		{Label: "Seed", Value: fmt.Sprint(b.s.Seed)},
	}
	if b.z.Digest != "" {
		facts = append(facts, sheet.Fact{Label: "Evidence", Value: "SHA-256 of its inputs and results " + b.z.Digest})
	}
	facts = append(facts, sheet.Fact{Label: "To check", Value: "tankodds recheck evidence.json, with these files beside it"})
	return sheet.Section{ID: "repeat", Heading: "How to repeat it", Where: sheet.Report, Blocks: []sheet.Block{
		sheet.Text("The same record, version and seed give the same numbers on any machine. evidence.json beside this sheet holds every input and number, and the SHA-256 of every file. curves.csv holds the curves."),
		{Facts: facts},
	}}
}
