package site

import (
	"reflect"
	"strings"

	"tankodds/report/units"
	"tankodds/sim"
)

// Commands is a set of commands that take parameters.
type Commands uint

// The commands that take parameters.
const (
	Size Commands = 1 << iota
	Replay
	Compare
	Synth
	Backtest
	Record
	New
	Recheck
	Report
	Cite
	Page
)

// The sets that several parameters share.
const (
	answers = Size | Compare
	studies = answers | Replay
	readers = studies | Synth | Backtest | Record | Cite
)

// Parameter is one thing that can be asked: a row of the table.
type Parameter struct {
	// Flag is its name on the command line, and For the commands that have it.
	// Several rows may have one flag, each for other commands.
	Flag string
	For  Commands
	// Key is its place in the site file: "tank.dead", or "name" at the top.
	Key string

	// Doc says what it is, the word for its value in backquotes, as in "tank
	// `SIZES` to try". Help, the site file and the completions print it.
	Doc string
	// Example is a value to be typed, for hints and where the site file that
	// new writes leaves the key out.
	Example string
	US      string // the same for who reads in gallons, where it differs
	// Without says what is taken where it is not given and that is no value,
	// as in "the surface's own".
	Without string
	// Default is what its commands take instead of the value in a new plan,
	// as typed.
	Default string
	// Must says that it has to be given.
	Must bool
	// When says whether a plan rests on the parameter; nil where all do.
	When func(*Plan) bool

	// Name is what the sheet calls it, "" where its value is no assumption or
	// stands with another's; Note follows the value there, and Source says
	// where it comes from while it is the one taken by default.
	Name, Note, Source string

	// field points to what the row sets; its type says how it is read.
	field func(At) any
	// A quantity has a kind and is named with its article, as in "a tank
	// size"; it may have to be above 0, and be shown as a plain number.
	kind          units.Kind
	what          string
	above0, plain bool
	// A whole number lies from low to high, a text has so many letters at most.
	low, high, most int
	// orNone says that what is empty stands for none, which cannot be typed.
	orNone bool
	// Words are those that it may be, in the order of their values; Files and
	// Folders say that it is one.
	Words          []string
	Files, Folders bool
	// read reads what the type alone does not tell, limit checks it further,
	// and say words it for the sheet.
	read  func(At, given) error
	limit func(At) error
	say   func(At, units.System) string
}

// At is where parameters are set: a plan and, for those of roofs and uses, one
// of them.
type At struct {
	*Plan
	Roof *sim.Roof
	Use  *sim.Use
}

// costs are the site's costs, which begin to be with the first key of them.
func (a At) costs() *sim.Costs {
	if a.Study.Costs == nil {
		a.Study.Costs = &sim.Costs{Life: sim.DefaultLife, Discount: sim.DefaultDiscount}
	}
	return a.Study.Costs
}

// fresh is where every parameter has the value taken where it is not given.
func fresh(c Commands) At {
	r := sim.NewRoof(0)
	return At{NewPlan(c), &r, &sim.Use{}}
}

// section returns the key of the part of the site file that holds the
// parameter, "" for its top, and name its key within it.
func (p *Parameter) section() string {
	section, _ := p.cut()
	return section
}

func (p *Parameter) name() string {
	_, name := p.cut()
	return name
}

func (p *Parameter) cut() (section, name string) {
	section, name, ok := strings.Cut(p.Key, ".")
	if !ok {
		return "", p.Key
	}
	return section, name
}

// each says whether the parameter is one of every roof or use.
func (p *Parameter) each() bool {
	s := findSection(p.section())
	return s != nil && s.most > 0
}

// IsDefault says whether the parameter has the value there that is taken where
// it is not given.
func (p *Parameter) IsDefault(a At) bool {
	value := func(a At) any { return reflect.ValueOf(p.field(a)).Elem().Interface() }
	return reflect.DeepEqual(value(a), value(fresh(a.Command)))
}

// taken says what is taken where the parameter is not given, "" where nothing
// is.
func (p *Parameter) taken(c Commands, s units.System) string {
	switch {
	case p.Without != "":
		return p.Without
	case p.Default != "":
		return p.Default
	case p.field == nil || p.Must:
		return ""
	}
	return p.typed(fresh(c), s)
}

// flagsOf lists the parameters that are flags of a command, in order.
func flagsOf(c Commands) []*Parameter {
	seen := map[string]bool{}
	var out []*Parameter
	for _, p := range Table {
		if p.For&c != 0 && p.Flag != "" && !seen[p.Flag] {
			seen[p.Flag] = true
			out = append(out, p)
		}
	}
	return out
}

// keysOf lists the parameters that a part of the site file holds, in order.
func keysOf(section string) []*Parameter {
	var out []*Parameter
	for _, p := range Table {
		if p.Key != "" && p.section() == section {
			out = append(out, p)
		}
	}
	return out
}

// switchWords are those of a flag without a value.
var switchWords = []string{"true", "false"}

// IsSwitch says whether a flag has no value.
func (p *Parameter) IsSwitch() bool { return len(p.Words) > 0 && p.Words[0] == switchWords[0] }
