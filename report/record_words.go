package report

import (
	"math"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"tankodds/report/units"
	"tankodds/report/words"
)

// The lines and words of a record's sheet.

func (r *recordSheet) line(s string) { r.b.WriteString(strings.TrimRight(s, " ") + "\n") }

func (r *recordSheet) section(s string) { r.line(""); r.line(s) }

func (r *recordSheet) row(label, text string) {
	r.hanging(pad("  "+label, sheetLabel), text)
}

func (r *recordSheet) wrapped(lead, text string) { r.hanging(lead, text) }

// hanging writes text after lead and wraps it under its own beginning.
func (r *recordSheet) hanging(lead, text string) {
	indent := utf8.RuneCountInString(lead)
	for i, l := range wrap(text, SheetWidth-indent) {
		if i > 0 {
			lead = strings.Repeat(" ", indent)
		}
		r.line(lead + l)
	}
}

func (r *recordSheet) year(label int) string {
	return words.WaterYear(label, r.m.Start)
}

func (r *recordSheet) unit() string {
	if r.s == units.US {
		return "in"
	}
	return "mm"
}

// number prints a depth in mm with so many decimals of a millimetre or of an
// inch.
func (r *recordSheet) number(mm float64, decimalsMM, decimalsIn int) string {
	if r.s == units.US {
		return units.Fixed(mm/units.MMPerInch, decimalsIn)
	}
	return units.Fixed(mm, decimalsMM)
}

func (r *recordSheet) depth(mm float64, decimalsMM, decimalsIn int) string {
	return words.Depth(r.s, mm, decimalsMM, decimalsIn)
}

func (r *recordSheet) signed(mm float64) string {
	sign := "+"
	if mm < 0 {
		sign = "−"
	}
	return sign + r.depth(math.Abs(mm), 0, 2)
}

func noneOf(n int) string {
	if n == 1 {
		return "has no value of its"
	}
	return "have no value of their"
}

// blocks draws a bar of so many columns, to an eighth.
func blocks(columns float64) string {
	eighths := int(math.Round(columns * 8))
	bar := strings.Repeat("█", eighths/8)
	if e := eighths % 8; e > 0 {
		bar += string([]rune("▏▎▍▌▋▊▉")[e-1])
	}
	return bar
}

// shorten cuts the front off a path that does not fit.
func shorten(path string, width int) string {
	path = filepath.ToSlash(path)
	if r := []rune(path); len(r) > width {
		return "…" + string(r[len(r)-width+1:])
	}
	return path
}
