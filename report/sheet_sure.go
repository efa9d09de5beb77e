package report

import (
	"fmt"
	"math"

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
		sheet.Text("Different things are uncertain, and they must not be mixed up. Every range below is a %s range.", level),
		sheet.Led("1. The simulation ends.", "Among %s synthetic years the %s is %s at %s. Other synthetic years from the same record would give %s. More of them narrow this.",
			units.Fixed(float64(r.Simulated), 0), words.Measure(s.Measure), units.Percent(mc.Estimate), tank, shareRange(mc)))
	n := words.Plural(r.Usable, "usable year")
	if s.RecordError {
		x := at.Of(s.Measure)
		out.Blocks = append(out.Blocks, sheet.Led("2. The record is short.",
			"These %s may have been kinder or harsher than the climate is, and there may be a dry year that they do not show. With that reckoned in, expect %s at %s; the truth may be anything %s. The size that meets the target %s. Only a longer record narrows this.",
			n, units.Percent(x.Estimate), tank, shareRange(x), words.SizeRange(b.u, r.Main)))
	} else {
		out.Blocks = append(out.Blocks, sheet.Led("2. The record is short.", "How much the %s of record leave open was not asked (--record-error off). It is usually the largest of the three.", n))
	}
	count := ""
	if r.Near.Borrowed() {
		count = fmt.Sprintf(", which count as %s with what neighbours lent", units.Fixed(math.Floor(float64(r.Usable)*r.Near.Gain), 0))
	}
	out.Blocks = append(out.Blocks, sheet.Text("It would take about %s to show %s for this roof and use, had none of them a failure; there are %d%s.", words.Plural(r.Main.Shows, "usable year"), words.Goal(s), r.Usable, count))
	if o := r.Outlook; o != nil && r.Main.Grade != sim.TooShort && s.Measure != sim.Volume {
		out.Blocks = append(out.Blocks, sheet.Led("3. The years ahead are few.", "Even if the reliability were known, the next %d years may be lucky or unlucky: %s, %s most likely.",
			o.Horizon, words.Outlook(b.u, s, o), numberOf(o.Mid)))
	}
	out.Blocks = append(out.Blocks, sheet.Text("None of this knows of a changing climate."), sheet.Figure("fidelity"))
	return out
}

// shareRange says "from 89.2 % to 90.8 %".
func shareRange(i sim.Interval) string {
	if low, high := units.Percent(i.Low), units.Percent(i.High); low != high {
		return fmt.Sprintf("from %s to %s", low, high)
	}
	return "the same"
}

func numberOf(n float64) string {
	if n == 0 {
		return "none"
	}
	return units.Fixed(n, 0)
}
