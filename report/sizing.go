package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"tankodds/rainfall"
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

// Warnings returns what must be told of the record, of its plausibility, of
// any change in it, and of the result: all of it, in SI.
func (z *Sizing) Warnings() []rainfall.Warning { return z.told(units.SI, false) }

// told returns the same in a unit, with what to type to see more where it is
// wanted.
func (z *Sizing) told(u units.System, hints bool) []rainfall.Warning {
	m := z.Record
	out := words.OfRecord(z.Record, u)
	out = append(out, words.Warned(m.Suspicious(), u, hints)...)
	out = append(out, words.Warned(m.Changes(), u, hints)...)
	return append(out, words.Warned(z.Result.Findings, u, hints)...)
}

// width is what a terminal is taken to hold.
const width = 80

// Text prints the answer in words and then the table, at most 80 columns.
func (z *Sizing) Text(w io.Writer) {
	SizingHead(w, z.Title, z.Result.Study, z.Units)
	z.Body(w)
}

// SizingHead prints what Text begins with: all that is known before anything
// is simulated.
func SizingHead(w io.Writer, title string, s *sim.Study, u units.System) {
	p := &prose{w: w}
	p.line("%s", title)
	p.para("%s", siteLine(s, u))
	p.gap()
}

// Body prints what follows the head.
func (z *Sizing) Body(w io.Writer) {
	p := &prose{w: w}
	for _, s := range z.Answer() {
		p.item(s)
	}
	p.gap()
	z.table(p)
	if len(z.Result.Answers) > 1 {
		p.gap()
		z.areaTable(p)
	}
	p.gap()
	p.para("The numbers rest on %s", z.basis())
	p.mind(z.told(z.Units, true))
	p.para("%s", shortCaution)
}

// shortCaution closes every answer on a terminal.
const shortCaution = "Estimates from past rain; the climate may change. Roof water is not drinking " +
	"water unless treated and tested. Ask the authority having jurisdiction about permits, " +
	"backflow protection and overflow."

func siteLine(s *sim.Study, u units.System) string {
	roofs := make([]string, len(s.Roofs))
	for i, r := range s.Roofs {
		roofs[i] = u.Area(r.Area)
		if r.Surface != "" && r.Surface != sim.DefaultSurface {
			roofs[i] += " " + r.Surface
		}
	}
	return fmt.Sprintf("roof %s; use %s on average; %s", strings.Join(roofs, " + "), u.Flow(sim.MeanDemand(s.Uses)), ruleWords(s.Rule))
}

func ruleWords(r sim.Rule) string {
	if r == sim.YBS {
		return "yield before spillage (YBS)"
	}
	return "yield after spillage (YAS)"
}

// Sentence is one labelled part of an answer.
type Sentence struct{ Label, Text string }

// Answer says what was found, in plain words: the size, the safe size, where
// more storage stops paying, the real driest years, the years ahead.
func (z *Sizing) Answer() []Sentence {
	r, u := z.Result, z.Units
	s, a := r.Study, r.Main
	goal := goalWords(s)
	var out []Sentence
	say := func(label, format string, args ...any) {
		out = append(out, Sentence{label, fmt.Sprintf(format, args...)})
	}
	years := words.Plural(r.Usable, "year") + " of record"
	if math.IsNaN(a.Tank) {
		say("Size", "%s.", words.UpperFirst(words.Reason(a)))
		if !math.IsNaN(a.Beyond) {
			say("", "About %s would meet it.", u.Volume(a.Beyond))
		}
	} else {
		text := fmt.Sprintf("%s is the smallest tank that meets %s", u.Volume(a.Tank), goal)
		switch {
		case !s.RecordError:
			text += " (the length of the record not weighed)."
		case math.IsNaN(a.High) && math.IsNaN(a.Low):
			text += fmt.Sprintf("; %s cannot bound it within the sizes asked about.", years)
		case math.IsNaN(a.High):
			text += fmt.Sprintf("; from %s it may be %s or more than the largest size asked about.", years, u.Volume(a.Low))
		default:
			text += fmt.Sprintf(": between %s, from %s.", words.VolumeRange(u, a.Low, "and", a.High), years)
		}
		say("Size", "%s", text)
		if s.RecordError {
			if math.IsNaN(a.Safe) {
				say("Safe size", "none in this range: of no size asked about can a record of this length make sure.")
			} else {
				say("Safe size", "%s: even the lower bound of its reliability meets the target.", u.Volume(a.Safe))
			}
		}
	}
	for i, st := range r.Stops {
		label := ""
		if i == 0 {
			label = "Stops paying"
		}
		say(label, "%s", z.stopWords(st))
	}
	say("Driest years", "%s", z.driestWords())
	if o := r.Outlook; o != nil {
		say(fmt.Sprintf("Next %d years", o.Horizon), "expect %s with a short day at %s%s.", words.CountRange(o.Low, o.High, "year"), u.Volume(o.Tank), beyondAllowed(s))
	}
	return out
}

func beyondAllowed(s *sim.Study) string {
	if s.Allow > 0 {
		return fmt.Sprintf(" (more than %d of them)", s.Allow)
	}
	return ""
}

// goalWords says the target as a client would.
func goalWords(s *sim.Study) string {
	share := units.Percent(s.Target)
	switch {
	case s.Measure == sim.Time:
		return fmt.Sprintf("the demand on %s of days", share)
	case s.Measure == sim.Volume:
		return fmt.Sprintf("%s of the water wanted", share)
	case s.Allow > 0:
		return fmt.Sprintf("%s of years with at most %d short days", share, s.Allow)
	}
	return fmt.Sprintf("%s of years without a short day", share)
}

func (z *Sizing) stopWords(st sim.Stop) string {
	u, s := z.Units, z.Result.Study
	var why string
	switch st.Method {
	case sim.ByValue:
		why = fmt.Sprintf("the water saved over %g years at %s a year is worth most above the price of the tank", s.Costs.Life, units.Percent(s.Costs.Discount))
	case sim.ByKnee:
		why = "the supply curve bends most"
	default:
		why = fmt.Sprintf("another %s adds less than %s of the water wanted", u.Volume(s.GainStep), units.Percent(s.GainStop))
	}
	if math.IsNaN(st.Tank) {
		return fmt.Sprintf("nowhere in this range is it that %s.", why)
	}
	band := ""
	if !math.IsNaN(st.Low) && !math.IsNaN(st.High) && u.Volume(st.Low) != u.Volume(st.High) {
		band = fmt.Sprintf(" (%s)", words.VolumeRange(u, st.Low, "to", st.High))
	}
	return fmt.Sprintf("%s%s, where %s.", u.Volume(st.Tank), band, why)
}

// mostDriest is how many of the real driest years the words name.
const mostDriest = 3

// driestWords says what the real record would have done to the tank.
func (z *Sizing) driestWords() string {
	r := z.Result
	short, worst := 0, make([]sim.RealYear, 0, len(r.Real))
	for _, y := range r.Real {
		if y.ShortDays > r.Study.Allow {
			short++
			worst = append(worst, y)
		}
	}
	tank := z.Units.Volume(r.Season.Tank)
	if short == 0 {
		return fmt.Sprintf("the real record would not have emptied %s in any of its %s%s.", tank, words.Plural(len(r.Real), "usable year"), z.enoughWords(r.Enough(), "; %s would have been enough"))
	}
	for i := 1; i < len(worst); i++ { // few: insertion keeps the calendar order of equals
		for j := i; j > 0 && worst[j].ShortDays > worst[j-1].ShortDays; j-- {
			worst[j], worst[j-1] = worst[j-1], worst[j]
		}
	}
	names := make([]string, 0, mostDriest)
	for _, y := range worst[:min(short, mostDriest)] {
		names = append(names, fmt.Sprintf("%s (%s)", words.WaterYear(y.Label, r.WaterYear), words.Plural(y.ShortDays, "day")))
	}
	return fmt.Sprintf("in the real record %s would have run dry in %d of %d years; worst %s%s.", tank, short, len(r.Real), strings.Join(names, ", "), z.enoughWords(r.Enough(), "; %s would have run dry in none"))
}

// enoughWords words a size that is enough for the real years, "" where none
// is.
func (z *Sizing) enoughWords(size float64, format string) string {
	if math.IsNaN(size) || math.IsInf(size, 0) || size == 0 {
		return ""
	}
	return fmt.Sprintf(format, "about "+z.Units.VolumeUp(size))
}

// basis says what the numbers rest on.
func (z *Sizing) basis() string {
	r, rec := z.Result, z.Record
	kind := "a gauge"
	if rec.Modelled {
		kind = "a modelled grid cell, not a gauge"
	}
	return fmt.Sprintf("%s (%s, %s), %v to %v: %s, %s a year, %s filled; water years from %v; "+
		"%s synthetic years of %s (%s), seed %d.",
		rec.Name(), kind, rec.Format, rec.First, rec.Last, words.Plural(r.Usable, "usable water year"), z.Units.Depth(rec.MeanAnnual), words.Plural(r.Filled, "day"), r.WaterYear,
		units.Fixed(float64(r.Simulated), 0), r.Generator, r.GeneratorWhat, r.Study.Seed)
}

// mostRows is how many sizes the table on a terminal shows; the rest is in
// the files.
const mostRows = 16

// ownCells are the sizes asked about under the site's own roofs: a row of the
// grid or, where it has other areas alone, those of the curve.
func (z *Sizing) ownCells() []sim.Cell {
	r := z.Result
	for _, row := range r.Rows() {
		if row[0].Area == r.Main.Area {
			return row
		}
	}
	var out []sim.Cell
	for _, c := range r.Curve {
		if slices.Contains(r.Study.Sizes, c.Tank) {
			out = append(out, c)
		}
	}
	return out
}

// table prints the sizes asked about under the site's own roofs, or under the
// area nearest to theirs where it is not asked about.
func (z *Sizing) table(p *prose) {
	r, u := z.Result, z.Units
	at := 0 // the area asked about nearest to the site's own
	for i, a := range r.Answers {
		if math.Abs(a.Area-r.Main.Area) < math.Abs(r.Answers[at].Area-r.Main.Area) {
			at = i
		}
	}
	cells, listed := r.Rows()[at], r.Answers[at].Listed
	shown := worthShowing(cells, listed, mostRows)
	left := len(cells) - len(shown)
	sizes, supplied := make([]float64, len(cells)), make([]float64, len(cells))
	for i, c := range cells {
		sizes[i], supplied[i] = c.Tank, c.Supplied
	}
	size, water := u.VolumeColumn(sizes...), u.VolumeColumn(supplied...)
	t := &textTable{header: [][]string{
		{"tank", "good", "", "days", "water", "short", "supplied", "spilled"},
		{size.Unit, "years %", "band", "met %", "met %", "days/yr", water.Unit + "/yr", "%"},
	}}
	for _, c := range shown {
		mark := ""
		if c.Tank == listed {
			mark = "←"
		}
		t.rows = append(t.rows, []string{
			size.Cell(c.Tank) + mark, share(c.Annual.Estimate), share(c.Annual.Low) + "–" + share(c.Annual.High),
			share(c.Time.Estimate), share(c.Volumetric.Estimate), units.Fixed(c.ShortDays, 1), water.Cell(c.Supplied), share(c.SpillShare),
		})
	}
	t.print(p)
	foot := fmt.Sprintf("Roof %s. A good year has %s; the band is %s.", u.Area(cells[0].Area), goodYear(r.Study), bandWords(r.Study))
	if !math.IsNaN(listed) {
		foot += " ← marks the smallest listed size that meets the target."
	}
	if left > 0 {
		foot += fmt.Sprintf(" %s more in --out and --json.", words.Plural(left, "size"))
	}
	p.para("%s", foot)
}

func goodYear(s *sim.Study) string {
	if s.Allow > 0 {
		return "at most " + words.Plural(s.Allow, "short day")
	}
	return "no short day"
}

func bandWords(s *sim.Study) string {
	if s.RecordError {
		return fmt.Sprintf("what a record of this length leaves open (%s)", units.Percent(s.Level))
	}
	return fmt.Sprintf("the Monte Carlo error alone (%s)", units.Percent(s.Level))
}

// sizeBandWords says what the band of a size is; there is none without record
// error.
func sizeBandWords(s *sim.Study) string {
	if s.RecordError {
		return "the band is " + bandWords(s)
	}
	return "band and safe size need the record error, which is off"
}

// worthShowing leaves out sizes from both ends of a long list, where nothing
// is decided: those of which hardly a year is good, and those of which nearly
// all are. The smallest that meets the target stays.
func worthShowing(cells []sim.Cell, listed float64, most int) []sim.Cell {
	a, b := 0, len(cells)
	for b-a > most {
		low, high := cells[a+1].Annual.Estimate, 1-cells[b-2].Annual.Estimate
		if cells[a].Tank == listed || low > high && cells[b-1].Tank != listed {
			b--
		} else {
			a++
		}
	}
	return cells[a:b]
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

// areaTable prints the size that each roof area needs.
func (z *Sizing) areaTable(p *prose) {
	r, u := z.Result, z.Units
	var areas, sizes []float64
	for _, a := range r.Answers {
		areas = append(areas, a.Area)
		sizes = append(sizes, a.Tank, a.Safe, a.High)
	}
	area, size := u.AreaColumn(areas...), u.VolumeColumn(sizes...)
	t := &textTable{header: [][]string{{"roof", "tank for", "", "safe", "the largest"}, {area.Unit, "target " + size.Unit, "band", size.Unit, "reaches %"}}}
	rows := r.Rows()
	for i, a := range r.Answers {
		row := rows[i]
		last := row[len(row)-1]
		t.rows = append(t.rows, []string{
			area.Cell(a.Area), size.Cell(a.Tank), bandCell(size, a.Low, a.High), size.Cell(a.Safe), share(last.Of(r.Study.Measure).Estimate),
		})
	}
	t.print(p)
	p.para("The tank that each roof area needs for the target; – where none in this range is enough; %s.", sizeBandWords(r.Study))
}

// share prints a share as a percentage for a table, to a tenth; 100 and 0
// only where it is.
func share(x float64) string {
	switch {
	case math.IsNaN(x):
		return units.Fixed(x, 0)
	case x == 1:
		return "100"
	case x == 0:
		return "0"
	case x >= 0.9995:
		return ">99.9"
	case x < 0.0005:
		return "<0.1"
	}
	return units.Fixed(100*x, 1)
}
