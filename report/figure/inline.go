package figure

import (
	"fmt"

	"gonum.org/v1/plot/vg"
)

// Inline is a figure as part of a page of text: the drawing alone, its words
// apart from it so that the page can set them.
type Inline struct {
	SVG           []byte
	Width, Height float64 // of its viewBox, pt
	Title         string  // what it shows, in words
	Sub           string  // what is drawn, and in which units
	Foot          string  // how to read it, and its source
	Readings      []Reading
}

// Reading is what can be read off a figure at one place.
type Reading struct {
	X, Y float64 // in the SVG's viewBox, from its top left
	Text string
	Tank float64 // the size that it is about, L; 0 for none
}

// Inline draws the figure for a page, in any size (pt) from about 300 by 240;
// the letters are as large as on the sheet that SVG draws.
func (f Figure) Inline(width, height float64) (Inline, error) {
	out := Inline{Width: width, Height: height}
	svg, _, err := f.svg(vg.Length(width), vg.Length(height), &out)
	out.SVG = svg
	return out, err
}

// inlineMargin lies around the drawing on a page of text, whose own margins
// do the rest.
const inlineMargin = 6

// frameInline keeps the words of a figure for the page to set.
func (p *page) frameInline(title, subtitle, foot string) vg.Rectangle {
	p.inline.Title, p.inline.Sub, p.inline.Foot = title, subtitle, foot
	return inset(p.c.Rectangle, inlineMargin, inlineMargin, inlineMargin, inlineMargin+6)
}

// reads notes what can be read off the panel at x, y, in the units of its
// axes.
func (p *panel) reads(x, y float64, format string, args ...any) {
	in := p.page.inline
	if in == nil || !finite(x) || !finite(y) {
		return
	}
	in.Readings = append(in.Readings, Reading{
		X: p.x(x).Points(), Y: in.Height - p.y(y).Points(), Text: fmt.Sprintf(format, args...),
	})
}
