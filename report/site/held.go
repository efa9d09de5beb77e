package site

import (
	"errors"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/rainfall/read"
	"tankodds/report/units"
)

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
		number, unit, _ := strings.Cut(p.kind.Typed(q.Value, u), " ")
		x, err := strconv.ParseFloat(number, 64)
		if err != nil {
			return s
		}
		x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
		return strconv.FormatFloat(x, 'f', -1, 64) + " " + unit
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
