package site

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"tankodds/report/units"
	"tankodds/sim"
)

// Asked is what was typed as flags of a command.
type Asked struct {
	command Commands
	flags   []*typedFlag
}

// typedFlag keeps the texts of a flag as they were typed: they are read when
// all else is known.
type typedFlag struct {
	row   *Parameter
	texts []string
}

func (f *typedFlag) String() string { return strings.Join(f.texts, ",") }

// Set is called once each time that the flag is typed.
func (f *typedFlag) Set(text string) error {
	f.texts = append(f.texts, text)
	return nil
}

func (f *typedFlag) Type() string {
	if f.row.IsSwitch() {
		return "bool"
	}
	return "string"
}

// Flags adds the flags of a command.
func Flags(fs *pflag.FlagSet, c Commands) *Asked {
	a := &Asked{command: c}
	for _, row := range flagsOf(c) {
		f := &typedFlag{row: row}
		a.flags = append(a.flags, f)
		added := fs.VarPF(f, row.Flag, "", row.usage(c))
		if row.IsSwitch() {
			added.NoOptDefVal = "true"
		}
	}
	return a
}

// usage is what help says of a flag, its value in backquotes.
func (p *Parameter) usage(c Commands) string {
	out := p.Doc
	if p.each() {
		out += ", of every " + strings.TrimSuffix(p.section(), "s")
	}
	taken := p.taken(c, units.SI)
	switch {
	case taken == "":
	case p.Without != "":
		out += "; without it " + taken
	default:
		out += " (" + strings.ReplaceAll(taken, " ", "") + ")"
	}
	return out
}

// Given says whether one of some flags was typed.
func (a *Asked) Given(names ...string) bool {
	for _, f := range a.flags {
		for _, name := range names {
			if f.row.Flag == name && f.texts != nil {
				return true
			}
		}
	}
	return false
}

// Beside names the first flag typed that is none of some, "" where all are.
func (a *Asked) Beside(names ...string) string {
	for _, f := range a.flags {
		if f.texts != nil && !slices.Contains(names, f.row.Flag) {
			return f.row.Flag
		}
	}
	return ""
}

// Empty names the first flag that was given an empty value, "" for none: it is
// a variable that was not set, and never meant.
func (a *Asked) Empty() string {
	for _, f := range a.flags {
		for _, text := range f.texts {
			if strings.TrimSpace(text) == "" {
				return f.row.Flag
			}
		}
	}
	return ""
}

// Takes returns what a flag of a command is, nil where it has none of that
// name.
func Takes(flag string, c Commands) *Parameter {
	for _, p := range flagsOf(c) {
		if p.Flag == flag {
			return p
		}
	}
	return nil
}

// Options returns what the flags ask for by themselves: how the work is done,
// and all that a command without a site asks.
func (a *Asked) Options() (*Plan, error) {
	p := NewPlan(a.command)
	return p, a.set(p)
}

// Plan merges what is taken where nothing is said, the site file and the
// flags. A record that is named takes the place of the file's. With neither a
// site file nor a record, a roof or a use it is the demo.
func (a *Asked) Plan(file, record string) (*Plan, error) {
	p := NewPlan(a.command)
	switch {
	case file != "":
		if err := p.readFile(file); err != nil {
			return nil, err
		}
	case record == "" && !a.Given("rain", "roof", "use"):
		if err := p.demo(); err != nil {
			return nil, err
		}
	}
	if record != "" {
		p.Record.replace(record)
	}
	return p, a.over(p)
}

// PlanOf is the plan of the text of a site file and of flags as they are typed; the
// file is as if it lay where the command is run. A record that is named takes the
// place of the file's.
func PlanOf(c Commands, file string, text []byte, record string, flags []string) (*Plan, error) {
	fs := pflag.NewFlagSet("", pflag.ContinueOnError)
	fs.SetOutput(io.Discard)
	a := Flags(fs, c)
	if err := fs.Parse(flags); err != nil {
		return nil, misuse("", "%v", err)
	}
	p := NewPlan(c)
	if err := p.decode(file, text); err != nil {
		return nil, err
	}
	if record != "" {
		p.Record.replace(record)
	}
	return p, a.over(p)
}

// over lays the flags over a plan and finishes it.
func (a *Asked) over(p *Plan) error {
	if a.Given("price") { // they are of other tanks than the site file's
		p.Study.Sizes = nil
	}
	if err := a.set(p); err != nil {
		return err
	}
	return p.finish()
}

// set applies the flags to a plan, those of each roof or use last: by then all
// of them are there.
func (a *Asked) set(p *Plan) error {
	for _, each := range []bool{false, true} {
		if s := p.Study; each && len(s.Roofs) == 0 && len(s.Areas) > 0 { // the middle of the range stands for the site
			s.Roofs = []sim.Roof{sim.NewRoof(s.Areas[len(s.Areas)/2])}
		}
		for _, f := range a.flags {
			switch {
			case f.row.each() != each:
				continue
			case f.texts != nil:
			case f.row.Default != "":
				f = &typedFlag{row: f.row, texts: []string{f.row.Default}}
			default:
				continue
			}
			for _, at := range p.places(f.row) {
				if err := f.row.take(at, given{texts: f.texts}); err != nil {
					return f.row.flagError(err)
				}
			}
			if a.Given(f.row.Flag) {
				p.wasTyped(f.row)
			}
		}
	}
	return nil
}

// wasTyped notes that a flag was: what the site file says of the same counts no more.
func (p *Plan) wasTyped(row *Parameter) {
	p.typed["--"+row.Flag] = true
	if row.Key != "" {
		p.typed[row.Key] = true
	}
	delete(p.lines, row.Key)
	for key := range p.lines {
		if (row.Flag == "roof" || row.Flag == "use") && strings.HasPrefix(key, row.Flag+"s.") {
			delete(p.lines, key)
		}
	}
}
