package main

import (
	"strings"
	"time"

	"tankodds/rainfall/gen"
	"tankodds/report/units"
)

// stress applies --rain-scale and --dry-spell-scale.
func (o *options) stress(s gen.Stress) (gen.Stress, error) {
	if o.given("rain-scale") {
		rain, err := parseRainScale(o.rainScale)
		if err != nil {
			return s, misuse("--rain-scale 0.9, or by month: --rain-scale jun-aug=0.8", "--rain-scale: %v", err)
		}
		s.Rain = rain
	}
	if o.given("dry-spell-scale") {
		x, err := units.Number("a factor", o.drySpellScale)
		if err != nil {
			return s, misuse("--dry-spell-scale 1.2", "--dry-spell-scale: %v", err)
		}
		s.DrySpell = x
		if x == 0 { // 0 stands for none inside; typed it is a slip
			s.DrySpell = -1
		}
	}
	if err := s.Check(); err != nil {
		return s, misuse("a stress is a factor such as 0.9 of rain or 1.2 of dry spells", "%v", err)
	}
	return s, nil
}

// parseRainScale reads "0.9", "jun=0.8" or "jun-aug=0.8,dec=1.1". Months not
// named are left as they are.
func parseRainScale(text string) (out [12]float64, err error) {
	for m := range out {
		out[m] = 1
	}
	for _, part := range strings.Split(text, ",") {
		months, factor, named := strings.Cut(part, "=")
		if !named {
			months, factor = "jan-dec", part
		}
		x, err := units.Number("a factor", factor)
		if err != nil {
			return out, err
		}
		from, to, ranged := strings.Cut(months, "-")
		a, err := parseMonth(from)
		if err != nil {
			return out, err
		}
		b := a
		if ranged {
			if b, err = parseMonth(to); err != nil {
				return out, err
			}
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
