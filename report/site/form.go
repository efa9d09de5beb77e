package site

import (
	"fmt"
	"strings"

	"tankodds/report/units"
	"tankodds/report/words"
)

// FormPart is a part of the site file as a form asks for it.
type FormPart struct {
	Key     string // "" for the top
	Heading string
	Entry   string // what an entry is where it is a list, as in "a roof"
	Most    int    // entries
	Fields  []FormField
}

// FormField is one thing that a form asks for.
type FormField struct {
	Path    string // as of an Edit; of an entry of a list with # for its number
	Label   string
	Help    string // what it is, and what is taken where nothing is given
	Range   string // what it may be, "" where Help says it all
	Example string // to be shown where nothing is given
	Words   []string
	Must    bool
	File    bool // it names a file
	Long    bool // it is a list, which is long
	First   bool // asked of everybody; the others of who looks for them
}

// front are the fields that everybody is asked; all others are shown on demand.
var front = map[string]bool{
	"name": true, "rain.file": true,
	"roofs.name": true, "roofs.area": true, "roofs.surface": true, "roofs.first_flush": true,
	"uses.name": true, "uses.daily": true, "uses.days": true, "uses.monthly": true,
	"tank.sizes": true, "tank.prices": true, "tank.water_price": true, "tank.mains": true,
	"target.reliability": true, "target.measure": true,
}

// Form lists what a site file can hold, for who does not write one.
func Form(u units.System) []FormPart {
	var out []FormPart
	for _, s := range sections {
		heading, _, _ := strings.Cut(s.heading, ":")
		part := FormPart{Key: s.key, Heading: words.UpperFirst(heading), Entry: s.entry, Most: s.most}
		for _, p := range keysOf(s.key) {
			if p.Doc != "" {
				part.Fields = append(part.Fields, p.formField(u))
			}
		}
		out = append(out, part)
	}
	return out
}

// FlagFields are the flags of a command by those names as a form asks for them.
func FlagFields(c Commands, u units.System, names ...string) []FormField {
	var out []FormField
	for _, name := range names {
		p := Takes(name, c)
		f := p.formField(u)
		f.Path, f.Label = "--"+name, words.UpperFirst(strings.ReplaceAll(name, "-", " "))
		if p.Name != "" && name != "rain-scale" {
			f.Label = p.Label()
		}
		out = append(out, f)
	}
	return out
}

func (p *Parameter) formField(u units.System) FormField {
	f := FormField{Path: p.Key, Label: p.Label(), Help: words.UpperFirst(p.about()) + ".", Words: p.choices(), Must: p.Must, File: p.Files, First: front[p.Key], Range: p.rangeOf()}
	if p.each() {
		f.Path = p.section() + ".#." + p.name()
	}
	taken := p.taken(Size, u)
	switch {
	case p.Must:
		f.Help += " It must be given."
	case taken != "":
		f.Help += " Left empty: " + strings.TrimSuffix(taken, ".") + "."
	}
	switch f.Example = p.Example; {
	case u == units.US && p.US != "":
		f.Example = p.US
	case f.Example == "" && p.Without == "":
		f.Example = taken
	}
	switch p.name() {
	case "sizes", "prices", "offers", "monthly", "et0", "joined", "except", "note", "columns":
		f.Long = true
	}
	return f
}

// choices are the words of which one is chosen; none where more can be typed.
func (p *Parameter) choices() []string {
	if p.most > 0 {
		return nil
	}
	if p.name() == "surface" {
		return SurfaceNames()
	}
	return p.Words
}

// labels are what a form calls parameters whose names on a sheet need what stands
// there beside them.
var labels = map[string]string{
	"roofs.name": "Name", "uses.name": "Name", "uses.daily": "Water a day", "uses.monthly": "Water by the month", "uses.each": "Each of them wants",
	"tank.mains": "Beside the tank there is", "tank.mains_to": "Mains fill it up to", "tank.mains_rate": "Mains run in at", "roofs.pump": "Pump of the surge tank",
	"uses.area": "Area of a bed", "uses.holds": "Soil of the bed holds", "tank.sizes": "Sizes to try",
}

// Label is what a form calls the parameter.
func (p *Parameter) Label() string {
	if label := labels[p.Key]; label != "" {
		return label
	}
	if p.Name != "" && len(p.Name) < 34 {
		return words.UpperFirst(p.Name)
	}
	return words.UpperFirst(strings.ReplaceAll(p.name(), "_", " "))
}

// rangeOf says what the parameter may be.
func (p *Parameter) rangeOf() string {
	switch {
	case p.high > 0 && p.Words == nil:
		return fmt.Sprintf("A whole number from %s to %s.", p.bound(p.low), p.bound(p.high))
	case p.what != "" && p.kind == units.Share && p.read == nil:
		return fmt.Sprintf("A share from 0 to 1, such as %s.", p.kind.Example())
	case p.what != "" && !p.plain && p.read == nil:
		return fmt.Sprintf("With its unit: %s.", p.kind.Units())
	}
	return ""
}
