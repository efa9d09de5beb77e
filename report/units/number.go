package units

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

var (
	numeral  = regexp.MustCompile(`^[0-9.,]+(?:[eE][+-]?[0-9]+)?`)
	grouped  = regexp.MustCompile(`^[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?$`)
	decimal  = regexp.MustCompile(`^[0-9]+,[0-9]+$`)
	unfinite = regexp.MustCompile(`(?i)^[+-]?(nan|inf)`)
	// A fraction as a rule has it: 1/2, 3/16, 1 1/2, 1-1/2.
	fraction = regexp.MustCompile(`^(?:([0-9]{1,3})(?: +|-))?([0-9]{1,2})/([0-9]{1,2})(?:[^0-9.,]|$)`)
)

// parts are the denominators that a fraction may have. Any other is what a price
// is for, as in 4/1000 gal.
var parts = map[float64]bool{2: true, 3: true, 4: true, 5: true, 6: true, 8: true, 10: true, 12: true, 16: true, 32: true, 64: true}

// glyphs are fractions of one character.
var glyphs = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅓", " 1/3", "⅔", " 2/3", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⁄", "/")

// number cuts the number that text begins with and returns it, finite and not
// negative, its digits as written, and the rest. Errors name the text and what is
// wrong with it.
func number(text string) (x float64, written, rest string, err error) {
	switch {
	case unfinite.MatchString(text):
		return 0, "", "", fmt.Errorf("%s is not a finite number", show(text))
	case strings.HasPrefix(text, "-") || strings.HasPrefix(text, "−"):
		return 0, "", "", fmt.Errorf("%s is below 0", show(text))
	}
	plain := strings.TrimSpace(glyphs.Replace(text))
	if m := fraction.FindStringSubmatch(plain); m != nil {
		whole, _ := strconv.ParseFloat("0"+m[1], 64)
		above, _ := strconv.ParseFloat(m[2], 64)
		below, _ := strconv.ParseFloat(m[3], 64)
		if written = plain[:strings.Index(plain, "/")+1+len(m[3])]; above < below && parts[below] {
			return whole + above/below, written, plain[len(written):], nil
		}
	}
	if written = numeral.FindString(plain); written == "" {
		return 0, "", "", fmt.Errorf("%s does not begin with a number", show(text))
	}
	rest = plain[len(written):]
	digits, _, _ := strings.Cut(strings.ToLower(written), "e")
	meant := digits
	switch {
	case grouped.MatchString(digits):
		meant = strings.ReplaceAll(digits, ",", "")
	case decimal.MatchString(digits):
		meant = strings.Replace(digits, ",", ".", 1)
		err = fmt.Errorf("%s: a comma sets thousands apart, as in 1,500; for a decimal write %s", show(text), show(meant+plain[len(digits):]))
	case strings.Contains(digits, ",") || strings.Count(digits, ".") > 1:
		err = fmt.Errorf("%s: which comma or point is for thousands, and which for decimals? write it as in 1,500.5", show(text))
	}
	if err != nil {
		return 0, "", "", err
	}
	x, err = strconv.ParseFloat(meant+written[len(digits):], 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, "", "", fmt.Errorf("%s does not begin with a number that can be read", show(text))
	}
	return x, digits, rest, nil
}

// Number reads a plain number without a unit, such as a factor: finite, not
// negative, thousands commas taken.
func Number(what, s string) (float64, error) {
	text := strings.TrimSpace(s)
	if text == "" {
		return 0, fmt.Errorf("%s is missing", what)
	}
	x, _, rest, err := number(text)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", what, err)
	}
	if strings.TrimSpace(rest) != "" {
		return 0, fmt.Errorf("%s: %s is not a plain number", what, show(text))
	}
	return x, nil
}

// Money reads a sum such as "1,400", "$1,400" or "1400 EUR", and its sign, ""
// where there is none.
func Money(what, s string) (x float64, sign string, err error) {
	bare, sign := cutSign(strings.TrimSpace(s))
	x, err = Number(what, bare)
	return x, sign, err
}

// currency finds a sign of money, before or behind the number that text begins
// with.
var currency = regexp.MustCompile(`^([0-9.,]*[0-9])?\s*([A-Za-z]{0,3}\p{Sc}|(?:USD|EUR|GBP|AUD|CAD|NZD|CHF|ZAR|INR|JPY|SEK|NOK|DKK)\b)\s*`)

// cutSign cuts a sign of money off. Cents are none: they would be taken for a
// hundred times as much.
func cutSign(text string) (bare, sign string) {
	m := currency.FindStringSubmatch(text)
	if m == nil || strings.Contains(m[2], "¢") {
		return text, ""
	}
	return strings.TrimSpace(m[1] + " " + text[len(m[0]):]), m[2]
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
