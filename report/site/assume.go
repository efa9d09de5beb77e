package site

import (
	"strings"

	"tankodds/sim"
)

// Where a value comes from.
const (
	Stated  = "stated for this site"
	Taken   = "the usual value, taken where the site states no other"
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

// source says where a parameter's value comes from.
func (p *Parameter) source(a At) string {
	switch {
	case p.Flag == "" && p.Key == "":
		return Decided
	case (p.Key == "target.reliability" || p.Key == "target.measure") && (a.Study.Mains == sim.Direct || a.Study.Mains == sim.IntoTank) && a.Study.Measure == sim.Volume && a.Study.Target == volumeTarget:
		return "usual beside mains: " + CommonPractice
	case p.Key == "simulation.years" && a.Study.Slow() && a.Study.Years == SlowYears:
		return "taken where each tank is gone through by itself and the site states no other"
	case p.usual(a):
		return strings.TrimPrefix(p.Source+"; "+Taken, "; ")
	case !p.IsDefault(a):
		return Stated
	case p.Source != "":
		return p.Source + "; " + Taken
	}
	return Taken
}

// usual says whether the value is one that finishing a plan fills in.
func (p *Parameter) usual(a At) bool {
	f := a.Study.Fitted
	switch p.Key {
	case "tank.mains_below":
		return f.TopUp.Below == usualTopUp.Below
	case "tank.mains_to":
		return f.TopUp.To == f.TopUp.Below
	case "tank.mains_rate":
		return f.TopUp.Rate == usualTopUp.Rate
	case "pumping.storm":
		return f.Pumping.Storm == usualPumping.Storm
	case "pumping.hours":
		return f.Pumping.Hours == usualPumping.Hours
	}
	return false
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
		if row.Name == "" || row.When != nil && !row.When(p) {
			continue
		}
		at := findSection(part).entries(p)
		cells, unit, numbers := row.column(at, p.Units)
		out = append(out, Column{Name: row.Name, Unit: unit, Words: !numbers, Cells: cells})
		if row.Without != "" || row.Must || !numbers {
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
	cells, unit, _ := p.column([]At{a}, a.Units)
	text := strings.ToLower(p.Name) + " " + strings.TrimSpace(cells[0]+" "+unit)
	if p.Source != "" {
		text += " (" + p.Source + ")"
	}
	return text
}
