package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/sim"
)

// What a study takes where neither the site file nor a flag says.
const (
	defaultSeed   = 1
	defaultTarget = 0.9
)

// plan is everything that was asked, merged from the defaults, the site file
// and the flags, each overriding the one before.
type plan struct {
	file                                 string // the site file, "" where there is none
	name, client, author, note, location string
	elevation                            float64 // m, NaN where unknown

	study     *sim.Study
	rain      rainOptions
	generator rainfall.Generator
	system    units.System // SI or US, of everything printed
	typed     ballot       // the systems of the quantities typed
}

// rainOptions says which record to read and how.
type rainOptions struct {
	rainfall.ReadOptions
	file      string     // "-" is standard input; "" with demo
	demo      bool       // the embedded record
	waterYear time.Month // 0 for the month after the driest half-year
	since     int        // the first calendar year used; 0 for all
}

// read reads the record, from the year since on.
func (r rainOptions) read(stdin io.Reader) (*rainfall.Record, error) {
	rec, err := r.readAll(stdin)
	if err != nil || r.since == 0 {
		return rec, err
	}
	return rec.Since(r.since)
}

// series reads the record and fills the holes of its usable water years.
func (r rainOptions) series(stdin io.Reader) (*rainfall.Record, *rainfall.Series, error) {
	rec, err := r.read(stdin)
	if err != nil {
		return nil, nil, err
	}
	start := r.waterYear
	if start == 0 {
		start = rec.StartMonth()
	}
	s, err := rec.Fill(start)
	return rec, s, err
}

func (r rainOptions) readAll(stdin io.Reader) (*rainfall.Record, error) {
	switch {
	case r.demo:
		rec, err := rainfall.Read(demoRainName, demoCSV, rainfall.ReadOptions{})
		if err == nil {
			rec.Place = demoName
		}
		return rec, err
	case r.file == "-":
		b, err := io.ReadAll(stdin)
		if err != nil {
			return nil, &rainfall.ReadError{File: "-", Text: "standard input cannot be read: " + err.Error()}
		}
		return rainfall.Read("-", b, r.ReadOptions)
	}
	return rainfall.ReadFile(r.file, r.ReadOptions)
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
		if err := p.decodeSite("demo.yaml", []byte(siteTemplate)); err != nil {
			return nil, err
		}
		p.rain.demo, p.rain.file = true, ""
	}
	for _, step := range []func(*plan) error{o.overrideRain, o.overrideSite, o.overrideStore, o.overrideQuestion, o.finish} {
		if err := step(p); err != nil {
			return nil, err
		}
	}
	return p, nil
}

func newPlan() *plan {
	return &plan{
		elevation: math.NaN(),
		study: &sim.Study{
			Target:      defaultTarget,
			Years:       sim.DefaultYears,
			Seed:        defaultSeed,
			RecordError: true,
			Replicates:  sim.DefaultReplicates,
			Horizon:     sim.DefaultHorizon,
			Level:       sim.DefaultLevel,
			GainStep:    sim.DefaultGainStep,
			GainStop:    sim.DefaultGainStop,
		},
	}
}

// overrideRain applies the flags about the record. What the site file says of
// its own rain file is not carried over to another.
func (o *options) overrideRain(p *plan) (err error) {
	r := &p.rain
	if o.rain != "" {
		*r = rainOptions{file: o.rain, waterYear: r.waterYear, since: r.since}
	}
	if r.file == "" && !r.demo {
		return misuse("give it with --rain FILE", "no rain record")
	}
	return o.readOptions(r)
}

// readOptions applies the flags about reading to r; for commands that take
// their records as arguments.
func (o *options) readOptions(r *rainOptions) (err error) {
	r.Unit = cmp.Or(o.unit, r.Unit)
	r.Station = cmp.Or(o.station, r.Station)
	r.Column = cmp.Or(o.column, r.Column)
	r.Dates = cmp.Or(o.dates, r.Dates)
	if r.Unit, err = parseRainUnit(r.Unit); err != nil {
		return misuse("", "--unit: %v", err)
	}
	if !slices.Contains([]string{"", "dmy", "mdy"}, r.Dates) {
		return misuse("", "--dates %s is neither dmy nor mdy", r.Dates)
	}
	if o.waterYear != "" {
		if r.waterYear, err = parseMonth(o.waterYear); err != nil {
			return misuse("", "--water-year: %v", err)
		}
	}
	if o.given("since") {
		if r.since = o.since; o.since < 1 || o.since > 9999 {
			return misuse("", "--since %d is no year", o.since)
		}
	}
	return nil
}

// parseRainUnit reads the unit that a rain file holds; "" is the format's own.
func parseRainUnit(s string) (string, error) {
	switch u := strings.ToLower(strings.ReplaceAll(s, " ", "")); u {
	case "", "mm", "in", "0.1mm":
		return u, nil
	case "inch", "inches":
		return "in", nil
	}
	return "", fmt.Errorf("%q is none of mm, in and 0.1mm", s)
}

// overrideSite applies the flags about roofs and uses.
func (o *options) overrideSite(p *plan) error {
	s := p.study
	if len(o.roofs) > 0 {
		s.Roofs = nil
	}
	for _, text := range o.roofs {
		r, system, err := parseRoof(text)
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
	if o.generator != "" || p.generator.Name == "" {
		if p.generator, err = rainfall.FindGenerator(o.generator); err != nil {
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

// finish checks that nothing is missing and fills the grid.
func (o *options) finish(p *plan) error {
	s, where := p.study, ""
	if p.file != "" {
		where = p.file + ": "
	}
	if len(s.Roofs) == 0 {
		return misuse("give each with --roof, as in --roof \"140m2 metal\"", "%sno roof", where)
	}
	if !(sim.MeanDemand(s.Uses) > 0) {
		return misuse("give each with --use, as in --use 300L/day", "%sno use of water", where)
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
		s.Sizes = defaultSizes(sim.MeanDemand(s.Uses), p.system)
	}
	if err := s.Check(); err != nil {
		return cannot("", "%s%v", where, err)
	}
	return nil
}

// r10 is the basic series of preferred numbers R10 (ISO 3, from memory,
// unverified), in hundredths.
var r10 = [...]float64{100, 125, 160, 200, 250, 315, 400, 500, 630, 800}

// defaultSizes lists the preferred numbers, in L or gal, from about 2 to
// about 400 days of mean use (L a day): at least 23 sizes.
func defaultSizes(use float64, system units.System) []float64 {
	unit := 1.0
	if system == units.US {
		unit = units.LPerGallon
	}
	var sizes []float64
	for decade := -6; decade <= 12; decade++ {
		for i, r := range r10 {
			next := r10[(i+1)%len(r10)] * math.Pow10(decade-2)
			if i == len(r10)-1 {
				next *= 10
			}
			if next*unit <= 2*use {
				continue
			}
			sizes = append(sizes, r*math.Pow10(decade-2)*unit)
			if sizes[len(sizes)-1] >= 400*use {
				return sizes
			}
		}
	}
	return sizes
}

// beside returns a path that a file at site names, relative to its folder.
func beside(site, path string) string {
	if path == "-" || filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(filepath.Dir(site), path)
}
