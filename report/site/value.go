package site

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"tankodds/report/units"
)

// Value is how a parameter is read, checked and shown.
type Value struct {
	field func(At) any // a pointer to what it sets
	read  func(At, given) error
	check func(At) error                // of what stands there, however it came; nil where anything will do
	show  func(At, units.System) string // as one would type it, "" for none; nil where it is never shown
	words func(At, units.System) string // for the sheet, where that differs
	// column shows several under one heading; nil where each is shown by itself.
	column func([]At, units.System) (unit string, cells []string)

	// Words are those that it may be; Files and Folders say that it is one.
	Words          []string
	Files, Folders bool
	// A switch is a flag without a value, and a flag that is several is typed
	// once for each.
	isSwitch, several bool
}

// single makes a value of one text. parse may refuse the text and check what
// it says; either may be nil where it does not.
func single[T any](field func(At) *T, parse func(At, string) (T, error), check func(T) error, show func(T, units.System) string) Value {
	v := Value{
		field: func(a At) any { return field(a) },
		read: func(a At, g given) error {
			text, err := g.text()
			if err != nil {
				return err
			}
			x, err := parse(a, text)
			if err == nil && check != nil {
				err = check(x)
			}
			if err == nil {
				*field(a) = x
			}
			return err
		},
		show: func(a At, s units.System) string { return show(*field(a), s) },
	}
	if check != nil {
		v.check = func(a At) error { return check(*field(a)) }
	}
	return v
}

// typed shows a value as it is.
func typed[T any](x T, _ units.System) string { return fmt.Sprint(x) }

// quantity reads a number with its unit; what names it with its article. It is
// 0 or more, and what limits says.
func quantity(kind units.Kind, what string, field func(At) *float64, limits ...func(float64) error) Value {
	parse := func(a At, text string) (float64, error) {
		q, err := units.Parse(kind, what, text)
		if err == nil {
			a.votes.add(q.System)
		}
		return q.Value, err
	}
	check := func(x float64) error {
		if !(x >= 0) || math.IsInf(x, 0) || kind == units.Share && x > 1 {
			return fmt.Errorf("%g is not %s; %s is one such as %s", x, kind, what, kind.Example())
		}
		for _, limit := range limits {
			if err := limit(x); err != nil {
				return err
			}
		}
		return nil
	}
	v := single(field, parse, check, kind.Typed)
	v.words = func(a At, s units.System) string { return kind.Words(*field(a), s) }
	v.column = func(all []At, s units.System) (string, []string) {
		var values []float64
		for _, a := range all {
			values = append(values, *field(a))
		}
		return cells(kind, s, values)
	}
	return v
}

// aboveZero refuses 0; what is such as "a tank size".
func aboveZero(what string) func(float64) error {
	return func(x float64) error {
		if !(x > 0) {
			return fmt.Errorf("%s is above 0", what)
		}
		return nil
	}
}

// known makes a quantity of one that may be unknown.
func known(kind units.Kind, what string, field func(At) **float64) Value {
	parse := func(a At, text string) (*float64, error) {
		q, err := units.Parse(kind, what, text)
		if err == nil {
			a.votes.add(q.System)
		}
		return &q.Value, err
	}
	show := func(x *float64, s units.System) string {
		if x == nil {
			return ""
		}
		return kind.Typed(*x, s)
	}
	return single(field, parse, nil, show)
}

// whole reads a whole number from low to high.
func whole[T int | float64](low, high int, field func(At) *T) Value {
	wrong := func(text string) error {
		return fmt.Errorf("%s is not a whole number from %s to %s", text, count(low), count(high))
	}
	parse := func(_ At, text string) (T, error) {
		n, err := strconv.Atoi(text)
		if err != nil {
			return 0, wrong(strconv.Quote(text))
		}
		return T(n), nil
	}
	check := func(n T) error {
		if !(n >= T(low) && n <= T(high)) {
			return wrong(fmt.Sprint(n))
		}
		return nil
	}
	v := single(field, parse, check, typed)
	v.words = func(a At, _ units.System) string { return units.Fixed(float64(*field(a)), 0) }
	v.column = func(all []At, s units.System) (string, []string) {
		var cells []string
		for _, a := range all {
			cells = append(cells, v.words(a, s))
		}
		return "", cells
	}
	return v
}

// orNone lets 0 stand for none, which cannot be typed.
func orNone[T comparable](field func(At) *T, v Value) Value {
	check, none := v.check, *new(T)
	v.check = func(a At) error {
		if *field(a) == none {
			return nil
		}
		return check(a)
	}
	return v
}

// number reads a whole number of any size.
func number(field func(At) *uint64) Value {
	return single(field, func(_ At, text string) (uint64, error) {
		n, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			return 0, fmt.Errorf("%q is not a whole number of 0 or more", text)
		}
		return n, nil
	}, nil, typed)
}

// text reads a text of at most so many letters, which becomes one line.
func text(most int, field func(At) *string) Value {
	parse := func(_ At, s string) (string, error) { return OneLine(s), nil }
	return single(field, parse, func(s string) error { return bounded(s, most) }, typed)
}

// oneOf reads one of a few words, whatever their case; each is what its value
// prints as.
func oneOf[T comparable](field func(At) *T, all ...T) Value {
	var words []string
	for _, x := range all {
		words = append(words, fmt.Sprint(x))
	}
	wrong := func(text string) error {
		if len(words) == 2 {
			return fmt.Errorf("%q is neither %s nor %s", text, words[0], words[1])
		}
		return fmt.Errorf("%q is none of %s", text, strings.Join(words, ", "))
	}
	parse := func(_ At, text string) (x T, err error) {
		i := slices.Index(words, strings.ToLower(strings.TrimSpace(text)))
		if i < 0 {
			return x, wrong(text)
		}
		return all[i], nil
	}
	check := func(x T) error {
		if !slices.Contains(all, x) {
			return wrong(fmt.Sprint(x))
		}
		return nil
	}
	v := single(field, parse, check, typed)
	v.Words = words
	return v
}

// onOff is a switch that is on where nothing is said.
func onOff(field func(At) *bool) Value {
	words := []string{"off", "on"}
	show := func(on bool, _ units.System) string {
		if on {
			return words[1]
		}
		return words[0]
	}
	v := single(field, func(_ At, text string) (bool, error) {
		if !slices.Contains(words, text) {
			return false, fmt.Errorf("%q is neither on nor off", text)
		}
		return text == words[1], nil
	}, nil, show)
	v.Words = []string{"on", "off"}
	return v
}

// yes is a flag without a value.
func yes(field func(At) *bool) Value {
	v := single(field, func(_ At, text string) (bool, error) {
		on, err := strconv.ParseBool(text)
		if err != nil {
			err = fmt.Errorf("%q is neither true nor false", text)
		}
		return on, err
	}, nil, typed)
	v.isSwitch, v.show = true, nil
	return v
}

// month reads a month's name or number.
func month(field func(At) *int) Value {
	v := single(field, func(_ At, text string) (int, error) {
		m, err := parseMonth(text)
		return int(m), err
	}, func(m int) error {
		if m < 1 || m > 12 {
			return fmt.Errorf("%d is no month; it is a number from 1 to 12", m)
		}
		return nil
	}, func(m int, _ units.System) string {
		if m == 0 {
			return ""
		}
		return strings.ToLower(time.Month(m).String()[:3])
	})
	v.Words = strings.Fields("jan feb mar apr may jun jul aug sep oct nov dec")
	return orNone(field, v)
}

// mostSizes bounds the tank sizes and prices of a site.
const mostSizes = 1000

// quantities reads a list of quantities above 0 or a range of them, which
// become rising, each once.
func quantities(kind units.Kind, what string, field func(At) *[]float64) Value {
	v := Value{field: func(a At) any { return field(a) }}
	v.read = func(a At, g given) error {
		items, listed, err := g.list(mostSizes)
		if err != nil {
			return err
		}
		var out []float64
		if !listed {
			text, err := g.text()
			if err != nil {
				return err
			}
			var system units.System
			if out, system, err = units.ParseList(kind, what, text); err != nil {
				return err
			}
			a.votes.add(system)
		}
		for _, item := range items {
			x, err := item.quantity(a, kind, what)
			if err != nil {
				return err
			}
			out = append(out, x)
		}
		slices.Sort(out)
		*field(a) = slices.Compact(out)
		return v.check(a)
	}
	v.check = func(a At) error {
		for _, x := range *field(a) {
			if err := aboveZero(what)(x); err != nil {
				return err
			}
		}
		return nil
	}
	return v
}

// quantity reads one quantity that is a part of a value.
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

// each makes a value of a list of words parted by commas; "none" has none
// where that is allowed.
func each[T any](field func(At) *[]T, none bool, parse func(string) (T, error)) Value {
	return Value{
		field: func(a At) any { return field(a) },
		read: func(a At, g given) error {
			text, err := g.text()
			if err != nil {
				return err
			}
			var out []T
			if !none || strings.TrimSpace(text) != "none" {
				for word := range strings.SplitSeq(text, ",") {
					x, err := parse(strings.TrimSpace(word))
					if err != nil {
						return err
					}
					out = append(out, x)
				}
			}
			*field(a) = out
			return nil
		},
		show: func(a At, _ units.System) string {
			var words []string
			for _, x := range *field(a) {
				words = append(words, fmt.Sprint(x))
			}
			return strings.Join(words, ",")
		},
	}
}

// parseMonth reads "oct", "October" or "10".
func parseMonth(s string) (time.Month, error) {
	w := strings.ToLower(strings.TrimSpace(s))
	if n, err := strconv.Atoi(w); err == nil && n >= 1 && n <= 12 {
		return time.Month(n), nil
	}
	if m, ok := begins(w, 12, func(i int) string { return time.Month(i + 1).String() }); ok {
		return time.Month(m + 1), nil
	}
	return 0, fmt.Errorf("%q is no month; write a name such as oct or a number from 1 to 12", s)
}

// begins finds the name that w is or, with three letters or more, begins.
func begins(w string, n int, name func(int) string) (int, bool) {
	for i := range n {
		if len(w) >= 3 && strings.HasPrefix(strings.ToLower(name(i)), w) {
			return i, true
		}
	}
	return 0, false
}
