package figure

import (
	"bytes"
	"fmt"
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"tankodds/rainfall"
	"tankodds/sim"
)

// Figure is one drawing, ready to be written in either form.
type Figure struct {
	Name    string // the stem of its file name
	Title   string // what it shows, in words
	Desc    string // the same with its numbers, for those who cannot see it
	Caption string // what a reader must know to read it, and its source

	draw func(*page)
}

// Options is what figures need beside their data.
type Options struct {
	Display Display // the zero Display is SI
}

// Scale is a unit that quantities are shown in: shown = SI × Factor.
type Scale struct {
	Unit   string
	Factor float64
}

// Display is the set of units that figures are shown in.
type Display struct {
	Volume Scale   // from litres
	Bulk   Scale   // from litres, for figures that reach BulkFrom; none where Factor is 0
	BulkAt float64 // L
	Area   Scale   // from m²
	Depth  Scale   // from mm
	Step   float64 // the further storage that a gain is stated for, L
}

// SIDisplay shows litres (m³ from 100 m³), square metres and millimetres.
func SIDisplay() Display {
	return Display{
		Volume: Scale{"L", 1}, Bulk: Scale{"m³", 0.001}, BulkAt: 100000,
		Area: Scale{"m²", 1}, Depth: Scale{"mm", 1}, Step: 1000,
	}
}

// USDisplay shows US gallons (231 in³), square feet and inches.
func USDisplay() Display {
	const gallon, foot, inch = 3.785411784, 0.3048, 25.4
	return Display{
		Volume: Scale{"gal", 1 / gallon}, Area: Scale{"sq ft", 1 / (foot * foot)},
		Depth: Scale{"in", 1 / inch}, Step: 100 * gallon,
	}
}

// volume returns the scale for a figure whose largest volume is most litres.
func (d Display) volume(most float64) Scale {
	if d.Bulk.Factor > 0 && most >= d.BulkAt {
		return d.Bulk
	}
	return d.Volume
}

// figures lists what a study is drawn as. Adding a figure is one file and one
// line here. A figure that the data cannot fill says false.
var figures = []func(*sim.Result, *rainfall.Record, Options) (Figure, bool){
	reliabilityFigure,
	gainFigure,
	seasonFigure,
	func(r *sim.Result, rec *rainfall.Record, opt Options) (Figure, bool) {
		return RecordOf(rec, r.Years, opt)
	},
}

// Study returns the figures of a study. Those without data, such as the
// gain of a single size, are left out. rec may be nil.
func Study(r *sim.Result, rec *rainfall.Record, opt Options) []Figure {
	opt = opt.withDefaults()
	var out []Figure
	if r == nil || r.Study == nil {
		return nil
	}
	for _, f := range figures {
		if fig, ok := f(r, rec, opt); ok {
			out = append(out, fig)
		}
	}
	return out
}

func (o Options) withDefaults() Options {
	if o.Display.Volume.Factor == 0 {
		o.Display = SIDisplay()
	}
	return o
}

// SVG returns the figure as one svg element, without an XML declaration so
// that a page may hold it as it is.
func (f Figure) SVG() (out []byte, err error) {
	defer caught(f.Name, &err)
	c := vgsvg.New(pageWidth, pageHeight)
	f.draw(newPage(draw.New(c)))
	var buf bytes.Buffer
	if _, err := c.WriteTo(&buf); err != nil {
		return nil, fmt.Errorf("figure %s: %w", f.Name, err)
	}
	return finishSVG(f, buf.Bytes())
}

// PNG returns the figure as a picture of 1,600 by 1,000 dots.
func (f Figure) PNG() (out []byte, err error) {
	defer caught(f.Name, &err)
	c := vgimg.NewWith(vgimg.UseWH(pageWidth, pageHeight), vgimg.UseDPI(pageDPI), vgimg.UseBackgroundColor(color.White))
	f.draw(newPage(draw.New(c)))
	var buf bytes.Buffer
	if _, err := (vgimg.PngCanvas{Canvas: c}).WriteTo(&buf); err != nil {
		return nil, fmt.Errorf("figure %s: %w", f.Name, err)
	}
	return buf.Bytes(), nil
}

// caught turns a panic of the plotting library, which treats what it cannot
// draw as a programmer's mistake, into an error.
func caught(name string, err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("figure %s could not be drawn: %v", name, r)
	}
}

// layout draws the figure on nothing and returns the page, with every text
// and where it lies.
func (f Figure) layout() *page {
	pg := newPage(draw.New(vgsvg.New(pageWidth, pageHeight)))
	f.draw(pg)
	return pg
}

var _ = vg.Inch
