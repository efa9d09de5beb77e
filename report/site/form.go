package site

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/rainfall/read"
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

// Label is what a form calls the parameter.
func (p *Parameter) Label() string {
	if p.Name != "" && len(p.Name) < 34 {
		return words.UpperFirst(p.Name)
	}
	return words.UpperFirst(strings.ReplaceAll(p.name(), "_", " "))
}

// rangeOf says what the parameter may be.
func (p *Parameter) rangeOf() string {
	switch {
	case p.high > 0 && p.Words == nil:
		return fmt.Sprintf("A whole number from %s to %s.", words.Whole(p.low), words.Whole(p.high))
	case p.what != "" && p.kind == units.Share && p.read == nil:
		return fmt.Sprintf("A share from 0 to 1, such as %s.", p.kind.Example())
	case p.what != "" && !p.plain && p.read == nil:
		return fmt.Sprintf("With its unit: %s.", p.kind.Units())
	}
	return ""
}

// Value is what a site file holds in one place.
type Value struct {
	Text  string `json:"text"`  // as it stands there
	Shown string `json:"shown"` // the same in a system of units, to three digits
}

// Held lists what a site file holds, by the paths of Edit.
func Held(file string, text []byte, u units.System) (map[string]Value, error) {
	p := &Plan{File: file}
	root, err := p.parse(text)
	if err != nil {
		return nil, err
	}
	out := map[string]Value{}
	eachValue(root, func(path string, row *Parameter, n *yaml.Node) {
		v := Value{Text: held(n)}
		v.Shown = v.Text
		if row != nil {
			v.Shown = row.shown(resolve(n), u)
		}
		out[path] = v
	})
	return out, nil
}

// eachValue visits the values of a site file with their paths; row is nil for what
// is no key.
func eachValue(root *yaml.Node, visit func(path string, row *Parameter, n *yaml.Node)) {
	within := func(prefix, part string, m *yaml.Node) {
		m = resolve(m)
		if m.Kind != yaml.MappingNode {
			return
		}
		rows := map[string]*Parameter{}
		for _, p := range keysOf(part) {
			rows[p.name()] = p
		}
		for i := 0; i+1 < len(m.Content); i += 2 {
			if k := m.Content[i].Value; part != "" || findSection(k) == nil {
				visit(prefix+k, rows[k], m.Content[i+1])
			}
		}
	}
	within("", "", root)
	for _, s := range sections[1:] {
		switch at := value(root, s.key); {
		case at == nil:
		case s.most == 0:
			within(s.key+".", s.key, at)
		default:
			for i, entry := range resolve(at).Content {
				within(s.key+"."+strconv.Itoa(i)+".", s.key, entry)
			}
		}
	}
}

// quantities are numbers with units in a text.
var quantityIn = regexp.MustCompile(`[0-9][0-9.,  ]*(?: ?[a-zA-Z][a-zA-Z0-9²³/]*)`)

// shown is a value in a system of units: the quantities in it that are of another.
func (p *Parameter) shown(n *yaml.Node, u units.System) string {
	text := held(n)
	if p.what == "" || p.plain || p.kind == units.Share || p.kind == units.Price {
		return text
	}
	return quantityIn.ReplaceAllStringFunc(text, func(s string) string {
		q, err := units.Parse(p.kind, p.what, strings.TrimSpace(s))
		if err != nil || q.System == units.Unstated || q.System == u {
			return s
		}
		return p.kind.Typed(q.Value, u)
	})
}

// Problem is what is wrong with a site file, and where.
type Problem struct {
	Path string `json:"path"` // of the field; "" where it is about several
	Line int    `json:"line"` // of the file, 0 where not known
	Text string `json:"text"`
	Hint string `json:"hint"`
}

// Problems lists what is wrong with the values of a site file, each by itself, or
// else with all of it. It needs no record.
func Problems(file string, text []byte) []Problem {
	p := NewPlan(Size)
	p.File = file
	root, err := p.parse(text)
	if err != nil {
		return []Problem{problemOf(err, nil)}
	}
	var out []Problem
	at := map[string]int{}
	eachValue(root, func(path string, row *Parameter, n *yaml.Node) {
		at[path] = n.Line
		if row == nil || empty(n) {
			return
		}
		scratch := fresh(Size)
		scratch.File = file
		if err := row.take(scratch, given{node: n}); err != nil {
			x := problemOf(p.fileError(n, "", err), nil)
			x.Path = path
			out = append(out, x)
		}
	})
	if out != nil {
		return out
	}
	if _, err := PlanOf(Size, file, text, "", nil); err != nil {
		return []Problem{problemOf(err, at)}
	}
	return nil
}

// problemOf is an error as a problem; at has the lines of fields.
func problemOf(err error, at map[string]int) Problem {
	out := Problem{Text: err.Error()}
	var wrong *read.Error
	var slip *Misuse
	switch {
	case errors.As(err, &wrong):
		out.Text, out.Line, out.Hint = wrong.Text, wrong.Line, wrong.Hint
	case errors.As(err, &slip):
		out.Hint = slip.Hint
	}
	for path, line := range at {
		_, name, _ := strings.Cut("."+path, path[:max(0, strings.LastIndex(path, ".")+1)])
		if line == out.Line && line > 0 && strings.HasPrefix(out.Text, strings.TrimPrefix(name, ".")+": ") {
			out.Path = path
		}
	}
	return out
}

// SourceOf is the record that a site file names and how it is to be read, whatever
// is wrong with the rest of it.
func SourceOf(file string, text []byte) Source {
	p := NewPlan(Size)
	p.File = file
	root, err := p.parse(text)
	if err != nil {
		return p.Record
	}
	eachValue(root, func(_ string, row *Parameter, n *yaml.Node) {
		if row == nil || row.section() != "rain" || empty(n) {
			return
		}
		before := p.Record
		if err := row.take(At{Plan: p}, given{node: n}); err != nil {
			p.Record = before
		}
	})
	return p.Record
}

// SystemOf is the system of units that a site file and flags are printed in,
// whatever is wrong with them.
func SystemOf(file string, text []byte, flags []string) units.System {
	for _, f := range flags {
		if name, value, _ := strings.Cut(f, "="); name == "--units" {
			if value == "us" {
				return units.US
			}
			return units.SI
		}
	}
	p := NewPlan(Size)
	p.File = file
	if root, err := p.parse(text); err == nil {
		eachValue(root, func(_ string, row *Parameter, n *yaml.Node) {
			if row == nil || empty(n) {
				return
			}
			a := fresh(Size)
			if row.take(a, given{node: n}) == nil {
				for k := range p.votes {
					p.votes[k] += a.votes[k]
				}
			}
		})
	}
	return p.votes.system()
}

// WithoutFolders are the edits that call the records of a site file by their plain
// names, where those are known and the names with folders are not.
func WithoutFolders(file string, text []byte, known map[string]string) []Edit {
	p := &Plan{File: file}
	root, err := p.parse(text)
	if err != nil {
		return nil
	}
	plain := func(path string) string {
		base := path[strings.LastIndexAny(path, `/\`)+1:]
		if known[path] == "" && known[base] != "" {
			return base
		}
		return path
	}
	var out []Edit
	eachValue(root, func(path string, row *Parameter, n *yaml.Node) {
		if row == nil || !row.Files {
			return
		}
		n = resolve(n)
		switch n.Kind {
		case yaml.ScalarNode:
			if name := plain(n.Value); name != n.Value {
				out = append(out, Edit{path, name})
			}
		case yaml.SequenceNode:
			var names []string
			changed := false
			for _, x := range n.Content {
				name := plain(resolve(x).Value)
				changed = changed || name != resolve(x).Value
				names = append(names, strconv.Quote(name))
			}
			if changed {
				out = append(out, Edit{path, "[" + strings.Join(names, ", ") + "]"})
			}
		}
	})
	return out
}
