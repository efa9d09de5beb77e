package report

import (
	"fmt"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// method says how the numbers were made, and after whom.
func (b *sheetMaker) method() sheet.Section {
	s, r := b.s, b.r
	rule := "what is drawn today is taken from what yesterday left (yield after spillage), the careful order"
	if s.Rule == sim.YBS {
		rule = "today's rain may be drawn today (yield before spillage)"
	}
	out := sheet.Section{ID: "method", Heading: "Method and references", Where: sheet.Report}
	out.Blocks = append(out.Blocks,
		sheet.Led("Rain.", "The daily record is cut into water years; those without large holes are usable. From them the generator “%s” builds %s synthetic years that keep the seasons, the dry spells and the spread between years: %s.",
			r.Generator, units.Fixed(float64(r.Simulated), 0), r.GeneratorWhat),
		sheet.Led("Roof.", "Each day's rain less the wetting loss, times the runoff coefficient, less what the first-flush diverter still takes, times the share that the filter passes on, over the area in plan."),
		sheet.Led("Store.", "One step a day; %s; what does not fit overflows. Volumes are whole units of %s, so inflow, use, overflow and storage balance exactly.", rule, b.u.Volume(sim.VolumeUnit)),
		sheet.Led("Measure.", "%s", b.measureWords()),
		sheet.Led("Size.", "Every size sees the same rain. The size for the target is found among all sizes and rounded up to three digits, so what is printed is what was simulated."),
		sheet.Led("Record error.", "What is stated of a tank is what the record supports. The share of good years follows a beta distribution with Jeffreys' prior, of so many years of evidence as the record is worth: fewer where dry years come in clusters or depend on each other (Brown, Cai & DasGupta 2001). The shares of days and of water follow the same law, by the number and the depth of the years that fail. No more is ever stated than the simulation shows."),
		sheet.Led("Stop paying.", "The turnover of a size is how often a year the last %[1]s of the tank is used: what it supplies beyond the next smaller size of three digits, a %[1]s of tank. Without prices, storage pays up to the last size used at least every other year. With prices, the size worth most is the one with the largest net present value.", words.Litre(b.u)),
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
		out = append(out, sheet.Item{Text: fmt.Sprintf("The generator follows: %s.", src)})
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
		sheet.Text("The same record, version and seed give the same numbers on any machine. evidence.json beside this sheet holds every input and every number, and the SHA-256 of every file written with it; curves.csv holds the curves."),
		{Facts: facts},
	}}
}
