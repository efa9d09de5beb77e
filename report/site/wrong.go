package site

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// What is wrong with all that was asked, rather than with one value.

// about are the keys of a site file, or flags as in --price, that a fault is about, first
// those that would be mended.
type about []string

// wrong is a fault of what was asked. Where the site file asked it the error is of
// that file, and of the line of the first of the keys that stands there; what was
// typed is a Misuse.
func (p *Plan) wrong(keys about, format string, args ...any) error {
	err := fmt.Errorf(format, args...)
	if p.inFile(keys) {
		line := 0
		for _, key := range keys {
			line = cmp.Or(line, p.lines[key])
		}
		return &read.Error{File: p.File, Line: line, Text: err.Error()}
	}
	return misuse("", "%v", err)
}

// inFile says whether the site file asked what some keys stand for: there is one, and
// none of them was typed.
func (p *Plan) inFile(keys about) bool {
	for _, key := range keys {
		if p.typed[key] {
			return false
		}
	}
	return p.File != ""
}

// recordFlag finds a flag of how a record is read.
var recordFlag = regexp.MustCompile(`--(unit|station|columns|column|dates|absent|missing|since|water-year)\b`)

// Reading is an error of reading the records asked for. Where the site file names them,
// its hint is about that file.
func (p *Plan) Reading(err error) error {
	var bad *read.Error
	if p.File == "" || !errors.As(err, &bad) {
		return err
	}
	line := p.lines["rain.file"]
	for _, n := range p.Record.Near {
		if n.File == bad.File {
			line = p.lines["rain.neighbours"]
		}
	}
	if bad.File == p.Record.Second {
		line = p.lines["rain.fill_from"]
	}
	out := *bad
	flag := recordFlag.FindStringSubmatch(bad.Hint)
	switch {
	case line == 0: // it was typed
		return err
	case bad.Hint == read.GivePath:
		out.Hint = fmt.Sprintf("%s:%d names it; its path is seen from the folder of that file", p.File, line)
	case flag != nil:
		out.Hint += fmt.Sprintf("; in %s that is %s: below rain:", p.File, strings.ReplaceAll(flag[1], "-", "_"))
	}
	return &out
}

// example is what to write in the site file or, where that did not ask it, to type, in
// the units asked for or, where none are, in those that most was given in until now.
func (p *Plan) example(keys about, si, us, typedSI, typedUS string) string {
	if !p.inFile(keys) {
		si, us = typedSI, typedUS
	}
	if cmp.Or(p.Units, p.votes.system()) == units.US {
		return us
	}
	return si
}

// missing names in one line what must be given and is not, with what to write.
func (p *Plan) missing() error {
	var no, as []string
	want := func(missing bool, what, example string) {
		if missing {
			no, as = append(no, what), append(as, example)
		}
	}
	want(p.Record.File == "" && !p.Record.Embedded, "no rain record", p.example(nil, "rain: {file: rain.csv}", "rain: {file: rain.csv}", "--rain FILE", "--rain FILE"))
	want(len(p.Study.Roofs) == 0, "no roof", p.example(nil, "roofs: [{area: 140 m2, surface: metal}]", "roofs: [{area: 1500 sqft, surface: metal}]", `--roof "140m2 metal"`, `--roof "1500sqft metal"`))
	want(!(sim.MeanDemand(p.Study.Uses) > 0), "no use of water", p.example(nil, "uses: [{daily: 300 L}]", "uses: [{daily: 80 gal}]", "--use 300L/day", "--use 80gal/day"))
	if no == nil {
		return nil
	}
	them, and := "them", " "
	if len(no) == 1 {
		them = "it"
	}
	if p.File != "" { // each has a line of its own there
		and = " and "
	}
	return p.wrong(nil, "%s; give %s, as in %s", words.Join(no, "and"), them, strings.Join(as, and))
}

// mostArea is a plan area, m², that gives as much on the wettest day ever measured as
// can be reckoned with: six square kilometres.
const mostArea = sim.MostTank / read.MaxDaily

// checkReach wants uses, tanks and roofs that can be reckoned with.
func (p *Plan) checkReach() error {
	s, u := p.Study, p.Units
	if d := sim.MeanDemand(s.Uses); !(d >= sim.LeastDemand && d < sim.MostDemand) {
		return p.wrong(about{"uses.0", "--use"}, "the uses want %s; from %s to %s can be reckoned with", u.Flow(d), u.Flow(sim.LeastDemand), u.Flow(sim.MostDemand))
	}
	sizes := about{"tank.sizes", "tank.joined", "tank.prices", "tank.offers", "--price"}
	for _, size := range s.Sizes {
		if !(size < sim.MostTank) {
			return p.wrong(sizes, "a tank of %s is asked about; below %s can be reckoned with", u.Volume(size), u.Volume(sim.MostTank))
		}
	}
	for _, area := range append([]float64{sim.TotalArea(s.Roofs)}, s.Areas...) {
		if !(area < mostArea) {
			return p.wrong(about{"roofs.0", "--roof", "--roofs"}, "roofs of %s are asked about; below %s can be reckoned with", u.Area(area), u.Area(mostArea))
		}
	}
	if most := sim.TotalArea(s.Roofs) * read.MaxDaily; s.Detain > most {
		return p.wrong(about{"tank.detain"}, "%s detained above the store are more than these roofs can give in a day: %s in the wettest ever measured", u.Volume(s.Detain), u.Volume(most))
	}
	for _, size := range s.Sizes {
		if !(s.Usable(size) > 0) {
			return p.wrong(append(about{"tank.dead", "tank.reserve"}, sizes...), "a tank of %s holds no more than the dead storage and the reserve in it; name larger ones", u.Volume(size))
		}
	}
	return nil
}
