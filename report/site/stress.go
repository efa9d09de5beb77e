package site

import (
	"fmt"
	"strings"
	"time"

	"tankodds/rainfall/gen"
	"tankodds/report/units"
)

// readRainScale reads the factors of synthetic rain.
func readRainScale(a At, g given) error {
	text, err := g.text()
	if err == nil {
		a.Study.Stress.Rain, err = parseRainScale(text)
	}
	return err
}

// readDrySpells reads how much longer dry spells last. Inside, 0 stands for as
// they are; typed it is a slip.
func readDrySpells(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	x, err := units.Number("a factor", text)
	if err == nil && x == 0 {
		err = fmt.Errorf("dry spells × 0 is not from 1 to %d", gen.MostDrySpell)
	}
	a.Study.Stress.DrySpell = x
	return err
}

func checkStress(a At) error { return a.Study.Stress.Check() }

// parseRainScale reads "0.9", "jun=0.8" or "jun-aug=0.8,dec=1.1". Months not
// named are left as they are.
func parseRainScale(text string) (out [12]float64, err error) {
	for m := range out {
		out[m] = 1
	}
	for part := range strings.SplitSeq(text, ",") {
		months, factor, named := strings.Cut(part, "=")
		if !named {
			months, factor = "jan-dec", part
		}
		x, err := units.Number("a factor", factor)
		if err != nil {
			return out, err
		}
		a, b, err := monthRange(months)
		if err != nil {
			return out, err
		}
		for m := a; ; m = m%time.December + 1 { // nov-feb goes over New Year
			out[m-1] = x
			if m == b {
				break
			}
		}
	}
	return out, nil
}
