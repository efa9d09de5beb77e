package figure

import (
	"image/color"
	"sort"

	"gonum.org/v1/plot/vg"
)

// endLabel names a curve where it ends, in the margin to the right.
type endLabel struct {
	lines []string
	bold  int // how many of the lines, the first, are in bold
	color color.NRGBA
	y     vg.Length // where the curve ends
}

const endGap = vg.Length(24) // between the area and the labels, pt

func (e endLabel) face(i int) face {
	if i < e.bold {
		return nameFace
	}
	return face{labelFace.size - 0.5, false}
}

func (e endLabel) height() vg.Length {
	return vg.Length(len(e.lines))*labelFace.leading()*0.95 + 1
}

// ends sets the labels as near to their curves as they can be without
// touching, in the order given, from the top down, and leads to those that
// had to move. It fails where they are higher than lo to hi together.
func (p *panel) ends(labels []endLabel, lo, hi vg.Length) {
	want, height := make([]float64, len(labels)), make([]float64, len(labels))
	for i, l := range labels {
		want[i], height[i] = float64(l.y), float64(l.height())
	}
	for i, y := range spread(want, height, float64(lo), float64(hi)) {
		l, mid := labels[i], vg.Length(y)
		x := p.area.Max.X
		p.page.c.StrokeLines(stroke(l.color, 0.7), []vg.Point{{X: x + 1, Y: l.y}, {X: x + 3, Y: l.y}, {X: x + endGap - 7, Y: mid}, {X: x + endGap - 3, Y: mid}})
		top := mid + vg.Length(height[i])/2
		for j, s := range l.lines {
			f := l.face(j)
			base := top - labelFace.leading()*0.95*vg.Length(float64(j)+0.5) - f.size*0.35
			p.page.text(s, f, readable(l.color), x+endGap, base, 0)
		}
	}
}

// spread moves the centres of boxes as little as possible (least squares) so
// that, in the order given from the top down, they do not overlap and lie
// within lo to hi: pooling adjacent violators (Ayer et al. 1955).
func spread(want, height []float64, lo, hi float64) []float64 {
	n := len(want)
	out := make([]float64, n)
	off := make([]float64, n) // of each centre below the first
	for i := 1; i < n; i++ {
		off[i] = off[i-1] + (height[i-1]+height[i])/2
	}
	type block struct {
		sum float64
		n   int
	}
	var blocks []block
	for i := range want {
		blocks = append(blocks, block{want[i] + off[i], 1})
		for k := len(blocks) - 1; k > 0 && blocks[k].sum/float64(blocks[k].n) > blocks[k-1].sum/float64(blocks[k-1].n); k-- {
			blocks[k-1].sum += blocks[k].sum
			blocks[k-1].n += blocks[k].n
			blocks = blocks[:k]
		}
	}
	i := 0
	for _, b := range blocks {
		for range b.n {
			z := b.sum / float64(b.n)
			// the first box ends at or below hi, the last at or above lo
			z = min(z, hi-height[0]/2)
			z = max(z, lo+off[n-1]+height[n-1]/2)
			out[i] = z - off[i]
			i++
		}
	}
	return out
}

// fromTop orders end labels from the top down; curves that end together keep
// the order they had.
func fromTop(labels []endLabel) {
	sort.SliceStable(labels, func(i, j int) bool { return labels[i].y > labels[j].y+0.01 })
}

// widestEnd is the room that labels ask for.
func widestEnd(labels []endLabel) vg.Length {
	most := vg.Length(0)
	for _, e := range labels {
		most = max(most, nameFace.widest(e.lines[:e.bold]...), e.face(e.bold).widest(e.lines[e.bold:]...))
	}
	return most
}
