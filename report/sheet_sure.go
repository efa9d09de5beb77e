package report

import (
	"fmt"
	"math"

	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// sure is the three layers of uncertainty in plain words.
func (b *sheetMaker) sure() Section {
	r, s := b.r, b.s
	at := r.Main.Cell
	mc := at.MonteCarlo.Of(s.Measure)
	level := units.Percent(s.Level)
	tank := b.u.Volume(at.Tank)
	out := Section{ID: "sure", Heading: "How sure"}
	out.Blocks = append(out.Blocks,
		text("Three things are uncertain, and they must not be mixed up. Every range below is a %s range.", level),
		led("1. The simulation is not endless.", "%s synthetic years are many, not all. At %s the %s is %s, and from this cause alone it lies %s. More simulated years narrow this.",
			units.Fixed(float64(r.Simulated), 0), tank, measureName(s), units.Percent(mc.Estimate), shareRange(mc)))
	n := words.Plural(r.Usable, "usable year")
	if s.RecordError {
		x := at.Of(s.Measure)
		words := fmt.Sprintf("The record is one draw of %s. What it holds allows a %s from %s to %s at %s", n, measureName(s), units.Percent(x.Low), units.Percent(x.High), tank)
		words += b.bandOfSize()
		out.Blocks = append(out.Blocks, led("2. The record is short.", "%s Only a longer record narrows this. %s", words, b.howBanded()))
	} else {
		out.Blocks = append(out.Blocks, led("2. The record is short.", "How much the %s of record leave open was not asked (--record-error off). It is usually the largest of the three.", n))
	}
	out.Blocks = append(out.Blocks, Block{Text: words.UpperFirst(words.Claim(r.Usable)) + "."})
	if o := r.Outlook; o != nil {
		out.Blocks = append(out.Blocks, led("3. The years ahead are few.", "Even were the reliability known, the next %d years may be lucky or not. At %s expect %s with a short day%s in them, %s in the middle of the range.",
			o.Horizon, b.u.Volume(o.Tank), words.CountRange(o.Low, o.High, "year"), beyondAllowed(s), numberOf(o.Mid)))
	}
	out.Blocks = append(out.Blocks, text("None of the three knows of a climate that changes."), figureBlock("fidelity"))
	return out
}

// howBanded says how the record's error was found.
func (b *sheetMaker) howBanded() string {
	again := fmt.Sprintf("drawing the record's years anew %s and repeating the whole work each time", words.Plural(b.s.Replicates, "time"))
	if b.s.Measure != sim.Annual {
		return "It was found by " + again + "."
	}
	return "Of good years a record tells as much as so many years of evidence do, no more, and no failure seen is not taken for none to come; the other numbers' ranges were found by " + again + "."
}

// bandOfSize says how the size moves with the record.
func (b *sheetMaker) bandOfSize() string {
	a, u := b.r.Main, b.u
	switch low, high := math.IsNaN(a.Low), math.IsNaN(a.High); {
	case low && high:
		return "; the size that meets the target is not bounded within the sizes asked about."
	case high:
		return fmt.Sprintf(", and the size that meets the target may be %s or more than the largest asked about.", u.Volume(a.Low))
	case low:
		return fmt.Sprintf(", and the size that meets the target may be anything up to %s.", u.Volume(a.High))
	}
	return fmt.Sprintf(", and a size for the target between %s.", words.VolumeRange(u, a.Low, "and", a.High))
}

func measureName(s *sim.Study) string {
	switch s.Measure {
	case sim.Time:
		return "share of days met"
	case sim.Volume:
		return "share of the water wanted"
	}
	return "share of good years"
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
