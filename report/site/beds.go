package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tankodds/report/units"
	"tankodds/sim"
)

// Evaporation, and the beds that it dries.

// readET0 reads twelve depths of evaporation, January first.
func readET0(a At, g given) error {
	if text, err := g.text(); err == nil && strings.EqualFold(strings.TrimSpace(text), "temperatures") {
		a.Study.Air.Temperatures, a.Study.Air.Monthly = true, [12]float64{}
		return nil
	}
	items, listed, err := g.list(12)
	switch {
	case err != nil:
		return err
	case !listed:
		return g.fail("it takes temperatures, or twelve monthly depths in brackets, January first, as in [20 mm, 25 mm, …]")
	case len(items) != 12:
		return g.fail("it takes twelve depths, January first, and %d are given", len(items))
	}
	for m, item := range items {
		if a.Study.Air.Monthly[m], err = item.quantity(a, units.Depth, "a month's evaporation"); err != nil {
			return err
		}
	}
	a.Study.Air.Temperatures = false
	return nil
}

// readLatitude reads degrees north: 33.43, -33.43, 33.43 N, 33.43 S.
func readLatitude(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	bare, sign := strings.ToLower(strings.ReplaceAll(strings.TrimSpace(text), "°", "")), 1.0
	if rest, ok := strings.CutSuffix(bare, "s"); ok {
		bare, sign = rest, -1
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(bare, "n")), 64)
	if err != nil || !(x >= -90 && x <= 90) {
		return g.fail("%q is no latitude; write degrees from -90 to 90, such as 33.43 or 33.43 S", short(text))
	}
	x *= sign
	a.Record.Latitude = &x
	return nil
}

// readET0Scale reads the factor of evapotranspiration.
func readET0Scale(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	x, err := units.Number("a factor", text)
	if err != nil || !(x >= 0.5 && x <= 2) {
		return g.fail("%q is no factor from 0.5 to 2", short(text))
	}
	a.Study.Air.Scale = x
	return nil
}

// plants are the factors of worksheets in force in California: what plants take
// of reference evapotranspiration.
var plants = map[string]float64{"low": 0.2, "moderate": 0.5, "high": 0.8, "lawn": 0.8}

// What is taken of a bed where nothing is said: common practice, but for the
// efficiencies, which are those of the same worksheets.
const (
	usualPlants = 0.5
	usualHolds  = 60.0 // mm
	usualDrip   = 0.81
	usualRefill = 0.75
)

// readPlants reads what the plants of a bed take.
func readPlants(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	word := strings.ToLower(strings.TrimSpace(text))
	x, known := plants[word]
	if !known {
		if x, err = units.Number("a plant factor", word); err != nil || !(x > 0 && x <= 2) {
			return g.fail("%q is no plant factor; write low, moderate, high, lawn, or a number up to 2 such as 0.3", short(text))
		}
	}
	a.Use.Bed.Factor = x
	return nil
}

// bedded says whether a use is a bed, and ofBed what is said of one.
func bedded(p *Plan) bool { return p.Study.Beds() }

func ofBed(a At, text string) string {
	if a.Use.Bed.Area == 0 {
		return "–"
	}
	return text
}

// finishBeds fills in what is not said of beds, and what they want as far as that
// is known without a record.
func (p *Plan) finishBeds() error {
	s := p.Study
	for i := range s.Uses {
		b := &s.Uses[i].Bed
		if *b == (sim.Bed{}) {
			continue
		}
		if b.Area == 0 {
			return p.wrong(about{fmt.Sprint("uses.", i)}, "plants, holds, water and efficiency are of a bed; give the use its area, as in area: 100 m2")
		}
		if b.Factor == 0 {
			b.Factor = usualPlants
		}
		if b.Holds == 0 {
			b.Holds = usualHolds
		}
		if b.Efficiency == 0 {
			if b.Efficiency = usualDrip; b.Refill {
				b.Efficiency = usualRefill
			}
		}
	}
	if bedded(p) && !airy(p) {
		return p.wrong(about{p.firstBed()}, "a bed dries by evaporation; give rain: et0: with twelve monthly depths, or et0: temperatures")
	}
	p.Record.Weather = s.Air.Temperatures
	if bedded(p) {
		s.Uses = s.WithBeds(nil)
	}
	return nil
}

// firstBed is the entry of the first use that is a bed.
func (p *Plan) firstBed() string {
	return fmt.Sprint("uses.", slices.IndexFunc(p.Study.Uses, func(u sim.Use) bool { return u.Bed != sim.Bed{} }))
}

// readEfficiency reads the share of a bed's water that reaches the roots.
func readEfficiency(a At, g given) (err error) {
	if a.Use.Bed.Efficiency, err = g.quantity(a, units.Share, "an efficiency"); err == nil && a.Use.Bed.Efficiency == 0 {
		return g.fail("an efficiency is above 0")
	}
	return err
}
