package report

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/report/codec"
)

// Names of values in words, made from their paths.

func join(name, more string) string {
	if name == "" || more == "" {
		return name + more
	}
	return name + " · " + more
}

// keyName says a key in words: "safe_tank_l" is "safe tank, L". Where a key
// ends in the word for its unit, as in "short_days", that is enough.
func keyName(key string) string {
	unit := ""
	for _, u := range codec.Units {
		cut, ok := strings.CutSuffix(key, u.End)
		if !ok || cut == "" {
			continue
		}
		switch u.Unit {
		case "years", "days", "share":
		case "a year", "a m³":
			key, unit = cut, " "+u.Unit
		default:
			key, unit = cut, ", "+u.Unit
		}
		break
	}
	return strings.ReplaceAll(key, "_", " ") + unit
}

// tells are the keys that tell one member of a list from another, in the
// order they are said, with the words around their value.
var tells = []struct{ key, before, after string }{
	{"method", "", ""},
	{"roof_m2", "roof ", " m²"},
	{"tank_l", "tank ", " L"},
	{"name", "", ""},
	{"id", "", ""},
	{"rule", "", ""},
	{"label", "", ""},
	{"code", "", ""},
	{"year", "", ""},
	{"month", "", ""},
	{"date", "", ""},
	{"months", "", " months"},
}

// elementName says which member of a list is meant: by what it holds, by the
// day or month it stands for, or by its number.
func elementName(of *codec.Node, i int, file, again *codec.Node) string {
	n := again
	if n == nil {
		n = file
	}
	if n.Kind == codec.Object {
		if name := toldBy(n); name != "" {
			return name
		}
	}
	if n.Kind == codec.List && n.Len() > 0 && toldBy(n.Items[0]) != "" {
		return "" // the members of the inner list say it
	}
	switch {
	case !n.Scalar():
	case of.Len() == rainfall.DaysPerYear:
		return fmt.Sprintf("day %d", i+1)
	case of.Len() == 12:
		return time.Month(i + 1).String()
	}
	return fmt.Sprintf("no. %d", i+1)
}

func toldBy(n *codec.Node) string {
	var said []string
	for _, t := range tells {
		v := n.At(t.key)
		if v == nil || v.Kind != codec.Text && v.Kind != codec.Number || v.Text == "" {
			continue
		}
		said = append(said, t.before+rounded(v, 4)+t.after)
		if t.before == "" {
			break
		}
	}
	return strings.Join(said, ", ")
}

// rounded prints a scalar, a number to so many digits where that is shorter.
func rounded(n *codec.Node, digits int) string {
	if n.Kind != codec.Number {
		return n.Text
	}
	x, err := strconv.ParseFloat(n.Text, 64)
	short := strconv.FormatFloat(x, 'g', digits, 64)
	if x == float64(int64(x)) && x < 1e9 && x > -1e9 {
		short = strconv.FormatFloat(x, 'f', 0, 64)
	}
	if err != nil || len(short) > len(n.Text) {
		return n.Text
	}
	return short
}
