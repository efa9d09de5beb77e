package site

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// What belongs to a tank beside its size: levels, mains let in, surge tanks and
// their pumps, open water.

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
		return g.fail("it is temperatures, or twelve monthly depths in brackets, January first, as in [20 mm, 25 mm, …]")
	case len(items) != 12:
		return g.fail("it holds %d depths; it is 12, January first", len(items))
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

// checkLevels wants every level in litres to lie within the largest tank asked about.
func (p *Plan) checkLevels() error {
	s := p.Study
	if len(s.Sizes) == 0 {
		return nil
	}
	largest := s.Usable(s.Sizes[len(s.Sizes)-1])
	check := func(what string, l sim.Level) error {
		if l.Litres > 0 && l.Litres >= largest {
			return misuse("", "%s%s, %s, is no less than what can be drawn of the largest tank asked about, %s; write a lower one, or a share such as 30 %%", p.where(), what, p.Units.Volume(l.Litres), p.Units.Volume(largest))
		}
		return nil
	}
	for _, u := range s.Uses {
		if err := check("the level of "+u.Name, u.Keep); err != nil {
			return err
		}
	}
	if err := check("the level below which mains are let in", s.Fitted.TopUp.Below); err != nil {
		return err
	}
	return check("the level up to which mains are let in", s.Fitted.TopUp.To)
}

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
			return misuse("", "%splants, holds, water and efficiency are of a bed; give the use its area, as in area: 100 m2", p.where())
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
		return misuse("", "%sa bed dries by evaporation; give rain: et0: with twelve monthly depths, or et0: temperatures", p.where())
	}
	p.Record.Weather = s.Air.Temperatures
	if bedded(p) {
		s.Uses = s.WithBeds(nil)
	}
	return nil
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
				return row.name()
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
			return misuse("", "%smains let into the tank up to nothing; give mains_below a level such as 20 %%", p.where())
		}
		if s.Measure != sim.Volume {
			return misuse("", "%swith mains: tank the target is a share of the water: on what days and in what years mains come tells little, for they are let in before the tank is empty; write measure: volume", p.where())
		}
		if f.TopUp.To.Share < f.TopUp.Below.Share && f.TopUp.Below.Litres == 0 && f.TopUp.To.Litres == 0 || f.TopUp.To.Litres < f.TopUp.Below.Litres && f.TopUp.Below.Share == 0 && f.TopUp.To.Share == 0 {
			return misuse("", "%smains_to lies below mains_below; it is the level up to which they fill the tank", p.where())
		}
	} else if key := saidOf("tank.mains_"); key != "" {
		return misuse("", "%s%s is of mains that are let into the tank; say mains: tank too, or leave it out", p.where(), key)
	}
	if surging(p) {
		if !p.stated["pumping.storm"] {
			f.Pumping.Storm = usualPumping.Storm
		}
		if !p.stated["pumping.hours"] {
			f.Pumping.Hours = usualPumping.Hours
		}
	} else if key := saidOf("pumping."); key != "" {
		return misuse("", "%spumping: %s is of surge tanks; give a roof one, as in surge: 1000 L and pump: 20 L/min", p.where(), key)
	}
	for _, r := range s.Roofs {
		if r.Surge == 0 && r.Pump > 0 {
			return misuse("", "%s%s has a pump and no surge tank; give the roof one, as in surge: 1000 L", p.where(), r.Name)
		}
	}
	if open(p) && !airy(p) {
		return misuse("", "%sopen water evaporates; give rain: et0: with twelve monthly depths, or et0: temperatures", p.where())
	}
	if p.stated["rain.et0_scale"] && !airy(p) {
		return misuse("", "%set0_scale is of evaporation; give et0: too, or leave it out", p.where())
	}
	if p.stated["rain.scale_from"] && p.Record.Scale == 0 {
		return misuse("", "%sscale_from says where a scale comes from; give scale: too, or leave it out", p.where())
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
			return misuse("", "%sthe target is of %q, and %d uses have that name; give each its own", p.where(), f.Of, found)
		}
		var names []string
		for _, u := range s.Uses {
			names = append(names, u.Name)
		}
		return misuse("", "%sthe target is of %q, which is no use; the uses are %s", p.where(), f.Of, words.Join(names, "and"))
	}
	return nil
}

// joined says whether the tank is several.
func joined(p *Plan) bool { return len(p.Study.Joined) > 0 }

const joinedExample = "as in {area: 2 m2, height: 1.8 m, outlet: 0.1 m, base: 0.2 m}"

// mostJoined is more than anybody joins.
const mostJoined = 100

// readJoined reads a list of joined tanks.
func readJoined(a At, g given) error {
	items, listed, err := g.list(mostJoined)
	if err != nil {
		return err
	}
	if !listed {
		return g.notAList()
	}
	a.Study.Joined = nil
	for _, item := range items {
		n := resolve(item.node)
		if n.Kind != yaml.MappingNode {
			return item.fail("a joined tank has an area and a height, %s", joinedExample)
		}
		var part sim.Part
		for i := 0; i < len(n.Content); i += 2 {
			value := given{node: n.Content[i+1]}
			switch key := n.Content[i].Value; key {
			case "area":
				part.Area, err = value.quantity(a, units.Area, "a tank's area")
			case "base":
				part.Base, err = value.quantity(a, units.Length, "the height of a floor")
			case "height":
				part.Height, err = value.quantity(a, units.Length, "the height of an overflow")
			case "outlet":
				part.Outlet, err = value.quantity(a, units.Length, "the height of an outlet")
			default:
				err = item.fail("%q is not known; a joined tank has area, height, outlet and base", short(key))
			}
			if err != nil {
				return err
			}
		}
		if !(part.Area > 0) || !(part.Height > 0) {
			return item.fail("a joined tank has an area and a height, %s", joinedExample)
		}
		if err := part.Check(); err != nil {
			return item.fail("%v", err)
		}
		a.Study.Joined = append(a.Study.Joined, part)
	}
	return nil
}

// finishJoined makes joined tanks the size asked about: what of them cannot be
// drawn is dead.
func (p *Plan) finishJoined() error {
	s := p.Study
	if !joined(p) {
		return nil
	}
	if s.Sizes != nil || s.Costs != nil || s.Dead > 0 || s.Under.Dead > 0 {
		return misuse("", "%sthe tanks joined are the size asked about; leave out sizes, prices and dead", p.where())
	}
	holds, usable := sim.Joined(s.Joined)
	if !(usable > 0) {
		return misuse("", "%sthe lowest overflow of the joined tanks lies below the highest outlet: nothing can be drawn", p.where())
	}
	s.Sizes, s.Under.Dead = []float64{holds}, holds-usable
	return nil
}

// readInstalled reads the month in which the tank is installed.
func readInstalled(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	m, err := parseMonth(text)
	a.Study.Begins = int(m)
	return err
}

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

// readEfficiency reads the share of a bed's water that reaches the roots.
func readEfficiency(a At, g given) (err error) {
	if a.Use.Bed.Efficiency, err = g.quantity(a, units.Share, "an efficiency"); err == nil && a.Use.Bed.Efficiency == 0 {
		return g.fail("an efficiency is above 0")
	}
	return err
}
