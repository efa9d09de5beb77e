package site

import (
	"encoding"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/report/words"
)

// How a parameter is read, checked and shown follows from the type of its
// field and from what its row says of it.

// take reads what was given and sets the field, which is then checked.
func (p *Parameter) take(a At, g given) error {
	read := p.read
	if read == nil {
		read = p.byType
	}
	if err := read(a, g); err != nil {
		return err
	}
	if a.stated != nil {
		a.stated[p.Key] = true
	}
	return p.check(a)
}

// byType reads what the type of the field tells.
func (p *Parameter) byType(a At, g given) error {
	if f, ok := p.field(a).(*[]float64); ok {
		return g.quantities(a, p.kind, p.what, f)
	}
	text, err := g.text()
	if err != nil {
		return err
	}
	switch f := p.field(a).(type) {
	case *float64:
		if p.what == "" { // years, which are not counted with
			var n int
			n, err = p.whole(text)
			*f = float64(n)
			break
		}
		*f, err = g.quantity(a, p.kind, p.what)
	case **float64:
		*f = new(float64)
		**f, err = g.quantity(a, p.kind, p.what)
	case *int:
		*f, err = p.whole(text)
	case *uint64:
		if *f, err = strconv.ParseUint(text, 10, 64); err != nil {
			err = fmt.Errorf("%q is not a whole number from 0 to 18,446,744,073,709,551,615", text) // of 64 bits
		}
	case *string:
		if *f = OneLine(text); p.Words != nil && p.most == 0 {
			*f, err = p.word(text)
		}
	case *bool:
		var word string
		word, err = p.word(text)
		*f = word == p.Words[0]
	case *gen.Generator:
		*f, err = gen.Find(text)
	case encoding.TextUnmarshaler:
		if err = f.UnmarshalText([]byte(strings.ToLower(text))); err != nil {
			_, err = p.word(text)
		}
	}
	return err
}

// whole reads a whole number. Where 0 stands for none it cannot be typed.
func (p *Parameter) whole(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if x, ok := units.Number("it", text); err != nil && ok == nil && x == math.Trunc(x) && x < 1e15 { // thousands set apart
		n, err = int(x), nil
	}
	switch {
	case err != nil:
		return 0, p.outside(strconv.Quote(text))
	case n == 0 && p.orNone:
		return 0, p.outside(text)
	}
	return n, nil
}

func (p *Parameter) outside(text string) error {
	return fmt.Errorf("%s is not a whole number from %s to %s", text, p.bound(p.low), p.bound(p.high))
}

// bound is an end of the range of a whole number; years have no sign of thousands.
func (p *Parameter) bound(x int) string {
	if p.low == read.FirstYear {
		return strconv.Itoa(x)
	}
	return words.Whole(x)
}

// word reads one of the words that there are, whatever its case.
func (p *Parameter) word(text string) (string, error) {
	word := strings.ToLower(strings.TrimSpace(text))
	switch {
	case slices.Contains(p.Words, word):
		return word, nil
	case len(p.Words) == 2:
		return "", fmt.Errorf("%q is neither %s nor %s", text, p.Words[0], p.Words[1])
	}
	return "", fmt.Errorf("%q is none of %s", text, strings.Join(p.Words, ", "))
}

// check finds what is wrong with the value that stands there, however it came.
func (p *Parameter) check(a At) error {
	if p.field == nil {
		return nil
	}
	v := reflect.ValueOf(p.field(a)).Elem()
	if p.orNone && v.IsZero() {
		return nil
	}
	switch x := v.Interface().(type) {
	case float64:
		if err := p.checkNumber(x); err != nil {
			return err
		}
	case *float64:
		if x != nil {
			if err := p.checkNumber(*x); err != nil {
				return err
			}
		}
	case int:
		if x < p.low || x > p.high {
			return p.outside(strconv.Itoa(x))
		}
	case string:
		if p.Words != nil && p.most == 0 {
			if _, err := p.word(x); err != nil {
				return err
			}
		} else if err := bounded(x, p.most); err != nil && p.most > 0 {
			return err
		}
	case []float64:
		for _, y := range x {
			if err := p.checkNumber(y); err != nil {
				return err
			}
		}
	}
	if p.limit != nil {
		return p.limit(a)
	}
	return nil
}

func (p *Parameter) checkNumber(x float64) error {
	switch {
	case p.what == "" && !(x >= float64(p.low) && x <= float64(p.high)):
		return p.outside(fmt.Sprint(x))
	case p.what == "":
	case !(x >= 0) || math.IsInf(x, 0) || p.kind == units.Share && x > 1:
		return fmt.Errorf("%g is not %s; %s is one such as %s", x, p.kind, p.what, p.kind.Example())
	case p.above0 && x == 0:
		return fmt.Errorf("%s is above 0, such as %s", p.what, p.kind.Example())
	}
	return nil
}

// typed shows the value as it can be typed, "" where there is none.
func (p *Parameter) typed(a At, s units.System) string {
	v := reflect.ValueOf(p.field(a)).Elem()
	if p.orNone && v.IsZero() {
		return ""
	}
	switch x := v.Interface().(type) {
	case float64:
		if p.what != "" && !p.plain {
			return p.kind.Typed(x, s)
		}
		return strconv.FormatFloat(x, 'g', -1, 64)
	case int, uint64, string, fmt.Stringer:
		return fmt.Sprint(x)
	case bool:
		if p.IsSwitch() {
			return ""
		}
		return map[bool]string{true: p.Words[0], false: p.Words[1]}[x]
	case gen.Generator:
		return x.Name
	case []int, []float64:
		return strings.Trim(strings.ReplaceAll(fmt.Sprint(x), " ", ","), "[]")
	}
	return ""
}

// said is the value for people.
func (p *Parameter) said(a At) string {
	if p.say != nil {
		return p.say(a, a.Units) + p.Note
	}
	switch x := reflect.ValueOf(p.field(a)).Elem().Interface().(type) {
	case float64:
		if p.what != "" {
			return p.kind.Words(x, a.Units) + p.Note
		}
	case int:
		return words.Whole(x) + p.Note
	}
	return p.typed(a, a.Units) + p.Note
}

// quantity reads one quantity, which counts for its system of units.
func (g given) quantity(a At, kind units.Kind, what string) (float64, error) {
	text, err := g.text()
	if err != nil {
		return 0, err
	}
	q, err := units.Parse(kind, what, text)
	if err != nil {
		return 0, g.fail("%v", err)
	}
	a.votes.add(q.System)
	return q.Value, nil
}

// mostSizes bounds the tank sizes and prices of a site.
const mostSizes = 1000

// quantities reads a list of quantities or the text of a list or range, which
// become rising, each once.
func (g given) quantities(a At, kind units.Kind, what string, into *[]float64) error {
	items, listed, err := g.list(mostSizes)
	if err != nil {
		return err
	}
	if !listed {
		text, err := g.text()
		if err != nil {
			return err
		}
		var system units.System
		*into, system, err = units.ParseList(kind, what, text)
		a.votes.add(system)
		return err
	}
	var out []float64
	for _, item := range items {
		x, err := item.quantity(a, kind, what)
		if err != nil {
			return err
		}
		out = append(out, x)
	}
	slices.Sort(out)
	*into = slices.Compact(out)
	return nil
}

// column shows the values of several roofs or uses under one heading, with the
// unit of all; numbers says whether they are numbers.
func (p *Parameter) column(all []At, s units.System) (cells []string, unit string, numbers bool) {
	var values []float64
	for _, a := range all {
		x, ok := p.field(a).(*float64)
		if !ok || p.say != nil {
			cells = append(cells, p.said(a))
			_, whole := p.field(a).(*int)
			numbers = whole
			continue
		}
		values = append(values, *x)
	}
	if values == nil {
		return cells, "", numbers
	}
	var c units.Column
	one := func(x float64) string { return c.Cell(x) }
	switch {
	case p.plain:
		one = func(x float64) string { return units.Fixed(x, 2) }
	case p.kind == units.Share:
		c.Unit, one = "%", func(x float64) string { return units.Fixed(100*x, 0) }
	case p.kind == units.Area:
		c = s.AreaColumn(values...)
	case p.kind == units.Flow:
		c = s.FlowColumn(values...)
	case p.kind == units.Volume:
		c = s.VolumeColumn(values...)
	default: // small depths
		c, one = s.DepthColumn(values...), func(x float64) string { return words.DepthCell(s, x, 1, 2) }
	}
	for _, x := range values {
		cells = append(cells, one(x))
	}
	return cells, c.Unit, true
}
