package main

import (
	"fmt"
	"math"

	"tankodds/rainfall/gen"
	"tankodds/report"
	"tankodds/report/units"
	"tankodds/sim"
)

// plan is everything that was asked, merged from the defaults, the site file
// and the flags, each overriding the one before.
type plan struct {
	file                                 string // the site file, "" where there is none
	name, client, author, note, location string
	elevation                            float64 // m, NaN where unknown
	date                                 string  // to be printed, "" for none

	study     *sim.Study
	rain      rainOptions
	generator gen.Generator
	system    units.System // SI or US, of everything printed
	typed     ballot       // the systems of the quantities typed
}

// ballot counts the systems of units that quantities were typed in.
type ballot [3]int

func (b *ballot) add(s units.System) { b[s]++ }

// system is the one most used, SI where neither is.
func (b *ballot) system() units.System {
	if b[units.US] > b[units.SI] {
		return units.US
	}
	return units.SI
}

// plan merges the defaults, the site file that args name and the flags. With
// neither a site file nor a record, a roof or a use it is the demo.
func (o *options) plan(args []string) (*plan, error) {
	p := newPlan()
	switch {
	case len(args) > 0:
		if err := p.readSite(args[0]); err != nil {
			return nil, err
		}
	case o.rain == "" && len(o.roofs) == 0 && len(o.uses) == 0:
		if err := p.decodeSite(siteFileName, []byte(siteTemplate)); err != nil {
			return nil, err
		}
		p.rain.demo, p.rain.file = true, ""
	}
	if o.rain != "" {
		p.rain.replace(o.rain)
	}
	if p.rain.file == "" && !p.rain.demo {
		return nil, misuse("give it with --rain FILE", "%sno rain record", p.where())
	}
	return p, o.override(p)
}

// override applies the flags and fills in what is still missing.
func (o *options) override(p *plan) error {
	if err := o.readOptions(&p.rain); err != nil {
		return err
	}
	for _, step := range []func(*plan) error{o.overrideSite, o.overrideStore, o.overrideQuestion, o.finish} {
		if err := step(p); err != nil {
			return err
		}
	}
	return nil
}

// cover is what the site file says of the sheet's making.
func (p *plan) cover() report.Cover {
	c := report.Cover{Client: p.client, Author: p.author, Location: p.location, Note: p.note, Date: p.date}
	if !math.IsNaN(p.elevation) {
		c.Elevation = &p.elevation
	}
	return c
}

// where begins a message about the site file, where there is one.
func (p *plan) where() string {
	if p.file == "" {
		return ""
	}
	return p.file + ": "
}

func newPlan() *plan {
	return &plan{
		elevation: math.NaN(),
		study:     sim.Defaults(),
	}
}

// finish checks that nothing is missing and fills the grid.
func (o *options) finish(p *plan) error {
	s := p.study
	if len(s.Roofs) == 0 {
		return misuse("give each with --roof, as in --roof \"140m2 metal\"", "%sno roof", p.where())
	}
	if !(sim.MeanDemand(s.Uses) > 0) {
		return misuse("give each with --use, as in --use 300L/day", "%sno use of water", p.where())
	}
	for i := range s.Roofs {
		if s.Roofs[i].Name == "" {
			s.Roofs[i].Name = "roof " + fmt.Sprint(i+1)
		}
	}
	for i := range s.Uses {
		if s.Uses[i].Name == "" {
			s.Uses[i].Name = "use " + fmt.Sprint(i+1)
		}
	}
	if s.Areas == nil {
		s.Areas = []float64{sim.TotalArea(s.Roofs)}
	}
	if s.Sizes == nil {
		unit := 1.0
		if p.system == units.US {
			unit = units.LPerGallon
		}
		s.Sizes = sim.PreferredSizes(sim.MeanDemand(s.Uses), unit)
	}
	if err := s.Check(); err != nil {
		return cannot("", "%s%v", p.where(), err)
	}
	return nil
}
