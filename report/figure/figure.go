package figure

import (
	"bytes"
	"fmt"
	"image/png"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"tankodds/rainfall"
	"tankodds/report/units"
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

// drawn completes a figure that has its title and caption: what says what is
// shown, said its numbers for those who cannot see it, and draw fills the room
// between title and foot.
func (f Figure) drawn(what, said string, draw func(*page, vg.Rectangle)) (Figure, bool) {
	f.Desc = join(f.Title+".", what, said, f.Caption)
	f.draw = func(pg *page) { draw(pg, pg.frame(f.Title, what, f.Caption)) }
	return f, true
}

// Options is what figures need beside their data.
type Options struct {
	Units units.System
}

// figures lists what a study is drawn as. Adding a figure is one file and one
// line here. A figure that the data cannot fill says false.
var figures = []func(*sim.Result, *rainfall.Summary, Options) (Figure, bool){
	reliabilityFigure,
	turnoverFigure,
	seasonFigure,
	balanceFigure,
	stripFigure,
	mapFigure,
	influencesFigure,
	recordFigure,
}

// Study returns the figures of a study. Those without data, such as the
// map of a single area, are left out. rec may be nil.
func Study(r *sim.Result, rec *rainfall.Summary, opt Options) []Figure {
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

// Reliability and Season are figures of Study by themselves; false where there is
// nothing to draw.
func Reliability(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	return reliabilityFigure(r, rec, opt)
}

func Season(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	return seasonFigure(r, rec, opt)
}

// SVG returns the figure as one svg element, without an XML declaration so
// that a page may hold it as it is.
func (f Figure) SVG() ([]byte, error) {
	out, _, err := f.svg(Width, Height, nil)
	return out, err
}

// svg draws the figure in any size, with its words apart where in is given,
// and returns what was drawn on too, with every text and where it lies.
func (f Figure) svg(w, h vg.Length, in *Inline) (out []byte, pg *page, err error) {
	defer caught(f.Name, &err)
	c := vgsvg.New(w, h)
	pg = newPage(draw.New(c))
	pg.inline = in
	f.draw(pg)
	var buf bytes.Buffer
	if _, err := c.WriteTo(&buf); err != nil {
		return nil, nil, fmt.Errorf("figure %s: %w", f.Name, err)
	}
	out, err = finishSVG(f, buf.Bytes(), w, h)
	return out, pg, err
}

// PNG returns the figure as a picture of 1,600 by 1,000 dots.
func (f Figure) PNG() (out []byte, err error) {
	c := vgimg.NewWith(vgimg.UseWH(Width, Height), vgimg.UseDPI(pageDPI), vgimg.UseBackgroundColor(paper))
	if err := f.Draw(c, Width, Height); err != nil {
		return nil, err
	}
	var buf bytes.Buffer
	// Pressing harder takes half as long again and saves a thirtieth.
	fast := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := fast.Encode(&buf, c.Image()); err != nil {
		return nil, fmt.Errorf("figure %s: %w", f.Name, err)
	}
	return buf.Bytes(), nil
}

// Draw draws the figure onto a canvas of any kind, over an area of its own
// size or lower. It leaves the ground as it is, and Margin free at the edges.
func (f Figure) Draw(c vg.Canvas, w, h vg.Length) (err error) {
	defer caught(f.Name, &err)
	f.draw(&page{c: draw.NewCanvas(c, w, h)})
	return nil
}

// caught turns a panic of the plotting library, which treats what it cannot
// draw as a programmer's mistake, into an error.
func caught(name string, err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("figure %s could not be drawn: %v", name, r)
	}
}
