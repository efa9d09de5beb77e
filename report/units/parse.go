package units

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// Quantity is a number read with its unit.
type Quantity struct {
	Value  float64 // in the unit the kind has inside; finite, ≥ 0
	System System  // of the unit it was written in
}

// largest is the largest value taken, in the unit inside: a million million
// litres is a slip of the keyboard.
const largest = 1e12

// smallest is the smallest taken beside 0.
const smallest = 1e-9

// Parse reads one quantity of a kind, such as "1500 gal". what names it in
// errors with its article, as in "a tank size". A space before the unit and
// thousands commas in groups of three are taken. A number without a unit is an
// error that names the units it could have, but for 0 and for shares, which
// are 0 to 1 or a percentage. Every error is one line that says what to write.
func Parse(kind Kind, what, s string) (Quantity, error) {
	text := strings.TrimSpace(s)
	if text == "" {
		return Quantity{}, fmt.Errorf("%s is missing; %s", what, must(kind, "it"))
	}
	x, rest, err := number(text)
	if err != nil {
		return Quantity{}, fmt.Errorf("%w; %s", err, must(kind, what))
	}
	q, err := resolve(kind, what, text, x, normal(rest))
	if err != nil {
		return Quantity{}, err
	}
	if q.Value > largest {
		return Quantity{}, fmt.Errorf("%s is too large to be meant; %s", show(text), must(kind, what))
	}
	digits, _, _ := strings.Cut(strings.ToLower(numeral.FindString(text)), "e")
	if q.Value < smallest && strings.ContainsAny(digits, "123456789") { // 0 itself is meant
		return Quantity{}, fmt.Errorf("%s is too small to be meant; %s", show(text), must(kind, what))
	}
	if kind == Share && q.Value > 1 {
		return Quantity{}, fmt.Errorf("%s is above 1; %s", show(text), must(kind, what))
	}
	return q, nil
}

// Known reports whether s is a number with a unit of any kind.
func Known(s string) bool {
	_, rest, err := number(strings.TrimSpace(s))
	if err != nil {
		return false
	}
	return len(meanings(normal(rest))) > 0
}

// must says what a quantity has to be, in the words that end every error.
func must(kind Kind, what string) string {
	return fmt.Sprintf("%s is %s such as %s", what, kind, kind.Example())
}

// resolve turns a number and its unit text into a quantity of the kind.
func resolve(kind Kind, what, text string, x float64, name string) (Quantity, error) {
	if name == "" {
		switch {
		case kind == Share:
			return Quantity{x, Unstated}, nil
		case x == 0 && kind != Price:
			return Quantity{0, Unstated}, nil
		}
		return Quantity{}, fmt.Errorf("%s has no unit; %s is %s in %s, such as %s",
			show(text), what, kind, kinds[kind].units, kind.Example())
	}
	if name == "ml" || strings.HasPrefix(name, "ml/") || strings.HasPrefix(name, "ml ") {
		return Quantity{}, fmt.Errorf("%s could be in millilitres or in megalitres; write it in L or m3", show(text))
	}
	all := meanings(name)
	for _, u := range all {
		if u.kind == kind {
			return Quantity{x * u.factor / u.per, u.system}, nil
		}
	}
	if len(all) > 0 {
		return Quantity{}, fmt.Errorf("%s is %s; %s", show(text), all[0].kind, must(kind, what))
	}
	return Quantity{}, fmt.Errorf("%s: no unit is called %s; %s", show(text), show(name), must(kind, what))
}

// meanings returns what a unit may mean: one of the table, of which a name may
// serve two kinds, a flow such as "L/day" and "gal per week", or what a price
// is for, such as "per m3" and "/1000 gal".
func meanings(name string) []unit {
	if of, ok := cutPer(name); ok {
		n := 1.0
		if of != "" && of[0] >= '0' && of[0] <= '9' {
			var err error
			if n, of, err = number(of); err != nil || n == 0 {
				return nil
			}
		}
		if u, ok := volume(of); ok {
			return []unit{{kind: Price, system: u.system, factor: 1, per: n * u.factor / pricePerM3PerL}}
		}
		return nil
	}
	for _, sep := range []string{"/", " per ", " a "} {
		of, time, _ := strings.Cut(name, sep)
		n, known := days[strings.TrimSpace(time)]
		if u, ok := volume(of); ok && known {
			return []unit{{kind: Flow, system: u.system, factor: u.factor, per: n}}
		}
	}
	return byName[name]
}

// volume returns the unit of volume of a name.
func volume(name string) (unit, bool) {
	all := byName[strings.TrimSpace(name)]
	if len(all) != 1 || all[0].kind != Volume {
		return unit{}, false
	}
	return all[0], true
}

// cutPer cuts the "/" or "per " that begins the unit of a price.
func cutPer(name string) (string, bool) {
	if after, ok := strings.CutPrefix(name, "/"); ok {
		return strings.TrimSpace(after), true
	}
	return strings.CutPrefix(name, "per ")
}

// normal brings a unit to the form of the table: lower case, single spaces,
// 2 and 3 for ² and ³.
func normal(name string) string {
	name = strings.NewReplacer("²", "2", "³", "3", "^", "").Replace(strings.ToLower(name))
	return strings.Join(strings.Fields(name), " ")
}

var (
	numeral  = regexp.MustCompile(`^[0-9.,]+(?:[eE][+-]?[0-9]+)?`)
	grouped  = regexp.MustCompile(`^[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?$`)
	decimal  = regexp.MustCompile(`^[0-9]+,[0-9]+$`)
	unfinite = regexp.MustCompile(`(?i)^[+-]?(nan|inf)`)
)

// number cuts the number that text begins with and returns it, finite and not
// negative, and the rest. Errors name the text and what is wrong with it.
func number(text string) (float64, string, error) {
	switch {
	case unfinite.MatchString(text):
		return 0, "", fmt.Errorf("%s is not a finite number", show(text))
	case strings.HasPrefix(text, "-") || strings.HasPrefix(text, "−"):
		return 0, "", fmt.Errorf("%s is below 0", show(text))
	}
	digits := numeral.FindString(text)
	if digits == "" {
		return 0, "", fmt.Errorf("%s does not begin with a number", show(text))
	}
	rest := text[len(digits):]
	switch {
	case decimal.MatchString(digits) && !grouped.MatchString(digits):
		return 0, "", fmt.Errorf("%s has a decimal comma; write %s", show(text), show(strings.Replace(text, ",", ".", 1)))
	case grouped.MatchString(digits):
		digits = strings.ReplaceAll(digits, ",", "")
	}
	x, err := strconv.ParseFloat(digits, 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, "", fmt.Errorf("%s does not begin with a number that can be read", show(text))
	}
	return x, rest, nil
}

// Number reads a plain number without a unit, such as a price: finite, not
// negative, thousands commas taken.
func Number(what, s string) (float64, error) {
	text := strings.TrimSpace(s)
	if text == "" {
		return 0, fmt.Errorf("%s is missing", what)
	}
	x, rest, err := number(text)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", what, err)
	}
	if strings.TrimSpace(rest) != "" {
		return 0, fmt.Errorf("%s: %s is not a plain number", what, show(text))
	}
	return x, nil
}

// show makes text fit to stand in a one-line message.
func show(text string) string {
	plain := len(text) > 0 && len(text) <= 60
	for _, r := range text {
		plain = plain && unicode.IsPrint(r) && r != unicode.ReplacementChar
	}
	if plain {
		return text
	}
	if len(text) > 60 {
		text = text[:60]
	}
	return strconv.Quote(text)
}
