package site

import (
	"fmt"
	"regexp"
	"strings"

	"tankodds/report/words"
	"tankodds/sim"
)

// What belongs to a tank beside its size: levels, mains let in, surge tanks and
// their pumps, open water.

// each7 is a day of the week of which there are many: saturdays.
var each7 = regexp.MustCompile(`(?i)\b((?:sun|mon|tues|wednes|thurs|fri|satur)day)s\b`)

// readPumpDays reads the days of the week on which pumps run.
func readPumpDays(a At, g given) error {
	all, err := g.all(7)
	if err != nil {
		return err
	}
	a.Study.Fitted.Pumping.Days, err = parseDays(each7.ReplaceAllString(strings.Join(all, " "), "$1"))
	return err
}

// checkLevels wants every level in litres to lie within the largest tank asked about.
func (p *Plan) checkLevels() error {
	s := p.Study
	if len(s.Sizes) == 0 {
		return nil
	}
	largest := s.Usable(s.Sizes[len(s.Sizes)-1])
	check := func(key, what string, l sim.Level) error {
		if l.Litres > 0 && l.Litres >= largest {
			return p.wrong(about{key, "tank.sizes"}, "%s, %s, is no less than what can be drawn of the largest tank asked about, %s; write a lower one, or a share such as 30 %%", what, p.Units.Volume(l.Litres), p.Units.Volume(largest))
		}
		return nil
	}
	for i, u := range s.Uses {
		if err := check(fmt.Sprint("uses.", i), "the level of "+u.Name, u.Keep); err != nil {
			return err
		}
	}
	if err := check("tank.mains_below", "the level below which mains are let in", s.Fitted.TopUp.Below); err != nil {
		return err
	}
	return check("tank.mains_to", "the level up to which mains are let in", s.Fitted.TopUp.To)
}

const topUpSource = "a rule of a Sydney water authority, as quoted elsewhere"

// What is taken of mains let into a tank and of pumps where nothing is said.
var (
	// A rule of a Sydney water authority, as quoted elsewhere.
	usualTopUp = sim.TopUp{Below: sim.Level{Share: 0.2}, Rate: 2}
	// Common practice, no source: so long rain lasts, and pumps run by themselves.
	usualPumping = sim.Pumping{Storm: 4, Hours: 24}
)

// toppedUp, surging, open and weathered say of what belongs to the tank there is.
func toppedUp(p *Plan) bool { return p.Study.Mains == sim.IntoTank }
func open(p *Plan) bool     { return p.Study.Fitted.Open > 0 }
func surging(p *Plan) bool {
	for _, r := range p.Study.Roofs {
		if r.Surge > 0 {
			return true
		}
	}
	return false
}
func airy(p *Plan) bool { return p.Study.Air.Known() }
func keeping(p *Plan) bool {
	for _, u := range p.Study.Uses {
		if u.Keep != (sim.Level{}) {
			return true
		}
	}
	return false
}

// SlowYears are simulated where each tank is looked at by itself and nothing else
// is asked.
const SlowYears = 5000

// finishFittings fills in what belongs to the tank, and refuses what hangs in the
// air.
func (p *Plan) finishFittings() error {
	s, f := p.Study, &p.Study.Fitted
	saidOf := func(prefix string) string {
		for _, row := range Table {
			if strings.HasPrefix(row.Key, prefix) && p.stated[row.Key] {
				return row.Key
			}
		}
		return ""
	}
	if toppedUp(p) {
		if !p.stated["tank.mains_below"] {
			f.TopUp.Below = usualTopUp.Below
		}
		if !p.stated["tank.mains_to"] {
			f.TopUp.To = f.TopUp.Below
		}
		if !p.stated["tank.mains_rate"] {
			f.TopUp.Rate = usualTopUp.Rate
		}
		if f.TopUp.To == (sim.Level{}) {
			return p.wrong(about{"tank.mains_below"}, "mains let into the tank up to nothing; give mains_below a level such as 20 %%")
		}
		if s.Measure != sim.Volume {
			keys := about{"target.measure", "tank.mains"}
			return p.wrong(keys, "with mains: tank the target is a share of the water: on what days and in what years mains come tells little, for they are let in before the tank is empty; write %s", p.example(keys, "measure: volume", "measure: volume", "--measure volume", "--measure volume"))
		}
		if f.TopUp.To.Share < f.TopUp.Below.Share && f.TopUp.Below.Litres == 0 && f.TopUp.To.Litres == 0 || f.TopUp.To.Litres < f.TopUp.Below.Litres && f.TopUp.Below.Share == 0 && f.TopUp.To.Share == 0 {
			return p.wrong(about{"tank.mains_to"}, "mains_to lies below mains_below; it is the level up to which they fill the tank")
		}
	} else if key := saidOf("tank.mains_"); key != "" {
		return p.wrong(about{key}, "%s is of mains that are let into the tank; say mains: tank too, or leave it out", strings.TrimPrefix(key, "tank."))
	}
	if surging(p) {
		if !p.stated["pumping.storm"] {
			f.Pumping.Storm = usualPumping.Storm
		}
		if !p.stated["pumping.hours"] {
			f.Pumping.Hours = usualPumping.Hours
		}
	} else if key := saidOf("pumping."); key != "" {
		return p.wrong(about{key, "--surges"}, "%s is of surge tanks; give a roof one, as in surge: 1000 L and pump: 20 L/min", strings.Replace(key, ".", ": ", 1))
	}
	for i, r := range s.Roofs {
		if r.Surge == 0 && r.Pump > 0 {
			return p.wrong(about{fmt.Sprint("roofs.", i)}, "%s has a pump and no surge tank; give the roof one, as in surge: 1000 L", r.Name)
		}
	}
	if open(p) && !airy(p) {
		return p.wrong(about{"tank.open"}, "open water evaporates; give rain: et0: with twelve monthly depths, or et0: temperatures")
	}
	if p.stated["rain.et0_scale"] && !airy(p) {
		return p.wrong(about{"rain.et0_scale"}, "et0_scale is of evaporation; give et0: too, or leave it out")
	}
	if p.stated["rain.scale_from"] && p.Record.Scale == 0 {
		return p.wrong(about{"rain.scale_from"}, "scale_from says where a scale comes from; give scale: too, or leave it out")
	}
	if f.Of != "" {
		found := 0
		for _, u := range s.Uses {
			if u.Name == f.Of {
				found++
			}
		}
		if found == 1 {
			return nil
		}
		if found > 1 {
			return p.wrong(about{"target.of"}, "the target is of %q, and %d uses have that name; give each its own", f.Of, found)
		}
		var names []string
		for _, u := range s.Uses {
			names = append(names, u.Name)
		}
		return p.wrong(about{"target.of"}, "the target is of %q, which is no use; the uses are %s", f.Of, words.Join(names, "and"))
	}
	return nil
}
