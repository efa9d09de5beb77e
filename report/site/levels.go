package site

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"tankodds/report/units"
	"tankodds/sim"
)

// Levels, rates, hours and pressures as people type them.

// readLevel reads a level in the tank: a share of what can be drawn, or a volume.
func readLevel(field func(At) *sim.Level, what string) func(At, given) error {
	return func(a At, g given) error {
		text, err := g.text()
		if err != nil {
			return err
		}
		if q, err := units.Parse(units.Share, what, text); err == nil && strings.TrimSpace(text) != "0" {
			if q.Value >= 1 {
				return g.fail("%s is the whole tank; write less than 100 %%, or a volume such as 500 L", short(text))
			}
			*field(a) = sim.Level{Share: q.Value}
			return nil
		}
		volume, err := g.quantity(a, units.Volume, what)
		if err != nil {
			return g.fail("%s is neither a share of the tank, such as 30 %%, nor a volume, such as 500 L", strconv.Quote(short(text)))
		}
		*field(a) = sim.Level{Litres: volume}
		return nil
	}
}

// minute ends what flows in one.
var minute = regexp.MustCompile(`(?i)\s*(?:/|\bper\b|\ba\b)\s*min(?:ute)?\.?\s*$`)

// readRate reads what flows in a minute.
func readRate(field func(At) *float64, what string) func(At, given) error {
	return func(a At, g given) error {
		text, err := g.text()
		if err != nil {
			return err
		}
		text = strings.TrimSpace(text)
		switch lower := strings.ToLower(text); {
		case strings.HasSuffix(lower, "gpm"):
			text = text[:len(text)-3] + " gal/min"
		case strings.HasSuffix(lower, "lpm"):
			text = text[:len(text)-3] + " L/min"
		}
		bare := minute.ReplaceAllString(text, "")
		q, err := units.Parse(units.Volume, what, bare)
		if err != nil || bare == text || !(q.Value > 0) {
			return g.fail("%q is no volume a minute; write one such as 20 L/min or 5 gal/min", short(text))
		}
		a.votes.add(q.System)
		*field(a) = q.Value
		return nil
	}
}

// sayRate says it.
func sayRate(s units.System, rate float64) string { return s.Volume(rate) + " a minute" }

// readHours reads a part of a day: 4 h.
func readHours(field func(At) *float64, what string) func(At, given) error {
	return func(a At, g given) error {
		text, err := g.text()
		if err != nil {
			return err
		}
		bare := strings.ToLower(strings.TrimSpace(text))
		for _, end := range []string{"hours", "hour", "hrs", "h"} {
			if strings.HasSuffix(bare, end) {
				bare = strings.TrimSpace(strings.TrimSuffix(bare, end))
				break
			}
		}
		x, err := units.Number(what, bare)
		if err != nil || x < 0 || x > 24 {
			return g.fail("%q is no part of a day; write hours from 0 to 24, such as 4 h", short(text))
		}
		*field(a) = x
		return nil
	}
}

// sayHours says it.
func sayHours(x float64) string { return fmt.Sprintf("%g h", x) }

// pressures are the units of pressure, in kPa.
var pressures = []struct {
	name  string
	kpa   float64
	other units.System
}{{"kpa", 1, units.SI}, {"bar", 100, units.SI}, {"psi", units.PaPerPSI / 1000, units.US}}

// readPressure reads 100 kPa, 1 bar or 15 psi.
func readPressure(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	for _, u := range pressures {
		bare, ok := strings.CutSuffix(strings.ToLower(strings.TrimSpace(text)), u.name)
		if !ok {
			continue
		}
		if x, err := units.Number("a pressure", strings.TrimSpace(bare)); err == nil && x > 0 && x <= 10_000 {
			a.votes.add(u.other)
			a.Use.Needs = x * u.kpa
			return nil
		}
	}
	return g.fail("%q is no pressure; write one such as 100 kPa, 1 bar or 15 psi", short(text))
}
