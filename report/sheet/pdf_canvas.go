package sheet

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// pdfCanvas lets a figure draw itself as lines and text onto a page of a PDF.
// Points turn from the figure's (up is more) to the page's (down is more).
type pdfCanvas struct {
	pdf    *pdfFile
	at     affine
	state  pdfState
	stack  []pdfCanvas
	images int
}

type pdfState struct {
	color color.NRGBA
	width vg.Length
}

// affine takes x, y to a·x + c·y + e, b·x + d·y + f.
type affine struct{ a, b, c, d, e, f float64 }

// then returns what takes a point through n first and then through m.
func (m affine) then(n affine) affine {
	return affine{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

// newPDFCanvas returns a canvas whose corner lies at x, y of the current
// page, drawn scale times its size, height pt high before that.
func newPDFCanvas(p *pdfFile, x, y, scale float64, height vg.Length) *pdfCanvas {
	return &pdfCanvas{pdf: p, at: affine{scale, 0, 0, -scale, x, y + scale*float64(height)}}
}

func (c *pdfCanvas) point(p vg.Point) (x, y float64) {
	return c.at.a*float64(p.X) + c.at.c*float64(p.Y) + c.at.e, c.at.b*float64(p.X) + c.at.d*float64(p.Y) + c.at.f
}

// scale is how much larger a length is on the page.
func (c *pdfCanvas) scale() float64 { return math.Sqrt(math.Abs(c.at.a*c.at.d - c.at.b*c.at.c)) }

func (c *pdfCanvas) SetLineWidth(w vg.Length) {
	c.state.width = w
	c.pdf.SetLineWidth(float64(w) * c.scale())
}

func (c *pdfCanvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	dashes := make([]float64, len(pattern))
	for i, d := range pattern {
		dashes[i] = float64(d) * c.scale()
	}
	c.pdf.SetDashPattern(dashes, float64(offset)*c.scale())
}

func (c *pdfCanvas) SetColor(x color.Color) {
	if x == nil {
		x = color.Black
	}
	c.state.color = color.NRGBAModel.Convert(x).(color.NRGBA)
	c.pdf.color(c.state.color)
}

func (c *pdfCanvas) Rotate(rad float64) {
	sin, cos := math.Sincos(rad)
	c.at = c.at.then(affine{cos, sin, -sin, cos, 0, 0})
}

func (c *pdfCanvas) Translate(p vg.Point) {
	c.at = c.at.then(affine{1, 0, 0, 1, float64(p.X), float64(p.Y)})
}

func (c *pdfCanvas) Scale(x, y float64) { c.at = c.at.then(affine{x, 0, 0, y, 0, 0}) }

func (c *pdfCanvas) Push() { c.stack = append(c.stack, pdfCanvas{at: c.at, state: c.state}) }

func (c *pdfCanvas) Pop() {
	top := c.stack[len(c.stack)-1]
	c.stack, c.at, c.state = c.stack[:len(c.stack)-1], top.at, top.state
	c.SetColor(c.state.color)
	c.SetLineWidth(c.state.width)
}

func (c *pdfCanvas) Stroke(p vg.Path) {
	if c.state.width > 0 {
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
			c.curve(comp)
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

func (c *pdfCanvas) curve(comp vg.PathComp) {
	x, y := c.point(comp.Pos)
	x1, y1 := c.point(comp.Control[0])
	if len(comp.Control) == 1 {
		c.pdf.CurveTo(x1, y1, x, y)
		return
	}
	x2, y2 := c.point(comp.Control[1])
	c.pdf.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
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
	c.pdf.face(float64(f.Font.Size)*c.scale(), f.Font.Weight > 0)
	x, y := c.point(at)
	turn := math.Atan2(-c.at.b, c.at.a) * 180 / math.Pi
	if math.Abs(turn) > 1e-9 {
		c.pdf.TransformBegin()
		c.pdf.TransformRotate(turn, x, y)
		defer c.pdf.TransformEnd()
	}
	c.pdf.text(x, y, s)
}

func (c *pdfCanvas) DrawImage(r vg.Rectangle, img image.Image) {
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		c.pdf.SetError(err)
		return
	}
	c.images++
	name, opt := fmt.Sprintf("image %d at %v", c.images, c.at), fpdf.ImageOptions{ImageType: "png"}
	c.pdf.RegisterImageOptionsReader(name, opt, &b)
	x, y := c.point(vg.Point{X: r.Min.X, Y: r.Max.Y})
	x1, y1 := c.point(vg.Point{X: r.Max.X, Y: r.Min.Y})
	c.pdf.ImageOptions(name, x, y, x1-x, y1-y, false, opt, 0, "")
}
