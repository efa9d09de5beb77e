package report

import (
	"fmt"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// sure is the three layers of uncertainty in plain words.
func (b *sheetMaker) sure() sheet.Section {
	r, s := b.r, b.s
	at := r.Main.Cell
	mc := at.MonteCarlo.Of(s.Measure)
	level := units.Percent(s.Level)
	tank := b.u.Volume(at.Tank)
	out := sheet.Section{ID: "sure", Heading: "How sure", Where: sheet.Report}
	out.Blocks = append(out.Blocks,
		sheet.Text("Three things are uncertain, and they must not be mixed up. Every range below is a %s range.", level),
		sheet.Led("1. The simulation is not endless.", "%s synthetic years are many, not all. At %s the %s is %s, and from this cause alone it lies %s. More simulated years narrow this.",
			units.Fixed(float64(r.Simulated), 0), tank, words.Measure(s.Measure), units.Percent(mc.Estimate), shareRange(mc)))
	n := words.Plural(r.Usable, "usable year")
	if s.RecordError {
		x := at.Of(s.Measure)
		out.Blocks = append(out.Blocks, sheet.Led("2. The record is short.",
			"The record is one draw of %s. What it holds allows a %s %s at %s; the size that meets the target %s. Only a longer record narrows this. %s",
			n, words.Measure(s.Measure), shareRange(x), tank, words.SizeRange(b.u, r.Main), b.howBanded()))
	} else {
		out.Blocks = append(out.Blocks, sheet.Led("2. The record is short.", "How much the %s of record leave open was not asked (--record-error off). It is usually the largest of the three.", n))
	}
	out.Blocks = append(out.Blocks, sheet.Block{Text: words.UpperFirst(words.Claim(r.Usable)) + "."})
	if o := r.Outlook; o != nil {
		out.Blocks = append(out.Blocks, sheet.Led("3. The years ahead are few.", "Even were the reliability known, the next %d years may be lucky or not: %s, %s in the middle of the range.",
			o.Horizon, words.Outlook(b.u, s, o), numberOf(o.Mid)))
	}
	out.Blocks = append(out.Blocks, sheet.Text("None of the three knows of a climate that changes."), sheet.Figure("fidelity"))
	return out
}

// howBanded says how the record's error was found.
func (b *sheetMaker) howBanded() string {
	return "How far one stretch of synthetic years differs from the next tells how far so many real years may mislead, and a dry year that the record did not show is reckoned with."
}

// shareRange says "from 89.2 % to 90.8 %".
func shareRange(i sim.Interval) string {
	return fmt.Sprintf("from %s to %s", units.Percent(i.Low), units.Percent(i.High))
}

func numberOf(n float64) string {
	if n == 0 {
		return "none"
	}
	return units.Fixed(n, 0)
}
