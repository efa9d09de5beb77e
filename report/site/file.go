package site

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/rainfall/read"
	"tankodds/sim"
)

// section is a part of the site file.
type section struct {
	key     string // "" for the top
	heading string // of help
	most    int    // how many entries it has, where it is a list
	entry   string // what one of them is
	// add makes a new entry, and entries lists those there are.
	add     func(*Plan) At
	entries func(*Plan) []At
	// check finds what is wrong with the whole of a part; stands has the nodes
	// of its keys.
	check func(a At, whole given, stands map[string]*yaml.Node) error
}

// sections lists the parts of the site file, in order.
var sections = []*section{
	{key: "", heading: "About the sheet"},
	{key: "rain", heading: "rain: the record; its path is seen from the site file"},
	{
		key: "roofs", heading: "roofs: a list, one entry a catchment", most: sim.MostRoofs, entry: "a roof",
		add: func(p *Plan) At {
			p.Study.Roofs = append(p.Study.Roofs, sim.NewRoof(0))
			return At{Plan: p, Roof: &p.Study.Roofs[len(p.Study.Roofs)-1]}
		},
		entries: func(p *Plan) (out []At) {
			for i := range p.Study.Roofs {
				out = append(out, At{Plan: p, Roof: &p.Study.Roofs[i]})
			}
			return out
		},
		check: func(a At, whole given, _ map[string]*yaml.Node) error {
			if a.Roof.Surge > 0 && a.Roof.Pump == 0 {
				return whole.fail("its surge tank has no pump; give the roof one, as in pump: 20 L/min")
			}
			if a.Roof.Area == 0 {
				return whole.fail("this roof has no area; give it, as in area: 140 m2")
			}
			return a.Roof.Check()
		},
	},
	{
		key: "uses", heading: "uses: a list, one entry a use; daily, people × each and monthly add up", most: sim.MostUses, entry: "a use",
		add: func(p *Plan) At {
			p.Study.Uses = append(p.Study.Uses, sim.Use{})
			return At{Plan: p, Use: &p.Study.Uses[len(p.Study.Uses)-1]}
		},
		entries: func(p *Plan) (out []At) {
			for i := range p.Study.Uses {
				out = append(out, At{Plan: p, Use: &p.Study.Uses[i]})
			}
			return out
		},
		check: func(a At, whole given, stands map[string]*yaml.Node) error {
			if n, days := stands["daily"], stands["days"]; n != nil && days != nil && longer.MatchString(n.Value) {
				return whole.fail("daily: %s is spread over all days, and days: names some; give what is drawn on each of them, as in daily: 50 L", short(n.Value))
			}
			if !(sim.MeanDemand([]sim.Use{*a.Use}) > 0) && a.Use.Bed == (sim.Bed{}) {
				return whole.fail("this use wants no water; give daily:, or people: and each:, or monthly:, or area: of a bed")
			}
			return nil
		},
	},
	{key: "tank", heading: "tank"},
	{key: "pumping", heading: "pumping: how surge tanks are pumped into the tank"},
	{key: "costs", heading: "costs: what a tank costs to run, beside its price"},
	{key: "target", heading: "target"},
	{key: "simulation", heading: "simulation"},
}

// longer ends a flow by more than the day.
var longer = regexp.MustCompile(`(?i)(/|per|a)\s*(week|wk|month|year|yr)s?\b`)

func findSection(key string) *section {
	i := slices.IndexFunc(sections, func(s *section) bool { return s.key == key })
	if i < 0 {
		return nil
	}
	return sections[i]
}

// keys lists the keys of a part of the site file; the top has the other parts
// too.
func (s *section) keys() []string {
	var out []string
	for _, p := range keysOf(s.key) {
		out = append(out, p.name())
	}
	if s.key == "" {
		for _, part := range sections[1:] {
			out = append(out, part.key)
		}
	}
	return out
}

// mostBytes bounds a site file; one is a page of text.
const mostBytes = 1 << 20

// ReadFile reads a site file and what it says, which may be wrong; only a file that
// cannot be read is an error.
func ReadFile(path string) (text []byte, p *Plan, err error) {
	p = NewPlan(Size)
	if text, err = p.text(path); err != nil {
		return nil, nil, err
	}
	p.File = path
	p.Record = SourceOf(path, text)
	return text, p, nil
}

// readFile reads the site file into the plan.
func (p *Plan) readFile(path string) error {
	data, err := p.text(path)
	if err != nil {
		return err
	}
	return p.decode(path, data)
}

// text reads the text of a site file.
func (p *Plan) text(path string) ([]byte, error) {
	if ext := strings.ToLower(filepath.Ext(path)); ext != ".yaml" && ext != ".yml" {
		return nil, misuse("a rain file is given with --rain "+path, "%s is not a site file, whose name ends in .yaml", path)
	}
	data, err := ReadPlain(path, mostBytes)
	if err != nil {
		hint := "tankodds new writes a site file to start from"
		if err == ErrTooLong {
			hint = "a rain file is given with --rain"
		}
		return nil, &read.Error{File: path, Text: "cannot be read: " + err.Error(), Hint: hint}
	}
	return data, nil
}

// decode reads the bytes of a site file into the plan, strictly: every key
// must be known and stand once. Its errors are *read.Error with the line.
func (p *Plan) decode(file string, data []byte) error {
	p.File = file
	root, err := p.parse(data)
	if err != nil {
		return err
	}
	return p.part(root, sections[0], At{Plan: p})
}

// fileError is an error about a node, of a key where one is named.
func (p *Plan) fileError(n *yaml.Node, key string, err error) error {
	out := &read.Error{File: p.File, Line: n.Line, Text: err.Error()}
	if f := (*fault)(nil); errors.As(err, &f) {
		out.Hint = f.hint
		if f.line > 0 {
			out.Line = f.line
		}
	}
	if key != "" {
		out.Text = key + ": " + out.Text
	}
	return out
}

// parse returns the document's root.
func (p *Plan) parse(data []byte) (*yaml.Node, error) {
	doc, err := p.document(data)
	if err != nil {
		return nil, err
	}
	return doc.Content[0], nil
}

// document returns all of it, with what is remarked around its root.
func (p *Plan) document(data []byte) (*yaml.Node, error) {
	if err := p.notUTF8(data); err != nil {
		return nil, err
	}
	dec := yaml.NewDecoder(strings.NewReader(string(data)))
	var doc, more yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if err == io.EOF {
			return nil, &read.Error{File: p.File, Text: "the site file is empty", Hint: "tankodds new writes one to start from"}
		}
		return nil, p.notYAML(data, err)
	}
	if dec.Decode(&more) == nil {
		return nil, p.fileError(&more, "", &fault{text: "a second document begins here; a site file holds one", hint: "take out the line ---, or give the other a file of its own"})
	}
	return &doc, nil
}

// part reads a part of the site file, or an entry of one that is a list.
func (p *Plan) part(n *yaml.Node, s *section, a At) error {
	stands, err := p.stands(n, s)
	if err != nil {
		return err
	}
	for _, row := range keysOf(s.key) { // in the table's order: a stated coefficient outranks the surface
		v := stands[row.name()]
		if v == nil {
			continue
		}
		if err := row.take(a, given{node: v}); err != nil {
			return p.fileError(v, row.name(), err)
		}
		p.lines[row.Key] = v.Line
	}
	if s.check != nil {
		if err := s.check(a, given{node: n}, stands); err != nil {
			return p.fileError(n, "", err)
		}
	}
	if s.key != "" {
		return nil
	}
	for _, part := range sections[1:] {
		v := stands[part.key]
		switch {
		case v == nil:
			continue
		case part.most > 0:
			err = p.entries(v, part)
		default:
			err = p.part(v, part, a)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// entries reads a part that is a list.
func (p *Plan) entries(n *yaml.Node, s *section) error {
	items, listed, err := given{node: n}.list(s.most)
	if err == nil && !listed {
		err = given{node: n}.notAList()
	}
	if err != nil {
		return p.fileError(n, s.key, err)
	}
	for i, item := range items {
		p.lines[fmt.Sprint(s.key, ".", i)] = item.node.Line
		if err := p.part(item.node, s, s.add(p)); err != nil {
			return err
		}
	}
	return nil
}

// stands returns the values of a mapping by their keys, each of which must be
// one of the part's.
func (p *Plan) stands(n *yaml.Node, s *section) (map[string]*yaml.Node, error) {
	n = resolve(n)
	fail := func(n *yaml.Node, hint, format string, args ...any) error {
		return p.fileError(n, "", &fault{text: fmt.Sprintf(format, args...), hint: hint})
	}
	keys := s.keys()
	if n.Kind != yaml.MappingNode {
		what := s.key
		if s.entry != "" {
			what = s.entry
		}
		if what == "" {
			what = "a site file"
		}
		return nil, fail(n, "", "%s is written as keys and values: %s", what, strings.Join(keys, ", "))
	}
	out, line := map[string]*yaml.Node{}, map[string]int{}
	for i := 0; i < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		if !slices.Contains(keys, k.Value) {
			hint := ""
			if near := Nearest(k.Value, keys); near != "" {
				hint = "did you mean " + near
			}
			return nil, fail(k, hint, "unknown key %q; keys here are %s", k.Value, strings.Join(keys, ", "))
		}
		if out[k.Value] != nil {
			return nil, fail(k, "keep one of the two", "%s stands twice, first on line %d", k.Value, line[k.Value])
		}
		if empty(v) {
			return nil, fail(k, "", "%s has no value; give one or leave the key out", k.Value)
		}
		out[k.Value], line[k.Value] = v, k.Line
	}
	return out, nil
}

func empty(n *yaml.Node) bool {
	n = resolve(n)
	return n.Kind == yaml.ScalarNode && strings.TrimSpace(n.Value) == "" || n.Tag == "!!null" || n.Kind != yaml.ScalarNode && len(n.Content) == 0
}
