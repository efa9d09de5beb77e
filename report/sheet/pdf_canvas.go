package sheet

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// pdfCanvas lets a figure draw itself as lines and text onto a page of a PDF.
// Points turn from the figure's (up is more) to the page's (down is more).
// What no figure asks for, turning, moving, pictures, curves, is a fault.
type pdfCanvas struct {
	vg.Canvas // of none: what is missing here panics, and the figure cannot be drawn
	pdf       *pdfFile
	x, y      float64 // of the figure's lower left corner
	scale     float64 // how much larger a length is on the page
	width     vg.Length
}

// newPDFCanvas returns a canvas whose upper left corner lies at x, y of the
// current page, drawn scale times its size, height pt high before that.
func newPDFCanvas(p *pdfFile, x, y, scale float64, height vg.Length) *pdfCanvas {
	return &pdfCanvas{pdf: p, x: x, y: y + scale*float64(height), scale: scale}
}

func (c *pdfCanvas) point(p vg.Point) (x, y float64) {
	return c.x + c.scale*float64(p.X), c.y - c.scale*float64(p.Y)
}

func (c *pdfCanvas) SetLineWidth(w vg.Length) {
	c.width = w
	c.pdf.SetLineWidth(float64(w) * c.scale)
}

func (c *pdfCanvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	dashes := make([]float64, len(pattern))
	for i, d := range pattern {
		dashes[i] = float64(d) * c.scale
	}
	c.pdf.SetDashPattern(dashes, float64(offset)*c.scale)
}

func (c *pdfCanvas) SetColor(x color.Color) {
	if x == nil {
		x = color.Black
	}
	c.pdf.color(color.NRGBAModel.Convert(x).(color.NRGBA))
}

func (c *pdfCanvas) Stroke(p vg.Path) {
	if c.width > 0 {
		c.path(p, "D")
	}
}

func (c *pdfCanvas) Fill(p vg.Path) { c.path(p, "F") }

func (c *pdfCanvas) path(p vg.Path, how string) {
	begun := false
	to := func(at vg.Point) {
		x, y := c.point(at)
		if begun {
			c.pdf.LineTo(x, y)
			return
		}
		c.pdf.MoveTo(x, y)
		begun = true
	}
	for _, comp := range p {
		switch comp.Type {
		case vg.MoveComp:
			begun = false
			to(comp.Pos)
		case vg.LineComp:
			to(comp.Pos)
		case vg.CurveComp:
			panic("a figure asks for a curve")
		case vg.ArcComp:
			c.arc(comp, to)
		case vg.CloseComp:
			c.pdf.ClosePath()
		}
	}
	if len(p) > 0 {
		c.pdf.DrawPath(how)
	}
}

// arc draws an arc as cubic curves of a quarter turn at most; the control
// points lie 4/3·tan(angle/4) of the radius along the tangents.
func (c *pdfCanvas) arc(comp vg.PathComp, to func(vg.Point)) {
	on := func(angle, out, along float64) vg.Point {
		sin, cos := math.Sincos(angle)
		r := float64(comp.Radius)
		return vg.Point{X: comp.Pos.X + vg.Length(r*(out*cos-along*sin)), Y: comp.Pos.Y + vg.Length(r*(out*sin+along*cos))}
	}
	n := max(1, math.Ceil(math.Abs(comp.Angle)/(math.Pi/2)-1e-9))
	step := comp.Angle / n
	k := 4.0 / 3 * math.Tan(step/4)
	to(on(comp.Start, 1, 0))
	for i := range int(n) {
		a := comp.Start + float64(i)*step
		x1, y1 := c.point(on(a, 1, k))
		x2, y2 := c.point(on(a+step, 1, -k))
		x, y := c.point(on(a+step, 1, 0))
		c.pdf.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
	}
}

func (c *pdfCanvas) FillString(f font.Face, at vg.Point, s string) {
	if f.Font.Size == 0 {
		return
	}
	c.pdf.face(float64(f.Font.Size)*c.scale, f.Font.Weight > 0)
	x, y := c.point(at)
	c.pdf.text(x, y, s)
}
