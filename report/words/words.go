// Package words holds every sentence and finding that the program says of
// rain, records and results, each made once, in the units of whoever reads it.
// A sentence has no full stop where it may stand within another.
package words

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"tankodds/report/units"
)

// Plural counts: "1 day", "1,200 days".
func Plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	if strings.HasSuffix(one, "ch") {
		one += "e"
	}
	return Whole(n) + " " + one + "s"
}

// Whole is a whole number with its thousands set apart.
func Whole(n int) string { return units.Fixed(float64(n), 0) }

// Join says "a, b or c", joined by the last word.
func Join(all []string, joint string) string {
	n := len(all)
	if n < 2 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:n-1], ", ") + " " + joint + " " + all[n-1]
}

// CountRange says "1 to 6 years", "no year", "3 years".
func CountRange(low, high float64, one string) string {
	switch {
	case high == 0:
		return "no " + one
	case low == high:
		return Plural(int(low), one)
	}
	return fmt.Sprintf("%g to %s", low, Plural(int(high), one))
}

// VolumeRange says "8,900 to 14,200 L": the unit once.
func VolumeRange(u units.System, low float64, joint string, high float64) string {
	c := u.VolumeColumn(low, high)
	return c.Words(low) + " " + joint + " " + c.Words(high) + " " + c.Unit
}

// UpperFirst begins a sentence: its first letter, of ASCII, is made a capital.
func UpperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// WaterYear names the water year of a label that begins in a month: 1976, or
// 1976/77 where it crosses New Year.
func WaterYear(label int, start time.Month) string {
	if start == time.January {
		return fmt.Sprint(label)
	}
	return fmt.Sprintf("%d/%02d", label, (label+1)%100)
}

// Probability says what stands behind the p of a test: "= 0.041".
func Probability(p float64) string {
	if p < 0.001 {
		return "< 0.001"
	}
	return "= " + strconv.FormatFloat(p, 'f', 3, 64)
}

// Hang wraps text that begins at a column, later lines under its beginning.
func Hang(indent, width int, text string) string {
	line, out := indent, ""
	for i, w := range strings.Fields(text) {
		n := len([]rune(w))
		switch {
		case i == 0:
		case line+1+n > width:
			out += "\n" + strings.Repeat(" ", indent)
			line = indent
		default:
			out += " "
			line++
		}
		out += w
		line += n
	}
	return out
}
