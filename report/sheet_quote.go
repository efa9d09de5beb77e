package report

import (
	"fmt"
	"math"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// quote is what may be pasted: a sentence for a client's quote and one for a
// reviewer's report, each with its conditions. There is none where no size is
// told.
func (b *sheetMaker) quote() sheet.Section {
	out := sheet.Section{ID: "quote", Heading: "To paste", Where: sheet.Report}
	a, m, c := b.r.Main, b.m, b.r.Main.Cell
	if math.IsNaN(a.Lead) {
		return out
	}
	tank, x := b.u.Volume(a.Lead), c.Of(b.s.Measure)
	record := fmt.Sprintf("%s of daily rain at %s (%v to %v)", words.Plural(b.r.Usable, "usable year"), b.recordName(), m.First, m.Last)
	size := "the size needed for the target " + words.SizeRange(b.u, a)
	if !b.s.RecordError {
		size = "the error from the length of the record is not in it"
	}
	besides := ""
	if r := b.s.Under.Kept(a.Lead); r > 0 {
		besides = fmt.Sprintf(" Of the tank %s are kept for emergencies, below the outlet of the uses.", b.u.Volume(r))
	}
	if ends := words.Ends(b.u, b.r); ends != "" {
		besides += " " + words.UpperFirst(ends)
	}
	out.Blocks = append(out.Blocks,
		sheet.Led("Into a quote.", "A rainwater tank of %s, fed by %s and drawn on for %s on average, is estimated to give %s.%s This rests on %s, by which %s. It is an estimate from past rain and no warranty; the climate may change.",
			tank, words.Roofs(b.u, b.s.Roofs), b.u.Flow(sim.MeanDemand(b.s.Uses)), words.Gives(b.s, x.Estimate), besides, record, size),
		sheet.Led("Into a report.", "Daily simulation (%s) of %s synthetic years learnt by the generator “%s” from %s; water years from %v; seed %d; tankodds %s. %s at %s: %s, %s interval from the length of the record %s to %s. Grade of the answer: %v.",
			b.s.Rule, units.Fixed(float64(b.r.Simulated), 0), b.r.Generator, record, b.r.WaterYear, b.s.Seed, b.z.Version,
			words.UpperFirst(words.Measure(b.s.Measure)), tank, units.Percent(x.Estimate), units.Percent(b.s.Level), units.Percent(x.Low), units.Percent(x.High), a.Grade))
	return out
}
