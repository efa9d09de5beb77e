package figure

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// groups are the groups of a comparison, at most mostGroups: those with the most
// stations, in the order in which they come.
type groups []string

// mostGroups is how many groups have a mark of their own: more cannot be told apart.
const mostGroups = 6

func (z *compared) groups() groups {
	var names []string
	count := map[string]int{}
	for _, x := range z.all {
		if x.Group != "" && count[x.Group] == 0 {
			names = append(names, x.Group)
		}
		count[x.Group]++
	}
	if len(names) < 2 {
		return nil
	}
	if len(names) > mostGroups {
		by := slices.Clone(names)
		slices.SortStableFunc(by, func(a, b string) int { return count[b] - count[a] })
		kept := by[:mostGroups]
		names = slices.DeleteFunc(names, func(n string) bool { return !slices.Contains(kept, n) })
	}
	return names
}

// of is which group a station is marked as, −1 for none.
func (g groups) of(x Station) int { return slices.Index(g, x.Group) }

// color is that of a group's marks; they differ in shape too.
func (g groups) color(k int) color.NRGBA {
	if len(g) == 0 {
		return blue
	}
	if k < 0 {
		return bystand
	}
	return palette[k]
}

// symbol draws the mark of a group: a disc, a square, a triangle, a diamond, a ring or
// an open square. Each fills about the same area.
func (p *panel) symbol(k int, at vg.Point, c color.Color, r vg.Length) {
	corners := func(n int, from float64, r vg.Length) []vg.Point {
		out := make([]vg.Point, n)
		for i := range out {
			s, co := math.Sincos(from + 2*math.Pi*float64(i)/float64(n))
			out[i] = vg.Point{X: at.X + r*vg.Length(co), Y: at.Y + r*vg.Length(s)}
		}
		return out
	}
	switch k {
	case 1:
		p.page.shape(c, corners(4, math.Pi/4, 1.25*r)...)
	case 2:
		p.page.shape(c, corners(3, math.Pi/2, 1.45*r)...)
	case 3:
		p.page.shape(c, corners(4, 0, 1.35*r)...)
	case 4:
		p.dot(at, c, r)
		p.dot(at, paper, r*0.5)
	case 5:
		p.page.shape(c, corners(4, math.Pi/4, 1.25*r)...)
		p.page.shape(paper, corners(4, math.Pi/4, 0.6*r)...)
	default:
		p.dot(at, c, r)
	}
}

// legend sets the names of the groups in a row from x on, and returns where it ends.
func (p *panel) legend(g groups, x, y, most vg.Length) {
	for k, name := range g {
		name = clipAt(clean(name), tickFace, 130)
		if x+14+tickFace.width(name) > most {
			return
		}
		p.symbol(k, vg.Point{X: x + 4, Y: y + tickFace.size*0.35}, g.color(k), 3)
		p.page.text(name, tickFace, Muted, x+11, y, 0)
		x += 11 + tickFace.width(name) + 14
	}
}
