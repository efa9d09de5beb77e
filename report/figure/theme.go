package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Width and Height are the page of a figure: 8 in × 5 in, at 200 dots an inch
// where it is made of dots (1,600 × 1,000). Margin is free on all four sides.
const (
	Width   = 8 * vg.Inch
	Height  = 5 * vg.Inch
	Margin  = vg.Length(18)
	pageDPI = 200
)

// fontStack is what an SVG asks a reader's machine for. The first three share
// their widths, so that a layout made for one holds for the others.
const fontStack = `'Liberation Sans', Arial, Helvetica, sans-serif`

var (
	Ink      = color.NRGBA{0x1d, 0x1f, 0x22, 0xff} // titles and names
	Muted    = color.NRGBA{0x5a, 0x60, 0x68, 0xff} // all other text
	Hairline = color.NRGBA{0xdd, 0xdf, 0xe2, 0xff}
	Baseline = color.NRGBA{0x8c, 0x92, 0x99, 0xff}
	bystand  = color.NRGBA{0xa6, 0xae, 0xb6, 0xff} // curves that are not the point
	paper    = color.NRGBA{0xff, 0xff, 0xff, 0xff}
)

// The palette of Okabe & Ito, "Color Universal Design" (2008), safe for
// colour-blind readers: values from memory, unverified.
var (
	blue   = color.NRGBA{0x00, 0x72, 0xb2, 0xff}
	orange = color.NRGBA{0xe6, 0x9f, 0x00, 0xff}
	green  = color.NRGBA{0x00, 0x9e, 0x73, 0xff}
	red    = color.NRGBA{0xd5, 0x5e, 0x00, 0xff} // "vermillion"
	purple = color.NRGBA{0xcc, 0x79, 0xa7, 0xff}
	sky    = color.NRGBA{0x56, 0xb4, 0xe9, 0xff}
	yellow = color.NRGBA{0xf0, 0xe4, 0x42, 0xff}
)

// What stands out in a document around the figures.
var Accent, Warn = blue, red

// Face returns the figures' typeface at a size.
func Face(size vg.Length, bold bool) font.Face { return face{size, bold}.font() }

// palette is the order in which curves of equal rank are coloured: the pairs
// hardest to tell apart, and the yellow that is faint on white, come last.
var palette = []color.NRGBA{blue, red, green, purple, orange, sky, Ink, yellow}

// Tint mixes share of a colour with white: a soft fill that hides nothing
// behind transparency, and so prints alike everywhere.
func Tint(c color.NRGBA, share float64) color.NRGBA {
	f := func(x uint8) uint8 { return uint8(math.Round(255 - share*(255-float64(x)))) }
	return color.NRGBA{f(c.R), f(c.G), f(c.B), 0xff}
}

// minVisible is the contrast below which a line is lost on white.
const minVisible = 1.6

// minContrast is what text needs against its ground (WCAG 2.1, success
// criterion 1.4.3, level AA).
const minContrast = 4.5

// readable darkens a colour until text in it can be read on white.
func readable(c color.NRGBA) color.NRGBA {
	for contrast(c, paper) < minContrast {
		f := func(x uint8) uint8 { return uint8(float64(x) * 0.95) }
		c = color.NRGBA{f(c.R), f(c.G), f(c.B), c.A}
	}
	return c
}

// contrast is the contrast ratio of WCAG 2.1, 1 to 21.
func contrast(a, b color.NRGBA) float64 {
	l := func(c color.NRGBA) float64 {
		f := func(x uint8) float64 {
			v := float64(x) / 255
			if v <= 0.03928 {
				return v / 12.92
			}
			return math.Pow((v+0.055)/1.055, 2.4)
		}
		return 0.2126*f(c.R) + 0.7152*f(c.G) + 0.0722*f(c.B)
	}
	x, y := l(a), l(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// face is one of the theme's type sizes, regular or bold.
type face struct {
	size vg.Length
	bold bool
}

var (
	titleFace = face{16, true}
	subFace   = face{10, false}
	tickFace  = face{9, false}
	nameFace  = face{9.5, true}
	labelFace = face{9.5, false}
	footFace  = face{7.5, false}
)

// boldWeight is the plotting library's bold, a constant of a module that is
// not required here directly.
const boldWeight = 3

func (f face) font() font.Face {
	fnt := font.Font{Typeface: "Liberation", Variant: "Sans"}
	if f.bold {
		fnt.Weight = boldWeight
	}
	return font.DefaultCache.Lookup(fnt, f.size)
}

// width returns how wide a string is set.
func (f face) width(s string) vg.Length {
	fnt := f.font()
	return fnt.Width(s)
}

// widest returns how wide the widest of some strings is set.
func (f face) widest(all ...string) vg.Length {
	most := vg.Length(0)
	for _, s := range all {
		most = max(most, f.width(s))
	}
	return most
}

// leading is the distance between two baselines.
func (f face) leading() vg.Length { return f.size * 1.25 }

// ascent and descent bound the letters about the baseline; the descent of g
// and p, the ascent of É.
func (f face) ascent() vg.Length  { return f.size * 0.80 }
func (f face) descent() vg.Length { return f.size * 0.22 }

func stroke(c color.Color, width vg.Length, dashes ...vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: c, Width: width, Dashes: dashes}
}
