package codec

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
)

// Kind is what a Node of a JSON document is.
type Kind uint8

const (
	Null Kind = iota
	Truth
	Number
	Text
	List
	Object
)

// Node is a JSON value that keeps the order of its keys and the digits of
// its numbers.
type Node struct {
	Kind  Kind
	Text  string // of a text its characters, of a number or a truth its digits
	Keys  []string
	Items []*Node // of a list, or the values of keys
}

// deepest bounds how far values may nest; an evidence file needs six.
const deepest = 32

// Parse reads one JSON value strictly: no key twice in one object,
// nothing after the value.
func Parse(b []byte) (*Node, error) {
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	n, err := parseNode(d, deepest)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("something stands behind its end")
		}
	}
	if err == nil {
		return n, nil
	}
	var wrong *json.SyntaxError
	switch {
	case len(bytes.TrimSpace(b)) == 0:
		err = errors.New("the file is empty")
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		err = errors.New("the file is cut short")
	case errors.As(err, &wrong): // the library says it in its own words
		err = errors.New("it is not written as JSON is")
		if c := strayIn.FindStringSubmatch(wrong.Error()); c != nil {
			err = fmt.Errorf("the character %s has no place there", c[1])
		}
	}
	line := 1 + bytes.Count(b[:min(len(b), int(d.InputOffset()))], []byte("\n"))
	return nil, &LineError{line, err}
}

// strayIn finds the character that the library complains of.
var strayIn = regexp.MustCompile(`^invalid character ('.+?') `)

// LineError is an error with the line it was found on, counted from 1.
type LineError struct {
	Line int
	Err  error
}

func (e *LineError) Error() string { return e.Err.Error() }

func parseNode(d *json.Decoder, depth int) (*Node, error) {
	t, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch t := t.(type) {
	case nil:
		return &Node{}, nil
	case bool:
		return &Node{Kind: Truth, Text: fmt.Sprint(t)}, nil
	case json.Number:
		return &Node{Kind: Number, Text: t.String()}, nil
	case string:
		return &Node{Kind: Text, Text: t}, nil
	}
	if depth == 0 {
		return nil, fmt.Errorf("values nest deeper than %d", deepest)
	}
	n := &Node{Kind: List}
	if t == json.Delim('{') {
		n.Kind = Object
	}
	seen := map[string]bool{}
	for d.More() {
		if n.Kind == Object {
			k, err := d.Token()
			if err != nil {
				return nil, err
			}
			name := k.(string)
			if seen[name] {
				return nil, fmt.Errorf("%q stands twice", name)
			}
			seen[name] = true
			n.Keys = append(n.Keys, name)
		}
		v, err := parseNode(d, depth-1)
		if err != nil {
			return nil, err
		}
		n.Items = append(n.Items, v)
	}
	_, err = d.Token()
	return n, err
}

// At returns the value of a key, nil where the node has none or is none.
func (n *Node) At(key string) *Node {
	if n == nil {
		return nil
	}
	for i, k := range n.Keys {
		if k == key {
			return n.Items[i]
		}
	}
	return nil
}

// Add puts a key at the end of an object.
func (n *Node) Add(key string, v *Node) {
	n.Keys = append(n.Keys, key)
	n.Items = append(n.Items, v)
}

// Without returns the object less some keys.
func (n *Node) Without(keys ...string) *Node {
	out := &Node{Kind: n.Kind}
	for i, k := range n.Keys {
		if !slices.Contains(keys, k) {
			out.Add(k, n.Items[i])
		}
	}
	return out
}

// Lean returns the value less what is empty within its objects: "", false, null
// and what has no members.
func (n *Node) Lean() *Node {
	out := &Node{Kind: n.Kind, Text: n.Text}
	for i, v := range n.Items {
		v = v.Lean()
		if n.Kind == List {
			out.Items = append(out.Items, v)
		} else if !v.empty() {
			out.Add(n.Keys[i], v)
		}
	}
	return out
}

// Len returns how many values a list or an object has; 0 of no node.
func (n *Node) Len() int {
	if n == nil {
		return 0
	}
	return len(n.Items)
}

// Item returns a value of a list by its place, nil beyond its end.
func (n *Node) Item(i int) *Node {
	if i >= n.Len() {
		return nil
	}
	return n.Items[i]
}

// Scalar says whether the node is neither a list nor an object.
func (n *Node) Scalar() bool { return n.Kind < List }

// Literal returns a scalar as JSON writes it.
func (n *Node) Literal() string {
	switch n.Kind {
	case Null:
		return "null"
	case Text:
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(false)
		_ = e.Encode(n.Text)                                     // a string always encodes
		return VisibleText(strings.TrimSuffix(b.String(), "\n")) // as it will be written, for its digest
	}
	return n.Text
}

// Line returns the node as JSON on one line, with its end.
func (n *Node) Line() []byte {
	var b bytes.Buffer
	n.write(&b, -1)
	b.WriteByte('\n')
	return b.Bytes()
}

// Bytes returns the node as JSON, one space a level; a list of numbers stands
// on one line.
func (n *Node) Bytes() []byte {
	var b bytes.Buffer
	n.write(&b, 0)
	b.WriteByte('\n')
	return b.Bytes()
}

// Within returns the node as it stands within others, so many levels deep, as Bytes
// writes it there.
func (n *Node) Within(level int) []byte {
	var b bytes.Buffer
	n.write(&b, level)
	return b.Bytes()
}

// write writes the node at a level, or all of it on one line where that is
// below 0.
func (n *Node) write(b *bytes.Buffer, level int) {
	if n.Scalar() {
		b.WriteString(n.Literal())
		return
	}
	ends := "[]"
	if n.Kind == Object {
		ends = "{}"
	}
	flat := level < 0 || n.short()
	next := level
	if !flat {
		next++
	}
	b.WriteByte(ends[0])
	for i, v := range n.Items {
		if i > 0 {
			b.WriteByte(',')
		}
		switch {
		case !flat:
			b.WriteString("\n" + strings.Repeat(" ", next))
		case level >= 0 && i > 0:
			b.WriteByte(' ')
		}
		if n.Kind == Object {
			b.WriteString(TextNode(n.Keys[i]).Literal() + ":")
			if level >= 0 {
				b.WriteByte(' ')
			}
		}
		v.write(b, next)
	}
	if !flat {
		b.WriteString("\n" + strings.Repeat(" ", level))
	}
	b.WriteByte(ends[1])
}

// short says whether a list or an object stands on one line: a list of
// scalars, its texts short, or nothing at all.
func (n *Node) short() bool {
	if n.Kind == Object && len(n.Items) > 0 {
		return false
	}
	letters := 0
	for _, v := range n.Items {
		if v.Kind == Text {
			letters += len(v.Text)
		}
		if !v.Scalar() || letters >= 40 {
			return false
		}
	}
	return true
}
