package units

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// mostValues bounds a range and a list: more is a slip of the keyboard.
const mostValues = 1000

// bareItem finds a number without a unit before a comma and a digit: a
// thousands comma, or a list with one unit for all.
var bareItem = regexp.MustCompile(`(?:^|,)\s*[0-9.]+,[0-9]`)

// parting is what separates in a list: a semicolon, or a comma that is no
// thousands comma where one is followed by a space.
var parting = regexp.MustCompile(`\s*;\s*|\s*,\s+`)

// ParseList reads several quantities of a kind: a list "1000L,2000L,5000L" or
// a range "500L..20000L/50", from..to/how many. A range of volumes is spaced
// geometrically, of anything else evenly; its ends are exact. A range may
// carry its unit on one end alone. The values come back rising, each once.
//
// Thousands commas are taken in a range, and in a list that a semicolon, or a
// comma and a space, separates. Where commas alone do they would be ambiguous.
func ParseList(kind Kind, what, s string) ([]float64, System, error) {
	text := strings.TrimSpace(s)
	if from, rest, ok := strings.Cut(text, ".."); ok {
		return parseRange(kind, what, text, from, rest)
	}
	var out []float64
	var system System
	if n := strings.Count(text, ",") + strings.Count(text, ";") + 1; n > mostValues {
		return nil, Unstated, fmt.Errorf("%d values are listed; %d are the most", n, mostValues)
	}
	for _, part := range parting.Split(text, -1) {
		items := []string{part}
		switch bare := bareItem.MatchString(part); {
		case bare && part == text:
			return nil, Unstated, fmt.Errorf("%s: in a list a comma separates; write the unit on every value and no thousands comma, as in 1500gal,2000gal", show(text))
		case !bare:
			items = strings.Split(part, ",")
		}
		for _, item := range items {
			q, err := Parse(kind, what, item)
			if err != nil {
				return nil, Unstated, err
			}
			out = append(out, q.Value)
			if q.System != Unstated {
				system = q.System
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out), system, nil
}

func parseRange(kind Kind, what, text, from, rest string) ([]float64, System, error) {
	slash := max(0, strings.LastIndex(rest, "/"))
	to, count := rest[:slash], rest[slash:]
	n, err := strconv.Atoi(strings.TrimSpace(strings.TrimPrefix(count, "/")))
	if !strings.HasPrefix(count, "/") || err != nil {
		return nil, Unstated, fmt.Errorf("%s does not say how many values; write from..to/how many, as in %s", show(text), rangeExample(kind))
	}
	if n < 2 || n > mostValues {
		return nil, Unstated, fmt.Errorf("%s asks for %d values; a range has 2 to %d", show(text), n, mostValues)
	}
	from, to = shareUnit(from, to)
	lo, err := Parse(kind, what, from)
	if err != nil {
		return nil, Unstated, err
	}
	hi, err := Parse(kind, what, to)
	if err != nil {
		return nil, Unstated, err
	}
	switch {
	case !(lo.Value > 0):
		return nil, Unstated, fmt.Errorf("%s begins at 0; %s is above 0", show(text), what)
	case !(lo.Value < hi.Value):
		return nil, Unstated, fmt.Errorf("%s does not rise; write from..to/how many, as in %s", show(text), rangeExample(kind))
	}
	spaced := Even
	if kind == Volume {
		spaced = Geometric
	}
	out := spaced(lo.Value, hi.Value, n)
	for i := 1; i < n; i++ {
		if !(out[i] > out[i-1]) {
			return nil, Unstated, fmt.Errorf("%s has ends too close or too far apart for %d values", show(text), n)
		}
	}
	return out, hi.System, nil
}

func rangeExample(kind Kind) string {
	if kind == Area {
		return "50m2..400m2/20"
	}
	return "500L..20000L/50"
}

// shareUnit gives the end of a range that has no unit the other's.
func shareUnit(from, to string) (string, string) {
	unitOf := func(s string) (string, bool) {
		_, _, rest, err := number(strings.TrimSpace(s))
		return strings.TrimSpace(rest), err == nil
	}
	a, okA := unitOf(from)
	b, okB := unitOf(to)
	switch {
	case !okA || !okB:
	case a == "" && b != "":
		from += " " + b
	case b == "" && a != "":
		to += " " + a
	}
	return from, to
}

// Geometric returns n ≥ 2 values from lo to hi, 0 < lo < hi, each the same
// multiple of the one before; the ends are exact. The ratio is found by
// bisection on plain products, not by a logarithm, so that every processor
// gets the same bits.
func Geometric(lo, hi float64, n int) []float64 {
	want := hi / lo
	a, b := 1.0, want
	for {
		mid := a + (b-a)/2
		if mid <= a || mid >= b {
			break
		}
		if power(mid, n-1) > want {
			b = mid
		} else {
			a = mid
		}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = lo * power(a, i)
	}
	out[n-1] = hi
	return out
}

// power returns x to the n, by squaring.
func power(x float64, n int) float64 {
	y := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			y *= x
		}
		x *= x
	}
	return y
}

// Even returns n ≥ 2 values from lo to hi in equal steps; the ends are exact.
func Even(lo, hi float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		share := float64(i) / float64(n-1)
		out[i] = lo + float64((hi-lo)*share)
	}
	out[n-1] = hi
	return out
}
