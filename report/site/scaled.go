package site

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/report/units"
	"tankodds/sim"
)

// Scaled scales all roofs of a site file to a total area, m², and all uses to a mean
// use, L a day; 0 leaves them as they are. Quantities keep the system of units that
// they were written in, to four digits.
func Scaled(file string, text []byte, roof, use float64) ([]byte, error) {
	p := NewPlan(Size)
	if err := p.decode(file, text); err != nil {
		return nil, err
	}
	factors := map[string]float64{}
	if area := sim.TotalArea(p.Study.Roofs); roof > 0 && area > 0 {
		factors["roofs.area"] = roof / area
	}
	if mean := sim.MeanDemand(p.Study.Uses); use > 0 && mean > 0 {
		f := use / mean
		factors["uses.daily"], factors["uses.each"], factors["uses.monthly"], factors["uses.area"] = f, f, f, f
	}
	root, err := p.parse(text)
	if err != nil {
		return nil, err
	}
	var edits []Edit
	eachValue(root, func(path string, row *Parameter, n *yaml.Node) {
		if row == nil {
			return
		}
		if f := factors[row.Key]; f > 0 {
			edits = append(edits, Edit{path, scaledText(row, held(n), f)})
		}
	})
	return Edited(file, text, edits...)
}

// scaledText multiplies the quantities of a text.
func scaledText(row *Parameter, text string, f float64) string {
	return quantityIn.ReplaceAllStringFunc(text, func(s string) string {
		for _, kind := range []units.Kind{units.Volume, row.kind} { // a daily use may be a plain volume
			q, err := units.Parse(kind, row.what, strings.TrimSpace(s))
			if err != nil || row.kind == units.Area && kind != units.Area {
				continue
			}
			number, unit, _ := strings.Cut(kind.Typed(q.Value*f, q.System), " ")
			x, err := strconv.ParseFloat(number, 64)
			if err != nil {
				continue
			}
			return digits(x) + " " + unit
		}
		return s
	})
}

// digits is a number to four digits, as it is typed.
func digits(x float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 3, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}
