package figure

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

// mostMultiples is how many stations have a panel of their own.
const mostMultiples = 24

// multiples draws each station's curve with its band in a panel of its own, all on
// one scale and each before all the others.
func (z *compared) multiples() (Figure, bool) {
	var cs []Station
	for _, x := range z.all {
		if len(x.Curve) > 1 {
			cs = append(cs, x)
		}
	}
	if len(cs) < 3 {
		return Figure{}, false
	}
	var chosen []int
	order := byNeed(cs)
	for _, k := range evenly(len(cs), mostMultiples) {
		chosen = append(chosen, order[k])
	}
	sizes := unionRange(cs)
	vol := volumeScale(z.units, sizes[len(sizes)-1])
	met := 0
	for _, x := range cs {
		if finite(x.Tank) {
			met++
		}
	}
	f := Figure{Name: "compare-multiples"}
	f.Title = fmt.Sprintf("A tank meets %s at %d of %d records, and none of any size at the others", z.goal(), met, len(cs))
	if met == len(cs) {
		f.Title = fmt.Sprintf("A tank meets %s at each of %d records", z.goal(), met)
	}
	what := fmt.Sprintf("Share of %s, by nominal tank size in %s, from the record that needs least to the one that needs most; shaded: its %s interval; dot: the tank for the target.", of(z.study), vol.name(), percent(z.study.Level))
	if wantsLog(sizes) {
		what = strings.TrimSuffix(what, ".") + "; the axis of sizes is logarithmic."
	}
	note := "Behind each, thin: others."
	if len(chosen) < len(cs) {
		note = fmt.Sprintf("%d of %d records, evenly chosen by the size they need. ", len(chosen), len(cs)) + note
	}
	f.Caption = join(note, z.source())
	said := ""
	for _, i := range chosen {
		said = join(said, fileName(cs[i].Name)+": "+z.needs(cs[i], vol)+".")
	}
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { z.drawMultiples(pg, cs, chosen, sizes, vol, room) })
}

// gridFor is the columns and rows of so many panels.
func gridFor(n int) (columns, rows int) {
	columns = int(math.Ceil(math.Sqrt(float64(n) * 1.5)))
	return columns, (n + columns - 1) / columns
}

func (z *compared) drawMultiples(pg *page, cs []Station, chosen []int, sizes []float64, vol scale, room vg.Rectangle) {
	columns, rows := gridFor(len(chosen))
	const gap, head = 10, 12
	left := tickFace.width("100"+nbsp+"%") + 8
	w := (room.Size().X - left - gap*vg.Length(columns-1) - 14) / vg.Length(columns)
	h := (room.Size().Y - 18 - head*vg.Length(rows) - 8*vg.Length(rows-1)) / vg.Length(rows)
	x, xTicks := sizeAxis(sizes, 0, vol)
	xTicks.at = endsOnly(xTicks.at, w)
	lines := make([]plotter.XYs, len(cs))
	for i, c := range cs {
		lines[i] = z.lineOf(c, vol)
	}
	behind := lines
	if len(behind) > 30 {
		behind = nil
		order := byNeed(cs)
		for _, k := range evenly(len(cs), 30) {
			behind = append(behind, lines[order[k]])
		}
	}
	face := tickFace
	for n, i := range chosen {
		c, col, row := cs[i], n%columns, n/columns
		min0 := vg.Point{X: room.Min.X + left + vg.Length(col)*(w+gap), Y: room.Max.Y - vg.Length(row+1)*(h+head) - vg.Length(row)*8}
		area := vg.Rectangle{Min: min0, Max: vg.Point{X: min0.X + w, Y: min0.Y + h}}
		p := newPanel(pg, area, x, axis{min: 0, max: 1})
		p.across(z.study.Target, stroke(Muted, 0.6, 2, 2), 0)
		var low, high plotter.XYs
		for _, q := range c.Curve {
			low = append(low, plotter.XY{X: q.Tank * vol.factor, Y: unit(q.Share.Low)})
			high = append(high, plotter.XY{X: q.Tank * vol.factor, Y: unit(q.Share.High)})
		}
		p.band(low, high, Tint(blue, 0.2))
		p.faint(behind, Tint(bystand, 0.5), 0.35)
		p.curve(lines[i], blue, 1.4, 0)
		p.draw()
		p.foot()
		pg.c.StrokeLine2(stroke(Baseline, 0.6), area.Min.X, area.Min.Y, area.Min.X, area.Max.Y)
		if y, ok := along(lines[i], c.Tank*vol.factor); ok && finite(c.Tank) {
			p.dot(p.at(plotter.XY{X: c.Tank * vol.factor, Y: y}), blue, 2.6)
		}
		pg.text(clipAt(fileName(c.Name), face, w), face, Ink, area.Min.X, area.Max.Y+3, 0)
		if col == 0 {
			p.yNames(sharesAt(0, 1))
		}
		if row == rows-1 || n+columns >= len(chosen) {
			p.xAxis(xTicks)
		}
	}
}

// endsOnly keeps so many ticks of an axis as are read in a width.
func endsOnly(at []float64, w vg.Length) []float64 {
	n := max(1, int(w/55))
	if n == 1 && len(at) > 0 {
		return at[len(at)/2 : len(at)/2+1]
	}
	var out []float64
	for _, k := range evenly(len(at), n) {
		out = append(out, at[k])
	}
	return out
}
