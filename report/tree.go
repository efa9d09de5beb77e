package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// jsonKind is what a node of a JSON document is.
type jsonKind uint8

const (
	jsonNull jsonKind = iota
	jsonTruth
	jsonNumber
	jsonText
	jsonList
	jsonObject
)

// node is a JSON value that keeps the order of its keys and the digits of
// its numbers.
type node struct {
	kind  jsonKind
	text  string // of a text its characters, of a number or a truth its digits
	keys  []string
	items []*node // of a list, or the values of keys
}

// deepest bounds how far values may nest; an evidence file needs six.
const deepest = 32

// parseTree reads one JSON value strictly: no key twice in one object,
// nothing after the value.
func parseTree(b []byte) (*node, error) {
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	n, err := parseNode(d, deepest)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("something follows the end of the JSON value")
		}
	}
	if err == nil {
		return n, nil
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("the JSON value is cut short")
	}
	line := 1 + bytes.Count(b[:min(len(b), int(d.InputOffset()))], []byte("\n"))
	return nil, &lineError{line, err}
}

// lineError is an error with the line it was found on.
type lineError struct {
	line int
	err  error
}

func (e *lineError) Error() string { return e.err.Error() }

func parseNode(d *json.Decoder, depth int) (*node, error) {
	t, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch t := t.(type) {
	case nil:
		return &node{}, nil
	case bool:
		return &node{kind: jsonTruth, text: fmt.Sprint(t)}, nil
	case json.Number:
		return &node{kind: jsonNumber, text: t.String()}, nil
	case string:
		return &node{kind: jsonText, text: t}, nil
	}
	if depth == 0 {
		return nil, fmt.Errorf("values nest deeper than %d", deepest)
	}
	n := &node{kind: jsonList}
	if t == json.Delim('{') {
		n.kind = jsonObject
	}
	seen := map[string]bool{}
	for d.More() {
		if n.kind == jsonObject {
			k, err := d.Token()
			if err != nil {
				return nil, err
			}
			name := k.(string)
			if seen[name] {
				return nil, fmt.Errorf("%q stands twice in one object", name)
			}
			seen[name] = true
			n.keys = append(n.keys, name)
		}
		v, err := parseNode(d, depth-1)
		if err != nil {
			return nil, err
		}
		n.items = append(n.items, v)
	}
	_, err = d.Token()
	return n, err
}

// treeOf returns what v is as JSON.
func treeOf(v any) (*node, error) {
	b, err := marshal(v)
	if err != nil {
		return nil, err
	}
	return parseTree(b)
}

// at returns the value of a key, nil where the node has none.
func (n *node) at(key string) *node {
	if n == nil {
		return nil
	}
	for i, k := range n.keys {
		if k == key {
			return n.items[i]
		}
	}
	return nil
}

// add puts a key at the end of an object.
func (n *node) add(key string, v *node) {
	n.keys = append(n.keys, key)
	n.items = append(n.items, v)
}

// without returns the object less some keys.
func (n *node) without(keys ...string) *node {
	out := &node{kind: n.kind}
	for i, k := range n.keys {
		if !slices.Contains(keys, k) {
			out.add(k, n.items[i])
		}
	}
	return out
}

// told returns the value less what is empty: "", false, null and objects
// without keys.
func (n *node) told() *node {
	switch {
	case n.kind == jsonObject:
		out := &node{kind: jsonObject}
		for i, v := range n.items {
			v = v.told()
			if v.kind != jsonNull && (v.scalar() && v.text != "" && v.text != "false" || len(v.items) > 0) {
				out.add(n.keys[i], v)
			}
		}
		return out
	case n.kind == jsonList:
		out := &node{kind: jsonList}
		for _, v := range n.items {
			out.items = append(out.items, v.told())
		}
		return out
	}
	return n
}

func (n *node) scalar() bool { return n.kind < jsonList }

// literal returns a scalar as JSON writes it.
func (n *node) literal() string {
	switch n.kind {
	case jsonNull:
		return "null"
	case jsonText:
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(false)
		_ = e.Encode(n.text)                                     // a string always encodes
		return VisibleText(strings.TrimSuffix(b.String(), "\n")) // as it will be written, for its digest
	}
	return n.text
}

// bytes writes the node as JSON, one space a level; a list of numbers stands
// on one line.
func (n *node) bytes() []byte {
	var b bytes.Buffer
	n.write(&b, 0)
	b.WriteByte('\n')
	return b.Bytes()
}

func (n *node) write(b *bytes.Buffer, level int) {
	if n.scalar() {
		b.WriteString(n.literal())
		return
	}
	ends := "[]"
	flat := true // a list of scalars, its texts short, or nothing at all
	if n.kind == jsonObject {
		ends = "{}"
		flat = len(n.items) == 0
	}
	letters := 0
	for _, v := range n.items {
		if v.kind == jsonText {
			letters += len(v.text)
		}
		flat = flat && v.scalar() && letters < 40
	}
	b.WriteByte(ends[0])
	for i, v := range n.items {
		if i > 0 {
			b.WriteByte(',')
		}
		if !flat {
			b.WriteString("\n" + strings.Repeat(" ", level+1))
		} else if i > 0 {
			b.WriteByte(' ')
		}
		if n.kind == jsonObject {
			b.WriteString((&node{kind: jsonText, text: n.keys[i]}).literal() + ": ")
		}
		v.write(b, level+1)
	}
	if !flat {
		b.WriteString("\n" + strings.Repeat(" ", level))
	}
	b.WriteByte(ends[1])
}
