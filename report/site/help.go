package site

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/report/units"
	"tankodds/report/words"
)

// plain is what a parameter is, without the marks of its value's word, which
// is in small letters unless it is a sign of one or two.
func (p *Parameter) about() string {
	before, word, after := p.parts()
	if len(word) > 2 {
		word = strings.ToLower(word)
	}
	return before + word + after
}

// parts cuts what a parameter is at its value's word.
func (p *Parameter) parts() (before, word, after string) {
	parts := strings.SplitN(p.Doc, "`", 3)
	if len(parts) < 3 {
		return p.Doc, "", ""
	}
	return parts[0], parts[1], parts[2]
}

// Keys lists the keys of a site file with what they are and, behind a dash,
// what is taken where one is left out.
func Keys(width int) string {
	const indent = 16
	var b strings.Builder
	for _, s := range sections {
		fmt.Fprintf(&b, "%s\n\n", s.heading)
		for _, p := range keysOf(s.key) {
			if p.Doc == "" { // kept for what is not read yet
				continue
			}
			taken := p.taken(Size, units.SI)
			switch {
			case p.Must:
				taken = "must be given"
			case taken == "":
				taken = "none"
			}
			fmt.Fprintf(&b, "  %-*s%s\n", indent-2, p.name(), words.Hang(indent, width, p.about()+" – "+taken))
		}
		b.WriteString("\n")
	}
	return strings.TrimSuffix(b.String(), "\n\n")
}

// File is the site file to start from, in a system of units: the demo's, each
// key with what it is, and the others left out beside it. It runs as written.
func File(u units.System) string {
	demo := demoSI
	area, volume, depth := "180 m2 or 1900 sqft", "120 L or 32 gal", "0.5 mm or 0.02 in"
	if u == units.US {
		demo = demoUS
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(demo, &doc); err != nil {
		panic(err) // which a test would have seen
	}
	w := &writer{units: u, root: doc.Content[0]}
	fmt.Fprintf(&w.b, `# A site for tankodds. It runs as written:
#
#   tankodds size %s
#
# Place, people and prices are invented; put your own in their place. Every
# quantity carries its unit: %s, %s, %s.
# A line that begins with # is left out; what is then taken stands in it, or
# behind it. "tankodds help site" lists every key.

`, FileName, area, volume, depth)
	for _, s := range sections {
		w.section(s)
	}
	return strings.TrimRight(w.b.String(), "\n") + "\n"
}

// writer writes a site file.
type writer struct {
	b     strings.Builder
	units units.System
	root  *yaml.Node
}

// Where what a key is begins, and where a line ends.
const (
	told      = 36
	fileWidth = 92
)

func (w *writer) section(s *section) {
	at, indent := w.root, ""
	if s.key != "" {
		at, indent = value(w.root, s.key), "  "
		head := s.key + ":"
		if at == nil {
			head = "# " + head
		}
		_, about, _ := strings.Cut(s.heading, ": ")
		w.line("", head, about)
	}
	if s.most > 0 {
		for i, entry := range at.Content {
			w.part(s, entry, indent+"- ", i == 0)
		}
	} else {
		w.part(s, at, indent, true)
	}
	w.b.WriteString("\n")
}

// part writes the keys of a part or of an entry of one; all of them, or only
// those that it holds.
func (w *writer) part(s *section, n *yaml.Node, first string, all bool) {
	for _, p := range keysOf(s.key) {
		at := value(n, p.name())
		if p.Doc == "" || at == nil && !all {
			continue
		}
		w.key(p, at, first)
		first = strings.ReplaceAll(first, "-", " ")
	}
}

// key writes a key: with its value, or left out with what is then taken or,
// where that is no value, with an example or the value's word.
func (w *writer) key(p *Parameter, at *yaml.Node, first string) {
	_, word, _ := p.parts()
	taken, about := p.taken(Size, w.units), p.about()
	text := p.name() + ": "
	switch {
	case at != nil:
		text += written(at)
	case p.Example != "":
		example := p.Example
		if w.units == units.US && p.US != "" {
			example = p.US
		}
		text = "# " + text + example
	case p.Without == "" && taken != "":
		text, taken = "# "+text+taken, ""
	default:
		text = "# " + text + word
	}
	if taken != "" {
		about += "; else " + taken
	}
	w.line(first, text, about)
}

// line writes a line with what it is about behind it, or above it where there
// is no room.
func (w *writer) line(first, text, about string) {
	indent := strings.ReplaceAll(first, "-", " ")
	comment := func(at int) string {
		return strings.ReplaceAll(words.Hang(at, fileWidth-2, about), "\n"+strings.Repeat(" ", at), "\n"+strings.Repeat(" ", at)+"# ")
	}
	switch {
	case about == "":
		w.b.WriteString(first + text + "\n")
	case len([]rune(first+text)) < told:
		fmt.Fprintf(&w.b, "%-*s# %s\n", told, first+text, comment(told))
	default:
		fmt.Fprintf(&w.b, "%s# %s\n%s%s\n", indent, comment(len(indent)), first, text)
	}
}

// value returns the value of a key, nil where there is none.
func value(n *yaml.Node, key string) *yaml.Node {
	if n == nil {
		return nil
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}

// written is a value as it stands in the demo.
func written(n *yaml.Node) string {
	var parts []string
	switch n.Kind {
	case yaml.SequenceNode:
		for _, item := range n.Content {
			parts = append(parts, written(item))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			parts = append(parts, n.Content[i].Value+": "+written(n.Content[i+1]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return n.Value
}
