package main

import (
	"cmp"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"tankodds/rainfall/gen"
	"tankodds/report/units"
	"tankodds/sim"
)

// overrideSite applies the flags about roofs and uses.
func (o *options) overrideSite(p *plan) error {
	s := p.study
	if len(o.roofs) > 0 {
		s.Roofs = nil
	}
	for _, text := range o.roofs {
		r, system, err := parseRoof(text)
		if err == nil {
			err = shortName(r.Name)
		}
		if err != nil {
			return misuse("", "--roof: %v", err)
		}
		p.typed.add(system)
		s.Roofs = append(s.Roofs, r)
	}
	if len(o.uses) > 0 {
		s.Uses = nil
	}
	for _, text := range o.uses {
		u, system, err := parseUse(text)
		if err == nil {
			err = shortName(u.Name)
		}
		if err != nil {
			return misuse("", "--use: %v", err)
		}
		p.typed.add(system)
		s.Uses = append(s.Uses, u)
	}
	if o.roofGrid != "" {
		areas, system, err := units.ParseList(units.Area, "a roof area", o.roofGrid)
		if err == nil {
			err = aboveZero(areas, "roof areas are")
		}
		if err != nil {
			return misuse("", "--roofs: %v", err)
		}
		p.typed.add(system)
		s.Areas = areas
		if len(s.Roofs) == 0 { // the middle of the range stands for the site
			s.Roofs = []sim.Roof{sim.NewRoof(areas[len(areas)/2])}
		}
	}
	return o.overrideLosses(p)
}

// shortName says whether a name is as short as one in a site file must be.
func shortName(name string) error {
	if n := utf8.RuneCountInString(name); n > mostName {
		return fmt.Errorf("the name has %s letters; it may have %d", units.Fixed(float64(n), 0), mostName)
	}
	return nil
}

// overrideLosses applies the flags that hold for every roof.
func (o *options) overrideLosses(p *plan) error {
	for i := range p.study.Roofs {
		r := &p.study.Roofs[i]
		if err := o.flag(p, "runoff", o.runoff, units.Share, "a runoff coefficient", &r.Runoff); err != nil {
			return err
		}
		if err := o.flag(p, "first-flush", o.firstFlush, units.Depth, "a first flush", &r.FirstFlush); err != nil {
			return err
		}
		if !(r.Runoff > 0) {
			return misuse("", "--runoff %s is not above 0", o.runoff)
		}
	}
	return nil
}

// flag reads the value of a quantity flag into dst where it was given.
func (o *options) flag(p *plan, name, text string, kind units.Kind, what string, dst *float64) error {
	if !o.given(name) {
		return nil
	}
	q, err := units.Parse(kind, what, text)
	if err != nil {
		return misuse("", "--%s: %v", name, err)
	}
	p.typed.add(q.System)
	*dst = q.Value
	return nil
}

// overrideStore applies the flags about the tank.
func (o *options) overrideStore(p *plan) (err error) {
	s := p.study
	if o.tanks != "" && o.tank != "" {
		return misuse("--tank is one size, --tanks a range or list", "--tank and --tanks cannot both be given")
	}
	if text, name := cmp.Or(o.tanks, o.tank), "tank"; text != "" {
		var system units.System
		if o.tanks != "" {
			name = "tanks"
			s.Sizes, system, err = units.ParseList(units.Volume, "a tank size", text)
		} else {
			var q units.Quantity
			q, err = units.Parse(units.Volume, "a tank size", text)
			s.Sizes, system = []float64{q.Value}, q.System
		}
		if err == nil {
			err = aboveZero(s.Sizes, "tank sizes are")
		}
		if err != nil {
			return misuse("", "--%s: %v", name, err)
		}
		p.typed.add(system)
	}
	if err := o.flag(p, "start", o.start, units.Volume, "the starting storage", &s.Start); err != nil {
		return err
	}
	if err := o.flag(p, "dead", o.dead, units.Share, "dead storage", &s.Dead); err != nil {
		return err
	}
	if s.Dead >= 1 {
		return misuse("", "--dead %s leaves no usable storage; write less than 100%%", o.dead)
	}
	if o.rule != "" {
		if s.Rule, err = sim.ParseRule(strings.ToLower(o.rule)); err != nil {
			return misuse("", "--rule: %v", err)
		}
	}
	return nil
}

func aboveZero(values []float64, what string) error {
	for _, x := range values {
		if !(x > 0) {
			return fmt.Errorf("%s above 0", what)
		}
	}
	return nil
}

// overrideQuestion applies the flags about the target and the simulation.
func (o *options) overrideQuestion(p *plan) (err error) {
	s := p.study
	if o.given("target") {
		if s.Target, err = parseTarget(o.target); err != nil {
			return misuse("", "--target: %v", err)
		}
	}
	if o.measure != "" {
		if s.Measure, err = sim.ParseMeasure(strings.ToLower(o.measure)); err != nil {
			return misuse("", "--measure: %v", err)
		}
	}
	if s.Stress, err = o.stress(s.Stress); err != nil {
		return err
	}
	if o.generator != "" || p.generator.Name == "" {
		if p.generator, err = gen.Find(o.generator); err != nil {
			return misuse("", "--generator: %v", err)
		}
	}
	if o.given("years") {
		if s.Years = o.years; checkYears(o.years) != nil {
			return misuse("", "--years: %v", checkYears(o.years))
		}
	}
	if o.given("seed") {
		s.Seed = o.seed
	}
	switch {
	case o.recordError == "on" || o.recordError == "off":
		s.RecordError = o.recordError == "on"
	case o.given("record-error"):
		return misuse("", "--record-error %s is neither on nor off", o.recordError)
	}
	if o.given("horizon") {
		if s.Horizon = o.horizon; o.horizon < 1 || o.horizon > sim.TraceYears {
			return misuse("", "--horizon %d is not from 1 to %d years", o.horizon, sim.TraceYears)
		}
	}
	if s.Workers = o.workers; o.workers < 0 {
		return misuse("", "--workers %d is below 0", o.workers)
	}
	if p.date = oneLine(o.date); utf8.RuneCountInString(p.date) > mostName {
		return misuse("--date today, or as you write it", "--date has more than %d letters", mostName)
	} else if p.date == "today" {
		p.date = time.Now().Format(time.DateOnly)
	}
	p.system = p.typed.system()
	if o.units != "" {
		if p.system, err = units.ParseSystem(o.units); err != nil {
			return misuse("", "--units: %v", err)
		}
	}
	if p.system == units.US {
		s.GainStep = usGainStep
	}
	return nil
}

// usGainStep is the step of storage judged in US units, 250 gal: near the
// 1,000 L of SI, and a round number there.
const usGainStep = 250 * units.LPerGallon

// mostYears bounds a simulation: more is a slip of the keyboard.
const mostYears = 10_000_000

func checkYears(n int) error {
	if n < sim.TraceYears || n > mostYears {
		return fmt.Errorf("%d synthetic years is not from %d to %s", n, sim.TraceYears, units.Fixed(mostYears, 0))
	}
	return nil
}

func parseTarget(s string) (float64, error) {
	q, err := units.Parse(units.Share, "a target", s)
	if err != nil {
		return 0, err
	}
	if !(q.Value > 0 && q.Value < 1) {
		return 0, fmt.Errorf("a target of %s cannot be shown; write a share between 0 and 1 such as 0.9 or 99%%", oneLine(s))
	}
	return q.Value, nil
}
