package units

import (
	"fmt"
	"regexp"
	"strings"
)

// marks are the signs of feet and inches that editors and telephones make of
// theirs.
var marks = strings.NewReplacer("’", "'", "′", "'", "‘", "'", "”", "\"", "″", "\"", "“", "\"", "''", "\"")

var (
	feetInches = regexp.MustCompile(`(?i)^([^'a-z]+)\s*(?:'|ft\.?|foot|feet)[\s,-]*([0-9½¼¾⅓⅔⅛⅜⅝⅞][^'a-z]*?)\s*(?:"|in\.?|inch|inches)$`)
	twoSides   = regexp.MustCompile(`(?i)^([0-9½¼¾⅓⅔⅛⅜⅝⅞][^x×*]*?)\s*(?:x|×|\*|\bby\b)\s*([0-9½¼¾⅓⅔⅛⅜⅝⅞].*)$`)
)

// composed reads what is made of two quantities: a length of feet and inches,
// and an area of two sides. written is "" where text is neither.
func composed(kind Kind, what, text string) (q Quantity, written string, err error) {
	plain := marks.Replace(text)
	made := Length
	if m := feetInches.FindStringSubmatch(plain); m != nil {
		q, err = feet(text, m[1], m[2])
	} else if m := twoSides.FindStringSubmatch(plain); m != nil {
		made = Area
		q, err = sides(m[1], m[2])
	} else {
		return q, "", nil
	}
	switch {
	case err != nil && made != kind:
		return q, "", nil // it was not meant so
	case err == nil && made != kind:
		err = fmt.Errorf("%s is %s; %s", show(text), made, must(kind, what))
	}
	return q, plain, err
}

func feet(text, feet, inches string) (Quantity, error) {
	ft, err := Number("feet", feet)
	if err != nil {
		return Quantity{}, err
	}
	in, err := Number("inches", inches)
	if err != nil {
		return Quantity{}, err
	}
	if in >= 12 {
		return Quantity{}, fmt.Errorf("%s: there are 12 inches to a foot; write it in feet alone or in inches alone", show(text))
	}
	return Quantity{Value: float64(ft*MPerFoot) + in*MMPerInch/1000, System: US}, nil
}

func sides(a, b string) (Quantity, error) {
	a, b = shareUnit(a, b)
	long, err := Parse(Length, "a side", a)
	if err != nil {
		return Quantity{}, err
	}
	wide, err := Parse(Length, "a side", b)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{Value: long.Value * wide.Value, System: wide.System}, nil
}
