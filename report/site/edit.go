package site

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/rainfall/read"
)

// Edit changes one thing in the text of a site file.
type Edit struct {
	// Path is a key with its part, "tank.sizes", that of an entry of a list,
	// "roofs.0.area", or an entry itself, "roofs.1"; the entry after the last is
	// added by its first key.
	Path string `json:"path"`
	// Text is what is to stand there, as it would be written in the file; empty
	// takes the key or the entry away.
	Text string `json:"text"`
}

// Edited makes edits in the text of a site file. The text stays as it is, byte for
// byte, where nothing changes; otherwise comments stay, and the lines may be set
// anew. A text that is no YAML is refused with a *read.Error.
func Edited(file string, text []byte, edits ...Edit) ([]byte, error) {
	p := &Plan{File: file}
	doc, err := p.document(text)
	if err != nil {
		return nil, err
	}
	root := resolve(doc.Content[0])
	if root.Kind != yaml.MappingNode {
		return nil, &read.Error{File: file, Line: root.Line, Text: "a site file is written as keys and values"}
	}
	changed := false
	for _, e := range edits {
		did, err := e.make(root)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", e.Path, err)
		}
		changed = changed || did
	}
	if !changed {
		return text, nil
	}
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(doc); err != nil {
		return nil, err
	}
	return b.Bytes(), enc.Close()
}

var errNoPlace = errors.New("there is no such place in a site file")

// make makes the edit below the root and says whether anything changed.
func (e Edit) make(root *yaml.Node) (changed bool, err error) {
	words := strings.Split(e.Path, ".")
	part := findSection(words[0])
	switch {
	case len(words) == 1 && (part == nil || part.key == ""):
		return set(root, e.Path, e.Text)
	case part == nil || part.key == "":
		return false, errNoPlace
	case part.most == 0 && len(words) == 2:
		return setWithin(root, part.key, words[1], e.Text)
	case part.most == 0 || len(words) > 3 || len(words) < 2:
		return false, errNoPlace
	}
	at, err := strconv.Atoi(words[1])
	if err != nil || at < 0 || at >= part.most {
		return false, errNoPlace
	}
	list := value(root, part.key)
	if list == nil {
		list = &yaml.Node{Kind: yaml.SequenceNode}
	}
	if list.Kind != yaml.SequenceNode || at > len(list.Content) {
		return false, errNoPlace
	}
	if len(words) == 2 {
		if e.Text != "" || at == len(list.Content) {
			return false, errNoPlace
		}
		if list.Content = slices.Delete(list.Content, at, at+1); len(list.Content) == 0 {
			return true, remove(root, part.key)
		}
		return true, nil
	}
	if at == len(list.Content) {
		if e.Text == "" {
			return false, nil
		}
		list.Content = append(list.Content, &yaml.Node{Kind: yaml.MappingNode})
		if value(root, part.key) == nil {
			put(root, part.key, list)
		}
	}
	entry := resolve(list.Content[at])
	if entry.Kind != yaml.MappingNode {
		return false, errNoPlace
	}
	return set(entry, words[2], e.Text)
}

// setWithin sets a key of a part, which is made with its first key and goes with
// its last.
func setWithin(root *yaml.Node, part, key, text string) (bool, error) {
	m := value(root, part)
	if m == nil {
		if text == "" {
			return false, nil
		}
		m = &yaml.Node{Kind: yaml.MappingNode}
		put(root, part, m)
	}
	if m = resolve(m); m.Kind != yaml.MappingNode {
		return false, errNoPlace
	}
	changed, err := set(m, key, text)
	if err == nil && len(m.Content) == 0 {
		err = remove(root, part)
	}
	return changed, err
}

// set sets a key of a mapping to a text, or takes it away.
func set(m *yaml.Node, key, text string) (changed bool, err error) {
	old := value(m, key)
	text = strings.TrimSpace(text)
	switch {
	case text == "" && old == nil:
		return false, nil
	case text == "":
		return true, remove(m, key)
	case old != nil && held(old) == text:
		return false, nil
	}
	if len(text) > mostValue {
		return false, fmt.Errorf("it has %d letters; it may have %d", len(text), mostValue)
	}
	n := valueOf(text)
	if old == nil {
		put(m, key, n)
		return true, nil
	}
	n.LineComment, n.HeadComment, n.FootComment = old.LineComment, old.HeadComment, old.FootComment
	*old = *n
	return true, nil
}

// valueOf makes a value of what was typed: a list or a mapping where it is written
// as one in brackets, otherwise a text, in quotes where YAML wants them.
func valueOf(text string) *yaml.Node {
	if strings.HasPrefix(text, "[") || strings.HasPrefix(text, "{") {
		var doc yaml.Node
		if err := yaml.Unmarshal([]byte(text), &doc); err == nil && len(doc.Content) == 1 && doc.Content[0].Kind != yaml.ScalarNode {
			return bare(doc.Content[0])
		}
	}
	n := &yaml.Node{}
	n.SetString(text)
	n.Tag = "" // or a number would be quoted
	return n
}

// bare takes the lines off nodes that come from another text.
func bare(n *yaml.Node) *yaml.Node {
	n.Line, n.Column = 0, 0
	for _, x := range n.Content {
		bare(x)
	}
	return n
}

// put adds a key at the end of a mapping.
func put(m *yaml.Node, key string, v *yaml.Node) {
	k := &yaml.Node{Kind: yaml.ScalarNode, Value: key}
	if n := len(m.Content); n > 0 && m.Content[n-2].FootComment != "" { // what stands below the last key stays below all
		k.FootComment, m.Content[n-2].FootComment = m.Content[n-2].FootComment, ""
	}
	m.Content = append(m.Content, k, v)
}

// remove takes a key away. What was remarked above or below it stays with the key
// after it, or before.
func remove(m *yaml.Node, key string) error {
	for i := 0; i+1 < len(m.Content); i += 2 {
		k := m.Content[i]
		if k.Value != key {
			continue
		}
		kept := both(k.HeadComment, k.FootComment)
		m.Content = slices.Delete(m.Content, i, i+2)
		switch {
		case kept == "":
		case i < len(m.Content):
			m.Content[i].HeadComment = both(kept, m.Content[i].HeadComment)
		case i > 0:
			m.Content[i-2].FootComment = both(m.Content[i-2].FootComment, kept)
		default:
			m.HeadComment = both(m.HeadComment, kept)
		}
		return nil
	}
	return nil
}

func both(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "\n" + b
}

// held is a value as it would be typed: of lists and mappings, in brackets.
func held(n *yaml.Node) string {
	n = resolve(n)
	if n.Kind == yaml.ScalarNode {
		return n.Value
	}
	return written(n)
}
