package figure

import (
	"image/color"
	"slices"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// page is the sheet that one figure is drawn on. It remembers where its
// texts and markers lie, so that no label is set over another.
type page struct {
	c     draw.Canvas
	texts []placed
	marks []vg.Rectangle

	inline *Inline // where the figure is part of a page; nil on a sheet of its own
}

// placed is a text and the box it fills.
type placed struct {
	text string
	box  vg.Rectangle
}

func newPage(c draw.Canvas) *page {
	c.SetColor(paper)
	c.Fill(c.Rectangle.Path())
	return &page{c: c}
}

// box returns the box that s would fill with its baseline at y: align 0
// begins at x, ½ is centred on it, 1 ends at it.
func box(s string, f face, x, y vg.Length, align float64) vg.Rectangle {
	w := f.width(s)
	x -= w * vg.Length(align)
	return vg.Rectangle{Min: vg.Point{X: x, Y: y - f.descent()}, Max: vg.Point{X: x + w, Y: y + f.ascent()}}
}

// text sets s with its baseline at y.
func (p *page) text(s string, f face, c color.Color, x, y vg.Length, align float64) {
	if s == "" {
		return
	}
	b := box(s, f, x, y, align)
	p.texts = append(p.texts, placed{s, b})
	p.c.SetColor(c)
	p.c.FillString(f.font(), vg.Point{X: b.Min.X, Y: y}, s)
}

// free reports whether nothing set so far lies within gap of the box.
func (p *page) free(b vg.Rectangle, gap vg.Length) bool {
	for _, t := range p.texts {
		if overlap(t.box, b, gap) {
			return false
		}
	}
	for _, m := range p.marks {
		if overlap(m, b, gap) {
			return false
		}
	}
	return true
}

// inset returns what is left of a room within its left, lower, right and upper
// margin.
func inset(r vg.Rectangle, left, bottom, right, top vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: r.Min.X + left, Y: r.Min.Y + bottom}, Max: vg.Point{X: r.Max.X - right, Y: r.Max.Y - top}}
}

// grow returns a box with a margin around it.
func grow(r vg.Rectangle, by vg.Length) vg.Rectangle { return inset(r, -by, -by, -by, -by) }

// around returns the box of a size about its centre.
func around(at vg.Point, w, h vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: at.X - w/2, Y: at.Y - h/2}, Max: vg.Point{X: at.X + w/2, Y: at.Y + h/2}}
}

func overlap(a, b vg.Rectangle, gap vg.Length) bool {
	return a.Min.X < b.Max.X+gap && b.Min.X < a.Max.X+gap && a.Min.Y < b.Max.Y+gap && b.Min.Y < a.Max.Y+gap
}

// frame sets the title, the subtitle and the foot, and returns what is left
// between them.
func (p *page) frame(title, subtitle, foot string) vg.Rectangle {
	if p.inline != nil {
		return p.frameInline(title, subtitle, foot)
	}
	left, width := p.c.Min.X+Margin, p.c.Max.X-p.c.Min.X-2*Margin
	y := p.c.Max.Y - Margin + 4
	f := titleFace
	for len(fill(title, f, width)) > 2 && f.size > 12 {
		f.size--
	}
	for _, s := range wrapAt(title, f, width, 2) {
		y -= f.leading()
		p.text(s, f, Ink, left, y+f.descent(), 0)
	}
	y -= 4
	for _, s := range fillAtMost(subtitle, subFace, width, 3) {
		y -= subFace.leading()
		p.text(s, subFace, Muted, left, y+subFace.descent(), 0)
	}
	bottom := p.c.Min.Y + Margin - 4
	for _, s := range slices.Backward(fillAtMost(foot, footFace, width, 4)) {
		p.text(s, footFace, Muted, left, bottom+footFace.descent(), 0)
		bottom += footFace.leading()
	}
	return vg.Rectangle{Min: vg.Point{X: left, Y: bottom + 8}, Max: vg.Point{X: left + width, Y: y - 10}}
}

const ellipsis = "…"

// clipAt shortens s, at its end, until it fits: between two words where that
// loses little.
func clipAt(s string, f face, width vg.Length) string {
	if f.width(s) <= width {
		return s
	}
	if words := cut(s, " ", f, width); f.width(words) > 0.6*width {
		return words
	}
	return cut(s, "", f, width)
}

// cut drops pieces that end in sep, the last first, until the rest and an
// ellipsis fit.
func cut(s, sep string, f face, width vg.Length) string {
	for s != "" {
		n := len(s) - 1
		if sep != "" {
			n = max(0, strings.LastIndex(s, sep))
		} else if _, k := utf8.DecodeLastRuneInString(s); k > 0 {
			n = len(s) - k
		}
		s = strings.TrimRight(s[:n], " ,;")
		if f.width(s+ellipsis) <= width {
			break
		}
	}
	return s + ellipsis
}

// wrapAt breaks s at its blanks into at most most lines, as even as they can
// be; what does not fit is clipped.
func wrapAt(s string, f face, width vg.Length, most int) []string {
	lines := fillAtMost(s, f, width, most)
	if len(lines) < 2 || len(fill(s, f, width)) > most {
		return lines
	}
	lo, hi := width*0.4, width // the narrowest measure that keeps the count
	for hi-lo > 2 {
		mid := (lo + hi) / 2
		if len(fill(s, f, mid)) > len(lines) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return fill(s, f, hi)
}

// fillAtMost is fill for at most most lines; what does not fit is clipped.
func fillAtMost(s string, f face, width vg.Length, most int) []string {
	lines := fill(s, f, width)
	if len(lines) <= most {
		return lines
	}
	rest := strings.Join(lines[most-1:], " ")
	return append(lines[:most-1:most-1], clipAt(rest, f, width))
}

// fill breaks s greedily. A word wider than the line is clipped.
func fill(s string, f face, width vg.Length) []string {
	var lines []string
	line := ""
	for _, w := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		switch {
		case line == "":
			line = w
		case f.width(line+" "+w) <= width:
			line += " " + w
		default:
			lines = append(lines, clipAt(line, f, width))
			line = w
		}
	}
	if line == "" {
		return lines
	}
	return append(lines, clipAt(line, f, width))
}
