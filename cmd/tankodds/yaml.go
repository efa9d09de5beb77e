package main

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"tankodds/rainfall/read"
	"tankodds/report/units"
)

// yamlFile reads a YAML document strictly: every key must be known and stand
// once, and every error names its line.
type yamlFile struct {
	name  string
	typed *ballot // counts the systems of the quantities read
}

// key is one key of a mapping and what reads its value.
type key struct {
	name string
	read func(*yaml.Node) error
}

func (f yamlFile) fail(n *yaml.Node, format string, args ...any) error {
	return &read.Error{File: f.name, Line: n.Line, Text: fmt.Sprintf(format, args...)}
}

var yamlLine = regexp.MustCompile(`^(?:yaml: )?(?:line (\d+): )?(.*)$`)

// parse returns the document's root mapping.
func (f yamlFile) parse(data []byte) (*yaml.Node, error) {
	dec := yaml.NewDecoder(strings.NewReader(string(data)))
	var doc, more yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if err.Error() == "EOF" {
			return nil, &read.Error{File: f.name, Text: "the site file is empty", Hint: "tankodds new writes one to start from"}
		}
		m := yamlLine.FindStringSubmatch(oneLine(err.Error()))
		line, _ := strconv.Atoi(m[1])
		return nil, &read.Error{File: f.name, Line: line, Text: "not YAML: " + m[2], Hint: "tankodds new writes a site file to compare with"}
	}
	if dec.Decode(&more) == nil {
		return nil, f.fail(&more, "a second document begins here; a site file holds one")
	}
	return doc.Content[0], nil
}

// mapping reads a mapping by its keys. where names it, as in "a roof".
func (f yamlFile) mapping(n *yaml.Node, where string, keys []key) error {
	n = resolve(n)
	if n.Kind != yaml.MappingNode {
		return f.fail(n, "%s is written as keys and values: %s", where, keyNames(keys))
	}
	seen := map[string]int{}
	for i := 0; i < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		pick := find(keys, k.Value)
		if pick == nil {
			err := f.fail(k, "unknown key %q; keys here are %s", k.Value, keyNames(keys)).(*read.Error)
			var names []string
			for _, x := range keys {
				names = append(names, x.name)
			}
			if near := nearest(k.Value, names); near != "" {
				err.Hint = "did you mean " + near
			}
			return err
		}
		if line, twice := seen[k.Value]; twice {
			return f.fail(k, "%s stands twice, first on line %d", k.Value, line)
		}
		seen[k.Value] = k.Line
		if empty(v) {
			return f.fail(k, "%s has no value; give one or leave the key out", k.Value)
		}
		if err := pick(v); err != nil {
			return err
		}
	}
	return nil
}

func find(keys []key, name string) func(*yaml.Node) error {
	for _, k := range keys {
		if k.name == name {
			return k.read
		}
	}
	return nil
}

func keyNames(keys []key) string {
	var names []string
	for _, k := range keys {
		names = append(names, k.name)
	}
	return strings.Join(names, ", ")
}

// resolve follows an alias to what it stands for.
func resolve(n *yaml.Node) *yaml.Node {
	if n.Kind == yaml.AliasNode {
		return n.Alias
	}
	return n
}

func empty(n *yaml.Node) bool {
	n = resolve(n)
	return n.Kind == yaml.ScalarNode && strings.TrimSpace(n.Value) == "" || n.Tag == "!!null" || n.Kind != yaml.ScalarNode && len(n.Content) == 0
}

// list calls read for each entry of a sequence of at most so many.
func (f yamlFile) list(n *yaml.Node, what string, most int, read func(*yaml.Node) error) error {
	n = resolve(n)
	if len(n.Content) > most && n.Kind == yaml.SequenceNode {
		return f.fail(n, "%s has %s entries; it may have %s", what, units.Fixed(float64(len(n.Content)), 0), units.Fixed(float64(most), 0))
	}
	if n.Kind != yaml.SequenceNode {
		return f.fail(n, "%s is a list; begin each entry with \"- \" or write [one, two]", what)
	}
	for _, item := range n.Content {
		if err := read(item); err != nil {
			return err
		}
	}
	return nil
}

// scalar returns the text of a single value.
func (f yamlFile) scalar(n *yaml.Node, what string) (string, error) {
	n = resolve(n)
	if n.Kind != yaml.ScalarNode {
		return "", f.fail(n, "%s is a single value", what)
	}
	return n.Value, f.bounded(n, what, n.Value, mostValue)
}

// How many letters a text may have: it is printed on a page that is to be
// read, over and over in tables.
const (
	mostName  = 100 // of a roof, a use, a station or a column, and a currency
	mostTitle = 200 // of the site and its people and place
	mostNote  = 2000
	mostValue = 20_000 // a value of any kind: a list of sizes is long
)

func (f yamlFile) bounded(n *yaml.Node, what, text string, most int) error {
	if long := utf8.RuneCountInString(text); long > most {
		return f.fail(n, "%s has %s letters; it may have %s", what, units.Fixed(float64(long), 0), units.Fixed(float64(most), 0))
	}
	return nil
}

// text makes the reader of a text of at most so many letters, which becomes
// one line.
func (f yamlFile) text(what string, most int, dst *string) func(*yaml.Node) error {
	return func(n *yaml.Node) (err error) {
		if *dst, err = f.scalar(n, what); err != nil {
			return err
		}
		*dst = oneLine(*dst)
		return f.bounded(n, what, *dst, most)
	}
}

// parsed makes the reader of a single value that set understands.
func (f yamlFile) parsed(what string, set func(string) error) func(*yaml.Node) error {
	return func(n *yaml.Node) error {
		s, err := f.scalar(n, what)
		if err != nil {
			return err
		}
		if err := set(s); err != nil {
			return f.fail(n, "%v", err)
		}
		return nil
	}
}

// quantity makes the reader of a quantity with its unit.
func (f yamlFile) quantity(kind units.Kind, what string, dst *float64) func(*yaml.Node) error {
	return f.parsed(what, func(s string) error {
		q, err := units.Parse(kind, what, s)
		*dst = q.Value
		f.typed.add(q.System)
		return err
	})
}

// whole makes the reader of a whole number within bounds.
func (f yamlFile) whole(what string, low, high int, dst *int) func(*yaml.Node) error {
	return f.parsed(what, func(s string) (err error) {
		if *dst, err = strconv.Atoi(s); err != nil || *dst < low || *dst > high {
			return fmt.Errorf("%s %q is not a whole number from %d to %d", what, s, low, high)
		}
		return nil
	})
}
