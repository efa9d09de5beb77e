package site

import (
	"strings"

	"tankodds/report/units"
	"tankodds/report/words"
)

// Where a value comes from.
const (
	Stated  = "stated for this site"
	Taken   = "taken where the site states nothing else"
	Decided = "fixed in tankodds"
	// CommonPractice is what nobody has measured.
	CommonPractice = "common practice, no source"
)

// Assumption is a value that an answer rests on, and where it comes from.
type Assumption struct{ Name, Value, Source string }

// Assumptions lists what a plan rests on but for its roofs and uses, in the
// plan's units.
func Assumptions(p *Plan) []Assumption {
	var out []Assumption
	for _, row := range Table {
		if row.Name == "" || row.each() {
			continue
		}
		for _, at := range p.holds(row) {
			out = append(out, Assumption{row.Name, row.said(at), row.source(at)})
		}
	}
	return out
}

// said is a parameter's value for people.
func (p *Parameter) said(a At) string {
	if p.words != nil {
		return p.words(a, a.Units) + p.Note
	}
	return p.show(a, a.Units) + p.Note
}

// source says where a parameter's value comes from.
func (p *Parameter) source(a At) string {
	switch {
	case p.Flag == "" && p.Key == "":
		return Decided
	case !p.IsDefault(a):
		return Stated
	case p.Source != "":
		return p.Source + "; " + Taken
	}
	return Taken
}

// Column is one parameter of all roofs or of all uses.
type Column struct {
	Name, Unit string
	Words      bool // not a number
	Cells      []string
}

// Columns lists the parameters of the plan's roofs ("roofs") or uses ("uses"),
// and what of them is taken where nothing is stated.
func Columns(p *Plan, part string) (out []Column, taken []string) {
	for _, row := range keysOf(part) {
		if row.Name == "" {
			continue
		}
		at := findSection(part).entries(p)
		c := Column{Name: row.Name, Words: row.column == nil}
		if row.column != nil {
			c.Unit, c.Cells = row.column(at, p.Units)
			c.Unit += row.Note
		} else {
			for _, a := range at {
				c.Cells = append(c.Cells, row.said(a))
			}
		}
		out = append(out, c)
		if row.Without != "" || row.Must || row.column == nil {
			continue
		}
		for _, a := range at {
			if row.IsDefault(a) {
				taken = append(taken, row.taking(a))
				break
			}
		}
	}
	return out, taken
}

// taking names a parameter with the value taken and its source: "wetting
// loss 0 mm".
func (p *Parameter) taking(a At) string {
	unit, cells := p.column([]At{a}, a.Units)
	text := strings.ToLower(p.Name) + " " + strings.TrimSpace(cells[0]+" "+unit+p.Note)
	if p.Source != "" {
		text += " (" + p.Source + ")"
	}
	return text
}

// cells prints quantities of a kind in one column, with its unit.
func cells(kind units.Kind, s units.System, values []float64) (unit string, out []string) {
	var c units.Column
	one := func(x float64) string { return c.Cell(x) }
	switch kind {
	case units.Area:
		c = s.AreaColumn(values...)
	case units.Volume:
		c = s.VolumeColumn(values...)
	case units.Flow:
		c = s.FlowColumn(values...)
	case units.Depth: // of roofs, which are small
		c = s.DepthColumn(values...)
		one = func(x float64) string { return words.DepthCell(s, x, 1, 2) }
	default:
		c.Unit = "%"
		one = func(x float64) string { return units.Fixed(100*x, 0) }
	}
	for _, x := range values {
		out = append(out, one(x))
	}
	return c.Unit, out
}
