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

// ring draws a circle about a mark that is named, so that it is found among many.
func (p *panel) ring(at vg.Point, r vg.Length) {
	var path vg.Path
	path.Move(vg.Point{X: at.X + r + 1.6, Y: at.Y})
	path.Arc(at, r+1.6, 0, 2*math.Pi)
	path.Close()
	p.page.c.SetLineStyle(stroke(Ink, 0.8))
	p.page.c.Stroke(path)
}

// otherGroups is what the stations without a mark of their own are called.
const otherGroups = "other"

// legendEntry is a group as the legend names it; of is −1 for the rest.
type legendEntry struct {
	of   int
	name string
}

const (
	legendMark    = vg.Length(11) // from a mark to its name
	legendApart   = vg.Length(14) // from a name to the next mark
	legendLeading = vg.Length(13)
	legendWidest  = vg.Length(130) // name
)

// rows lays the legend, with the rest where there is any, out in as many rows as the
// width asks for: no group goes without its name.
func (g groups) rows(rest bool, width vg.Length) (out [][]legendEntry) {
	if len(g) == 0 {
		return nil
	}
	var all []legendEntry
	for k, name := range g {
		all = append(all, legendEntry{k, clipAt(clean(name), tickFace, min(legendWidest, width-legendMark))})
	}
	if rest {
		all = append(all, legendEntry{-1, otherGroups})
	}
	x := vg.Length(0)
	for _, e := range all {
		w := legendMark + tickFace.width(e.name)
		if len(out) == 0 || x+w > width {
			out, x = append(out, nil), 0
		}
		out[len(out)-1] = append(out[len(out)-1], e)
		x += w + legendApart
	}
	return out
}

// legendHeight is what so many rows take above the panels.
func legendHeight(rows [][]legendEntry) vg.Length {
	if len(rows) == 0 {
		return 0
	}
	return 16 + legendLeading*vg.Length(len(rows)-1)
}

// legend sets the rows from x on, the first with its baseline at y.
func (p *panel) legend(g groups, rows [][]legendEntry, x, y vg.Length) {
	for _, row := range rows {
		at := x
		for _, e := range row {
			p.symbol(max(0, e.of), vg.Point{X: at + 4, Y: y + tickFace.size*0.35}, g.color(e.of), 3)
			p.page.text(e.name, tickFace, Muted, at+legendMark, y, 0)
			at += legendMark + tickFace.width(e.name) + legendApart
		}
		y -= legendLeading
	}
}

// rest says whether some of the stations have no mark of their own.
func (g groups) rest(cs []Station) bool {
	return slices.ContainsFunc(cs, func(x Station) bool { return g.of(x) < 0 })
}
