package units

import (
	"fmt"
	"regexp"
	"strings"
)

// Quantity is a number read with its unit.
type Quantity struct {
	Value  float64 // in the unit the kind has inside; finite, ≥ 0
	System System  // of the unit it was written in
	Sign   string  // of the currency of a price, "" where none was written
}

// largest is the largest value taken, in the unit inside: a million million
// litres is a slip of the keyboard.
const largest = 1e12

// smallest is the smallest taken beside 0.
const smallest = 1e-9

// Parse reads one quantity of a kind as people type it: "1,500 gal", "1/2 in",
// "5' 6\"", for an area in plan also its two sides, "30 ft x 40 ft", for a price
// also a sign, "$4 per 1000 gal". what names it in errors with its article, as
// in "a tank size". A number without a unit is an error that names the units it
// could have, but for 0 and for shares, which are 0 to 1 or a percentage. Every
// error is one line that says what to write.
func Parse(kind Kind, what, s string) (Quantity, error) {
	text := strings.TrimSpace(s)
	if text == "" {
		return Quantity{}, fmt.Errorf("%s is missing; %s", what, must(kind, "it"))
	}
	q, written, err := composed(kind, what, text)
	if err == nil && written == "" {
		bare, sign := text, ""
		if kind == Price {
			bare, sign = cutSign(text)
		}
		var rest string
		if q.Value, written, rest, err = number(bare); err != nil {
			return Quantity{}, fmt.Errorf("%w; %s", err, must(kind, what))
		}
		q, err = resolve(kind, what, text, q.Value, normal(rest))
		q.Sign = sign
	}
	if err != nil {
		return Quantity{}, err
	}
	switch {
	case q.Value > largest:
		return Quantity{}, fmt.Errorf("%s is too large to be meant; %s", show(text), must(kind, what))
	case q.Value < smallest && strings.ContainsAny(written, "123456789"): // 0 itself is meant
		return Quantity{}, fmt.Errorf("%s is too small to be meant; %s", show(text), must(kind, what))
	case kind == Share && q.Value > 1:
		return Quantity{}, fmt.Errorf("%s is above 1; %s", show(text), must(kind, what))
	}
	return q, nil
}

// Known reports whether s is a number with a unit of any kind.
func Known(s string) bool {
	text := strings.TrimSpace(s)
	for _, kind := range []Kind{Area, Length} {
		if _, written, err := composed(kind, "it", text); written != "" && err == nil {
			return true
		}
	}
	_, _, rest, err := number(text)
	return err == nil && len(meanings(normal(rest))) > 0
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
			return Quantity{Value: x}, nil
		case x == 0 && kind != Price:
			return Quantity{}, nil
		}
		return Quantity{}, fmt.Errorf("%s has no unit; %s is %s in %s, such as %s",
			show(text), what, kind, kinds[kind].units, kind.Example())
	}
	if name == "ml" || strings.HasPrefix(name, "ml/") || strings.HasPrefix(name, "ml ") {
		return Quantity{}, fmt.Errorf("%s could be in millilitres or in megalitres; write it in L or m3", show(text))
	}
	if name[0] >= '0' && name[0] <= '9' {
		return Quantity{}, fmt.Errorf("%s: a space stands within the number; write 2100 or 2,100 and then the unit; %s", show(text), must(kind, what))
	}
	all := meanings(name)
	for _, u := range all {
		if u.kind == kind {
			return Quantity{Value: x * u.factor / u.per, System: u.system}, nil
		}
	}
	if len(all) > 0 {
		return Quantity{}, fmt.Errorf("%s is %s; %s", show(text), all[0].kind, must(kind, what))
	}
	if at := strings.IndexAny(name, ",;"); at >= 0 && Known(fmt.Sprint(1, " ", name[:at])) {
		return Quantity{}, fmt.Errorf("%s: one value is taken here, and these are several; %s", show(text), must(kind, what))
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
			if n, _, of, err = number(of); err != nil || n == 0 {
				return nil
			}
		}
		if u, ok := volume(of); ok {
			return []unit{{kind: Price, system: u.system, factor: 1, per: n * u.factor / pricePerM3PerL}}
		}
		return nil
	}
	for _, sep := range []string{"/", " per ", " a ", " each ", " every ", " "} {
		at := strings.LastIndex(name, sep)
		if at < 0 {
			continue
		}
		of, time := name[:at], name[at+len(sep):]
		if sep == " " {
			time = adverbs[time]
		}
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
// 2 and 3 for ² and ³, no full stop after what is cut short.
func normal(name string) string {
	name = strings.NewReplacer("²", "2", "³", "3", "^", "").Replace(strings.ToLower(marks.Replace(name)))
	return strings.Join(strings.Fields(shortened.ReplaceAllString(name, "$1$2")), " ")
}

var shortened = regexp.MustCompile(`([a-z])\.([^0-9]|$)`)
