package figure

import (
	"fmt"
	"image/color"
	"math"
	"sort"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/sim"
)

// nameWidth is the most that the names of compared records may take from the
// curves, pt.
const nameWidth = vg.Length(170)

// together draws the curves of all stations: each by its name where they are few, as
// a thin line behind the median and the middle of them where they are many.
func (z *compared) together() (Figure, bool) {
	var cs []Station
	for _, c := range z.all {
		if len(c.Curve) > 0 {
			cs = append(cs, c)
		}
	}
	if len(cs) == 0 {
		return Figure{}, false
	}
	sizes := unionRange(cs)
	vol := volumeScale(z.units, sizes[len(sizes)-1])
	f := Figure{Name: "compare", Title: z.title(cs, vol)}
	what := fmt.Sprintf("Share of %s, by nominal tank size in %s; %s, the same uses, under each record.",
		of(z.study), vol.name(), roofName(z.units, sim.TotalArea(z.study.Roofs)))
	if wantsLog(sizes) {
		what = strings.TrimSuffix(what, ".") + "; the axis of sizes is logarithmic."
	}
	if len(cs) >= manyCurves {
		f.Caption = join(fmt.Sprintf("Thin: %d records. Thick: the median of their shares at each size; between the fine lines: the middle 80 %% of them.", len(cs)), z.source())
		mid := middle(cs, sizes)
		return f.drawn(what, z.manyWords(cs, vol), func(pg *page, room vg.Rectangle) { z.drawMany(pg, cs, mid, sizes, vol, room) })
	}
	named := namedOf(cs)
	note := ""
	if len(named) < len(cs) {
		note = fmt.Sprintf("%d of the %d records are named, evenly spaced by the size they need; the rest are grey.", len(named), len(cs))
	}
	f.Caption = join(note, "In brackets: "+percent(z.study.Level)+" interval of the size.", z.source())
	said := ""
	for _, c := range cs {
		said = join(said, fileName(c.Name)+": "+z.needs(c, vol)+".")
	}
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { z.drawFew(pg, cs, named, sizes, vol, room) })
}

// unionRange returns the sizes of the study that reaches farthest, begun at
// the smallest of all.
func unionRange(cs []Station) []float64 {
	var sizes []float64
	least, most := math.Inf(1), 0.0
	for _, c := range cs {
		own := sizesAt(c.Curve)
		least = min(least, own[0])
		if last := own[len(own)-1]; last > most {
			most, sizes = last, own
		}
	}
	sizes[0] = least
	return sizes
}

// byNeed returns the records' indices by the size they need, those that no
// size satisfies last.
func byNeed(cs []Station) []int {
	order := make([]int, len(cs))
	need := make([]float64, len(cs))
	for i := range order {
		order[i], need[i] = i, cs[i].Tank
		if !finite(need[i]) {
			need[i] = math.Inf(1)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return need[order[a]] < need[order[b]] })
	return order
}

// namedOf returns which of the records are named, by the size they need.
func namedOf(cs []Station) []int {
	order := byNeed(cs)
	var out []int
	for _, i := range evenly(len(order), maxCurves) {
		out = append(out, order[i])
	}
	return out
}

// title names the records that need least and most, in full if that
// fits two lines.
func (z *compared) title(cs []Station, vol scale) string {
	var title string
	for _, width := range []vg.Length{500, 330, 240, 180, 120} {
		title = z.titleAt(cs, vol, width)
		if len(fill(title, titleFace, Width-2*Margin)) <= 2 {
			break
		}
	}
	return title
}

func (z *compared) titleAt(cs []Station, vol scale, width vg.Length) string {
	order, s := byNeed(cs), z.study
	met := 0
	for _, c := range cs {
		if finite(c.Tank) {
			met++
		}
	}
	goal := fmt.Sprintf("%s of %s", percent(s.Target), of(s))
	at := func(k int) string {
		c := cs[order[k]]
		name := clipAt(fileName(c.Name), titleFace, width)
		if width < 200 || len(name) < 25 { // short enough to stay on one line
			name = strings.ReplaceAll(name, " ", nbsp)
		}
		return vol.show(c.Tank) + " at " + name
	}
	title := ""
	switch met {
	case 0:
		return fmt.Sprintf("No tank gives %s under any of these records", goal)
	case 1:
		title = fmt.Sprintf("%s takes %s", goal, at(0))
	case 2:
		title = fmt.Sprintf("%s takes %s and %s", goal, at(0), at(1))
	default:
		title = fmt.Sprintf("%s takes from %s to %s", goal, at(0), at(met-1))
	}
	if met < len(cs) {
		title += fmt.Sprintf("; with %d of %d records no size meets it", len(cs)-met, len(cs))
	}
	return title
}

// needs words the size that a record asks for.
func (z *compared) needs(c Station, vol scale) string {
	switch {
	case c.Grade == sim.TooShort:
		return "too few years to size a tank"
	case !finite(c.Tank):
		return "no size meets the target: " + percent(z.study.Target)
	}
	s := "needs "
	if c.Grade == sim.Indicated {
		s += "about "
	}
	s += vol.show(c.Tank)
	if b := vol.between(c.Low, c.High); b != "" {
		s += " (" + b + ")"
	}
	return s
}

func (z *compared) drawFew(pg *page, cs []Station, named []int, sizes []float64, vol scale, room vg.Rectangle) {
	hue := map[int]color.NRGBA{}
	for k, i := range named {
		hue[i] = palette[k%len(palette)]
	}
	area := inset(room, 34, 20, 0, 4)
	ends := z.endsOf(cs, named, hue, vol, area.Size().Y+14)
	least := sizes[0]
	for _, x := range cs {
		least = min(least, max(0, x.Tank)) // NaN leaves NaN, which is not below
	}
	area.Max.X -= widestEnd(ends) + endGap
	x, xTicks := sizeAxis(sizes, least, vol)
	p := newPanel(pg, area, x, axis{min: 0, max: 1})
	p.yAxis(shares)
	p.xAxis(xTicks)
	p.across(z.study.Target, stroke(Muted, 0.9), 3)
	lines := make([]plotter.XYs, len(cs))
	for i, c := range cs {
		lines[i] = z.lineOf(c, vol)
		if _, ok := hue[i]; !ok {
			p.curve(lines[i], bystand, 0.9, 1)
		}
	}
	for k := len(named) - 1; k >= 0; k-- {
		c := hue[named[k]]
		if contrast(c, paper) < minVisible { // cased in a darker shade of itself
			p.curve(lines[named[k]], readable(c), 2.8, 0)
		}
		p.curve(lines[named[k]], c, 1.8, 3)
	}
	p.draw()
	for k, i := range named {
		ends[k].y = p.endOf(lines[i])
	}
	for k := len(named) - 1; k >= 0; k-- {
		i := named[k]
		tank := cs[i].Tank * vol.factor
		if y, ok := along(lines[i], tank); ok && finite(tank) {
			pt := vg.Point{X: p.x(tank), Y: p.y(y)}
			pg.c.StrokeLine2(stroke(hue[i], 0.6, 1.5, 2), pt.X, pt.Y, pt.X, area.Min.Y)
			p.mark(pt, hue[i], false)
		}
	}
	fromTop(ends)
	p.ends(ends, area.Min.Y-6, area.Max.Y+8)
	p.put(p.targetLabel(z.study.Target, Ink))
}

// endsOf names the curves, by the size they need: on as many lines as
// the height has room for.
func (z *compared) endsOf(cs []Station, named []int, hue map[int]color.NRGBA, vol scale, room vg.Length) []endLabel {
	width := vg.Length(100) // no wider than the widest need, where that is short
	for _, i := range named {
		width = max(width, endLabel{}.face(0).width(z.needs(cs[i], vol))+1)
	}
	width = min(width, nameWidth)
	for most := 3; ; most-- {
		ends := make([]endLabel, len(named))
		sum := vg.Length(0)
		for k, i := range named {
			e := endLabel{color: hue[i], lines: wrapAt(fileName(cs[i].Name), nameFace, width, max(1, most))}
			e.bold = len(e.lines)
			if most > 0 {
				e.lines = append(e.lines, wrapAt(z.needs(cs[i], vol), e.face(e.bold), width, 2)...)
			}
			ends[k] = e
			sum += e.height()
		}
		if sum <= room || most == 0 {
			return ends
		}
	}
}
