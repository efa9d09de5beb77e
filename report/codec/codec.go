package codec

import (
	"encoding"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode"
)

// A field is what a struct's tags say of one of its fields.
type field struct {
	index  []int // as reflect.Value.FieldByIndex takes it
	key    string
	doc    string
	number bool // a month as its number, 1 to 12
	empty  bool // left out where it is empty
	zero   bool // left out where it is 0 or all 0
	tree   bool // has no column in a table
}

// plans holds the fields of the struct types seen.
var plans sync.Map // reflect.Type → []field

// fieldsOf lists the fields that are values, in order. An embedded struct
// without a key gives its own fields; of two with one key the outer stands for
// both, and of two at one depth the first.
func fieldsOf(t reflect.Type) []field {
	if known, ok := plans.Load(t); ok {
		return known.([]field)
	}
	var all []field
	for i := range t.NumField() {
		f := t.Field(i)
		tag, tagged := f.Tag.Lookup("key")
		if f.Anonymous && !tagged && f.Type.Kind() == reflect.Struct {
			for _, in := range fieldsOf(f.Type) {
				in.index = append([]int{i}, in.index...)
				all = append(all, in)
			}
			continue
		}
		if tag != "-" && f.IsExported() && f.Type.Kind() != reflect.Func {
			all = append(all, fieldOf(f, i))
		}
	}
	depth := map[string]int{}
	for _, f := range all {
		if d, ok := depth[f.key]; !ok || len(f.index) < d {
			depth[f.key] = len(f.index)
		}
	}
	var out []field
	for _, f := range all {
		if depth[f.key] == len(f.index) {
			depth[f.key] = 0 // it is there
			out = append(out, f)
		}
	}
	plans.Store(t, out)
	return out
}

// fieldOf reads the tags of field i.
func fieldOf(f reflect.StructField, i int) field {
	words := strings.Split(f.Tag.Get("key"), ",")
	out := field{index: []int{i}, key: words[0], doc: f.Tag.Get("doc")}
	if out.key == "" {
		out.key = snake(f.Name)
	}
	for _, w := range words[1:] {
		switch w {
		case "number":
			out.number = true
		case "omitempty":
			out.empty = true
		case "omitzero":
			out.zero = true
		case "tree":
			out.tree = true
		}
	}
	return out
}

// snake makes a key of a field's name.
func snake(name string) string {
	var b strings.Builder
	for i, r := range name {
		if i > 0 && unicode.IsUpper(r) {
			b.WriteByte('_')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// Encode returns a value as JSON. A number that is not finite becomes null, a
// month its name, what has a text (encoding.TextMarshaler) that text, a Lister
// its words, a list without members [].
func Encode(v any) *Node { return encode(reflect.ValueOf(v), false) }

func encode(v reflect.Value, number bool) *Node {
	if !v.IsValid() {
		return &Node{}
	}
	if v.Type().NumMethod() > 0 {
		if n, ok := ofMethods(v, number); ok {
			return n
		}
	}
	switch v.Kind() {
	case reflect.Bool:
		return &Node{Kind: Truth, Text: strconv.FormatBool(v.Bool())}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return &Node{Kind: Number, Text: strconv.FormatInt(v.Int(), 10)}
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return &Node{Kind: Number, Text: strconv.FormatUint(v.Uint(), 10)}
	case reflect.Float32, reflect.Float64:
		if x := v.Float(); !math.IsNaN(x) && !math.IsInf(x, 0) {
			return &Node{Kind: Number, Text: Exact(x)}
		}
	case reflect.String:
		return TextNode(v.String())
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return encode(v.Elem(), number)
		}
	case reflect.Slice, reflect.Array:
		n := &Node{Kind: List, Items: make([]*Node, 0, v.Len())}
		for i := range v.Len() {
			n.Items = append(n.Items, encode(v.Index(i), number))
		}
		return n
	case reflect.Struct:
		n := &Node{Kind: Object}
		for _, f := range fieldsOf(v.Type()) {
			of := v.FieldByIndex(f.index)
			if f.zero && of.IsZero() {
				continue
			}
			x := encode(of, f.number)
			if !f.empty || !x.empty() {
				n.Add(f.key, x)
			}
		}
		return n
	default:
		panic("codec: no value of " + v.Type().String()) // a slip of the program's own
	}
	return &Node{}
}

// ofMethods encodes what says by a method how it is written.
func ofMethods(v reflect.Value, number bool) (*Node, bool) {
	switch x := v.Interface().(type) {
	case *Node:
		return x, x != nil
	case time.Month:
		if number {
			return nil, false
		}
		if x == 0 {
			return &Node{}, true // none, of which String makes "%!Month(0)"
		}
		return TextNode(x.String()), true
	case encoding.TextMarshaler:
		if v.Kind() == reflect.Pointer && v.IsNil() {
			return nil, false
		}
		text, err := x.MarshalText()
		if err != nil {
			return &Node{}, true
		}
		return TextNode(string(text)), true
	case Lister:
		return encode(reflect.ValueOf(x.Texts()), false), true
	}
	return nil, false
}

// Lister is what is written as a list of words, such as days of the week.
type Lister interface{ Texts() []string }

// listReader reads what a Lister wrote.
type listReader interface{ SetTexts([]string) error }

// Exact prints a number in full precision, as JSON writes it; nothing where it
// is not finite.
func Exact(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	if a := math.Abs(x); a != 0 && (a < 1e-6 || a >= 1e21) {
		return strconv.FormatFloat(x, 'e', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// empty says whether a node says nothing: null, "", false, or no members.
func (n *Node) empty() bool {
	switch n.Kind {
	case Truth:
		return n.Text == "false"
	case Text:
		return n.Text == ""
	case List, Object:
		return len(n.Items) == 0
	}
	return n.Kind == Null
}

// TextNode holds a text as it is read back: JSON knows no bytes that are no
// letters.
func TextNode(s string) *Node { return &Node{Kind: Text, Text: string([]rune(s))} }

// Decode fills what into points to from a node that Encode made of such a
// value. Keys that are missing leave their field as it is, unknown ones are
// passed over; a value that cannot be what its field is, is an error that
// names the path.
func Decode(n *Node, into any) error { return decode(n, reflect.ValueOf(into).Elem(), "", false) }

func decode(n *Node, v reflect.Value, path string, number bool) error {
	if in, ok := v.Addr().Interface().(**Node); ok {
		*in = n
		return nil
	}
	wrong := func() error {
		return &ValueError{Path: strings.TrimPrefix(path, "."), Is: n.said(), Want: wanted(v, number)}
	}
	if n.Kind == Null {
		v.SetZero()
		if v.Kind() == reflect.Float64 {
			v.SetFloat(math.NaN())
		} else if t, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok && t.UnmarshalText(nil) != nil {
			v.SetZero() // it has no text for nothing
		}
		return nil
	}
	if m, ok := v.Addr().Interface().(*time.Month); ok && !number {
		for x := time.January; x <= time.December; x++ {
			if n.Kind == Text && n.Text == x.String() {
				*m = x
				return nil
			}
		}
		return wrong()
	}
	if t, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
		if n.Kind != Text {
			return wrong()
		}
		if err := t.UnmarshalText([]byte(n.Text)); err != nil {
			return &ValueError{Path: strings.TrimPrefix(path, "."), Is: n.said(), Err: err}
		}
		return nil
	}
	if l, ok := v.Addr().Interface().(listReader); ok {
		var texts []string
		if err := decode(n, reflect.ValueOf(&texts).Elem(), path, false); err != nil {
			return err
		}
		if err := l.SetTexts(texts); err != nil {
			return &ValueError{Path: strings.TrimPrefix(path, "."), Is: n.said(), Err: err}
		}
		return nil
	}
	switch v.Kind() {
	case reflect.Bool, reflect.Float64, reflect.String,
		reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		if !n.Scalar() || json.Unmarshal([]byte(n.Literal()), v.Addr().Interface()) != nil {
			return wrong()
		}
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return decode(n, v.Elem(), path, number)
	case reflect.Slice, reflect.Array:
		switch {
		case n.Kind != List:
			return wrong()
		case v.Kind() == reflect.Slice && n.Len() == 0:
			v.SetZero()
		case v.Kind() == reflect.Slice:
			v.Set(reflect.MakeSlice(v.Type(), n.Len(), n.Len()))
		case n.Len() != v.Len():
			return &ValueError{Path: strings.TrimPrefix(path, "."), Is: fmt.Sprintf("a list of %d", n.Len()), Want: fmt.Sprintf("a list of %d", v.Len())}
		}
		for i, x := range n.Items {
			if err := decode(x, v.Index(i), fmt.Sprintf("%s[%d]", path, i), number); err != nil {
				return err
			}
		}
	case reflect.Struct:
		if n.Kind != Object {
			return wrong()
		}
		for _, f := range fieldsOf(v.Type()) {
			if x := n.At(f.key); x != nil {
				if err := decode(x, v.FieldByIndex(f.index), path+"."+f.key, f.number); err != nil {
					return err
				}
			}
		}
	default:
		panic("codec: no value of " + v.Type().String())
	}
	return nil
}

// ValueError is a value that cannot be what its field is.
type ValueError struct {
	Path string // of the field, as in roofs[0].area_m2
	Is   string // the value, as JSON writes it
	Want string // what the field takes, "" where Err says so
	Err  error  // why not, nil where it is another kind of value
}

func (e *ValueError) Error() string {
	if e.Err != nil {
		return e.Path + ": " + e.Err.Error()
	}
	return fmt.Sprintf("%s is %s, and not %s", e.Path, e.Is, e.Want)
}

func (e *ValueError) Unwrap() error { return e.Err }

// wanted says in words what a field takes.
func wanted(v reflect.Value, number bool) string {
	switch v.Addr().Interface().(type) {
	case *time.Month:
		if !number {
			return `the name of a month, as in "April"`
		}
	case encoding.TextUnmarshaler:
		return "a text in quotation marks"
	case listReader:
		return "a list of names"
	}
	switch v.Kind() {
	case reflect.Bool:
		return "true or false"
	case reflect.Float64:
		return "a number"
	case reflect.String:
		return "a text in quotation marks"
	case reflect.Slice, reflect.Array:
		return "a list in square brackets"
	case reflect.Struct:
		return "keys and values in braces"
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return "a whole number of 0 or more"
	}
	return "a whole number in digits"
}

// said names a value in a message.
func (n *Node) said() string {
	switch n.Kind {
	case List:
		return "a list"
	case Object:
		return "an object"
	}
	return n.Literal()
}
