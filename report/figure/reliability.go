package figure

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// maxCurves is how many curves can be told apart and named in one figure.
const maxCurves = 8

// curveOf is one row of cells as it is drawn.
type curveOf struct {
	area  float64
	cells []sim.Cell
	own   bool
}

// reliabilityFigure draws reliability against storage, a curve a roof area,
// with the answer on the curve of the site's own roofs.
func reliabilityFigure(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	s := r.Study
	curves, all := chosenCurves(r)
	if len(curves) == 0 || len(s.Sizes) == 0 {
		return Figure{}, false
	}
	u := opt.Units
	floor := floorOf(r, curves)
	beyond := worthDrawing(r, curves, floor)
	sizes := drawnSizes(curves)
	vol := volumeScale(u, sizes[len(sizes)-1])
	f := Figure{Name: "reliability", Title: answerTitle(r, vol)}
	what := fmt.Sprintf("Share of %s, by nominal tank size in %s", of(s), vol.name())
	if len(curves) > 1 {
		what += "; one curve a total roof area."
	} else {
		what += fmt.Sprintf("; %s.", roofName(u, curves[0].area))
	}
	if wantsLog(sizes) {
		what = strings.TrimSuffix(what, ".") + ", on a logarithmic axis."
	}
	if floor > 0 {
		what = strings.TrimSuffix(what, ".") + fmt.Sprintf("; the axis begins at %s.", percent(floor))
	}
	if none := words.WhyNone(r.Main); none != "" {
		what = join(sentence(none), what)
	}
	note := bandLine(s)
	if len(curves) > 1 {
		note += " It is drawn for the site’s own roofs; other roofs at the sizes asked about, with straight lines between them."
	}
	if realYears(r, curves) != nil {
		note += fmt.Sprintf(" Steps: the share of the record’s own %d years, as it rained.", len(r.Real))
	}
	if len(curves) < all {
		note += fmt.Sprintf(" %d of the %d roof areas are drawn.", len(curves), all)
	}
	if beyond > 0 {
		note += fmt.Sprintf(" Not drawn: %s beyond, where hardly anything changes.", words.Plural(beyond, "size"))
	}
	f.Caption = join(note, sourceLine(r, rec))
	return f.drawn(what, answerSentence(r, vol), func(pg *page, room vg.Rectangle) { drawReliability(pg, r, curves, floor, u, vol, room) })
}

// floorOf is the share at which the axis begins: 0, or above where a high target
// would be drawn on top of all that lies near it. The site's curve shows the
// answer and the stop above it.
func floorOf(r *sim.Result, curves []curveOf) float64 {
	const near = 0.12 // of the axis, what lies above the target at most
	for _, floor := range []float64{0.9, 0.8, 0.5} {
		if 1-r.Study.Target > near*(1-floor) {
			continue
		}
		shown := true
		for _, c := range curves {
			line := reliabilityCurve(c, r, scale{factor: 1})
			for _, tank := range []float64{r.Main.Lead, r.Main.Tank, r.Stop.Tank} {
				y, ok := along(line, tank)
				shown = shown && !(c.own && ok && y < floor+0.2*(1-floor))
			}
			shown = shown && len(line) > 0 && line[len(line)-1].Y > floor
		}
		if shown {
			return floor
		}
	}
	return 0
}

// above cuts a rising line where it comes from below a height.
func above(line plotter.XYs, floor float64) plotter.XYs {
	k := slices.IndexFunc(line, func(q plotter.XY) bool { return q.Y >= floor })
	if k <= 0 {
		return line[max(0, k):]
	}
	a, b := line[k-1], line[k]
	return slices.Concat(plotter.XYs{{X: a.X + (b.X-a.X)*(floor-a.Y)/(b.Y-a.Y), Y: floor}}, line[k:])
}

// worthDrawing cuts curves to the sizes over which they rise, with the answer and
// the safe size a little inside, and returns how many sizes asked about lie
// beyond them.
func worthDrawing(r *sim.Result, curves []curveOf, floor float64) (beyond int) {
	const alike, past = 0.002, 1.3
	hardly := max(0.005, floor)
	m := r.Study.Measure
	low, high := math.Inf(1), 0.0
	for _, c := range curves {
		last := c.cells[len(c.cells)-1].Of(m).Estimate
		for k, x := range c.cells {
			is := x.Of(m).Estimate
			if k+1 < len(c.cells) && is <= hardly && c.cells[k+1].Of(m).Estimate > hardly || k == 0 && is > hardly {
				low = min(low, x.Tank)
			}
			if is >= last-alike {
				high = max(high, x.Tank)
				break
			}
		}
	}
	if !finite(r.Main.Lead) {
		high = max(high, r.Main.Cell.Tank) // the page speaks of it
	}
	for _, x := range []float64{r.Main.Lead, r.Main.Tank, r.Main.Safe, r.Main.Sure, r.Stop.Tank} {
		if finite(x) {
			low, high = min(low, x/past), max(high, x*past)
		}
	}
	for i, c := range curves {
		some := slices.DeleteFunc(slices.Clone(c.cells), func(x sim.Cell) bool { return x.Tank < low || x.Tank > high })
		if len(some) > 1 {
			curves[i].cells = some
		}
	}
	sizes := drawnSizes(curves)
	for _, x := range r.Study.Sizes {
		if x > sizes[len(sizes)-1] {
			beyond++
		}
	}
	return beyond
}

// drawnSizes lists the sizes of the curve with the most of them.
func drawnSizes(curves []curveOf) []float64 {
	var out []float64
	for _, c := range curves {
		if len(c.cells) > len(out) {
			out = out[:0]
			for _, x := range c.cells {
				out = append(out, x.Tank)
			}
		}
	}
	return out
}

// chosenCurves returns the curves to draw, by area, and how many there are in
// all: the site's own, and of the rest, where they are too many, some evenly
// spaced.
func chosenCurves(r *sim.Result) (chosen []curveOf, all int) {
	s := r.Study
	var rest []curveOf
	own := curveOf{sim.TotalArea(s.Roofs), r.Curve, true}
	for i, cells := range r.Rows() {
		if len(cells) == 0 || i >= len(s.Areas) {
			continue
		}
		if math.Abs(s.Areas[i]-own.area) <= 1e-3*own.area {
			if len(own.cells) == 0 {
				own.cells = cells
			}
			continue
		}
		rest = append(rest, curveOf{s.Areas[i], cells, false})
	}
	all = len(rest)
	room := maxCurves
	if len(own.cells) > 0 {
		chosen = append(chosen, own)
		all++
		room--
	}
	for _, i := range evenly(len(rest), room) {
		chosen = append(chosen, rest[i])
	}
	sort.SliceStable(chosen, func(i, j int) bool { return chosen[i].area < chosen[j].area })
	return chosen, all
}

// evenly returns at most k of n indices, evenly spaced, the first and last
// among them.
func evenly(n, k int) []int {
	var out []int
	for i := range min(n, k) {
		if n <= k || k == 1 {
			out = append(out, i)
		} else {
			out = append(out, (i*(n-1)+(k-1)/2)/(k-1))
		}
	}
	return out
}

// answerTitle words the finding.
func answerTitle(r *sim.Result, vol scale) string {
	if !finite(r.Main.Tank) {
		return strings.ToUpper(noSize(r)[:1]) + noSize(r)[1:] + " of " + of(r.Study)
	}
	if r.Main.Grade == sim.Indicated {
		return fmt.Sprintf("This record points to a tank of %s", about(r, vol))
	}
	if r.Main.Lead != r.Main.Tank {
		return fmt.Sprintf("Of the sizes asked about, %s is the smallest that %s", vol.show(r.Main.Lead), does(r.Study))
	}
	return fmt.Sprintf("A tank of %s %s", vol.show(r.Main.Tank), does(r.Study))
}

// noSize says that there is no size for the target.
func noSize(r *sim.Result) string {
	if r.Main.Grade == sim.TooShort {
		return fmt.Sprintf("%d usable: too few years to size a tank", r.Usable)
	}
	return "no size meets the target: " + percent(r.Study.Target)
}

// about is the size of the answer, and "about" before it where the record is too
// short to show it.
func about(r *sim.Result, vol scale) string {
	if r.Main.Grade == sim.Indicated {
		return "about " + vol.show(r.Main.Tank)
	}
	return vol.show(r.Main.Tank)
}

// meets says what the size of the answer does, in a few words.
func meets(r *sim.Result, vol scale) string {
	if r.Main.Grade == sim.Indicated {
		return fmt.Sprintf("%s: what this record points to for %s", about(r, vol), percent(r.Study.Target))
	}
	return vol.show(r.Main.Tank) + " meets " + percent(r.Study.Target)
}

// answerSentence words the answer, its band, the safe size and the stop.
func answerSentence(r *sim.Result, vol scale) string {
	out := ""
	if finite(r.Main.Tank) {
		if b := vol.between(r.Main.Low, r.Main.High); b != "" {
			out = "The length of the record allows " + b + "."
		}
		if finite(r.Main.Safe) {
			out = join(out, "The safe size, whose lower bound meets the target, is "+vol.show(r.Main.Safe)+".")
		}
	}
	if st := r.Stop; finite(st.Tank) {
		out = join(out, "More storage stops paying at about "+vol.show(st.Tank)+".")
	}
	return out
}

// sizeAxis returns the axis of tank sizes and its ticks, in the scale.
func sizeAxis(sizes []float64, answer float64, vol scale) (axis, tickRow) {
	lo, hi := sizes[0]*vol.factor, sizes[len(sizes)-1]*vol.factor
	if answer > 0 {
		lo, hi = min(lo, answer*vol.factor), max(hi, 1.2*answer*vol.factor)
	}
	if wantsLog(sizes) {
		return axis{min: lo, max: hi, log: true}, tickRow{logTicks(lo, hi), withUnit(threeDigits, vol.unit)}
	}
	t := plainTicks(0, hi, 6, vol.unit)
	return axis{min: 0, max: hi}, tickRow{t.at, func(v float64, last bool) string {
		if v == 0 { // the other axis says so
			return ""
		}
		return t.name(v, last)
	}}
}

// shares are the ticks of an axis from 0 to 1.
var shares = sharesAt(0, 0.2, 0.4, 0.6, 0.8, 1)

// sharesFrom are those of one that begins at 0.9, 0.8, 0.5 or 0.
func sharesFrom(floor float64) tickRow {
	switch floor {
	case 0.9:
		return sharesAt(0.9, 0.92, 0.94, 0.96, 0.98, 1)
	case 0.8:
		return sharesAt(0.8, 0.85, 0.9, 0.95, 1)
	case 0.5:
		return sharesAt(0.5, 0.6, 0.7, 0.8, 0.9, 1)
	}
	return shares
}

func sharesAt(at ...float64) tickRow {
	return tickRow{at, func(v float64, top bool) string {
		if top {
			return percent(v)
		}
		return units.Fixed(100*v, 0)
	}}
}

func drawReliability(pg *page, r *sim.Result, curves []curveOf, floor float64, u units.System, vol scale, room vg.Rectangle) {
	s := r.Study
	ends := make([]endLabel, len(curves))
	for i, c := range curves {
		ends[i] = endLabel{lines: []string{areaScale(u).show(c.area)}, color: bystand}
		if c.own {
			ends[i].color, ends[i].bold = blue, 1
			if len(curves) > 1 {
				ends[i].lines = append(ends[i].lines, "this site")
			}
		}
	}
	x, xTicks := sizeAxis(drawnSizes(curves), r.Main.Tank, vol)
	area := inset(room, 34, 20, widestEnd(ends)+endGap, 4)
	p := newPanel(pg, area, x, axis{min: floor, max: 1})
	lines := make([]plotter.XYs, len(curves))
	for i, c := range curves {
		lines[i] = above(reliabilityCurve(c, r, vol), floor)
		if c.own {
			var low, high plotter.XYs
			for _, cell := range c.cells {
				x, iv := cell.Tank*vol.factor, cell.Of(s.Measure)
				low, high = append(low, plotter.XY{X: x, Y: max(floor, unit(iv.Low))}), append(high, plotter.XY{X: x, Y: max(floor, unit(iv.High))})
			}
			p.band(low, high, Tint(blue, 0.16))
		}
	}
	p.yAxis(sharesFrom(floor))
	p.xAxis(xTicks)
	for i, c := range curves { // the site's own is drawn last, on top
		if !c.own {
			p.curve(lines[i], bystand, 1.1, 1.2)
		}
	}
	real := above(stepsWithin(realYears(r, curves), x, vol), floor)
	p.across(s.Target, stroke(red, 0.9), 3)
	var own plotter.XYs
	for i, c := range curves {
		if c.own {
			own = lines[i]
			p.curve(own, blue, 2.3, 5)
		}
	}
	if len(real) > 1 { // step by step: a curve would be thinned
		p.exact(real, Ink, 0.7, 2)
	}
	p.draw()
	for i, line := range lines {
		ends[i].y = p.endOf(line)
	}
	slices.Reverse(ends) // the largest roof ends on top
	fromTop(ends)
	p.ends(ends, area.Min.Y-6, area.Max.Y+8)
	labels := append(p.answerLabels(r, own, vol), p.targetLabel(s.Target, red))
	if len(real) > 1 {
		if l := p.realLabel(real, own); len(l.at) > 0 {
			labels = append(labels, l)
		}
	}
	p.put(labels...)
	for _, c := range curves {
		if c.own {
			p.readCells(slices.DeleteFunc(slices.Clone(c.cells), func(x sim.Cell) bool { return x.Of(s.Measure).Estimate < floor }), s, vol)
		}
	}
}

// unit keeps a share within 0 to 1; NaN stays.
func unit(x float64) float64 {
	if math.IsNaN(x) {
		return x
	}
	return min(1, max(0, x))
}

// reliabilityCurve returns a curve's points, the answer's among them: the
// solver found it between two sizes of the grid, or below them all.
func reliabilityCurve(c curveOf, r *sim.Result, vol scale) plotter.XYs {
	m := r.Study.Measure
	var out plotter.XYs
	answer := plotter.XY{X: r.Main.Cell.Tank * vol.factor, Y: unit(r.Main.Cell.Of(m).Estimate)}
	pending := c.own && finite(r.Main.Tank) && finite(answer.Y) && r.Main.Cell.Tank > 0
	for i := range c.cells {
		at := plotter.XY{X: c.cells[i].Tank * vol.factor, Y: unit(c.cells[i].Of(m).Estimate)}
		if pending && at.X > answer.X && (len(out) == 0 || answer.X > out[len(out)-1].X) {
			out, pending = append(out, answer), false
		}
		out = append(out, at)
	}
	return out
}

// along returns the height of a curve at x, by straight lines.
func along(xys plotter.XYs, x float64) (float64, bool) {
	for i, b := range xys {
		if b.X == x && finite(b.Y) {
			return b.Y, true
		}
		if i == 0 {
			continue
		}
		if a := xys[i-1]; a.X < x && x < b.X && finite(a.Y) && finite(b.Y) {
			return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X), true
		}
	}
	return 0, false
}

// answerLabels marks the answer, the safe size and the stop on the site's own
// curve and returns their labels. Marks that fall together share one.
func (p *panel) answerLabels(r *sim.Result, own plotter.XYs, vol scale) []label {
	var labels []label
	var hollow []bool
	add := func(tank float64, c color.NRGBA, ring bool, lines ...string) {
		y, ok := along(own, tank*vol.factor)
		if !ok || !finite(tank) {
			return
		}
		at := vg.Point{X: p.x(tank * vol.factor), Y: p.y(y)}
		for i, l := range labels {
			if math.Hypot(float64(l.at[0].X-at.X), float64(l.at[0].Y-at.Y)) < 5 {
				labels[i].lines = append(l.lines, lines...)
				return
			}
		}
		labels, hollow = append(labels, label{lines: lines, color: c, at: []vg.Point{at}, lead: true}), append(hollow, ring)
	}
	if finite(r.Main.Tank) {
		lines, safe := []string{meets(r, vol)}, true // whether the safe size has a mark of its own
		if lead := r.Main.Lead; lead != r.Main.Tank {
			words := []string{vol.show(lead) + ": the smallest", "asked about that is enough"}
			if r.Main.Grade == sim.Indicated {
				words = []string{vol.show(lead) + ": the smallest asked", "about to which the record points"}
			}
			if safe = lead != r.Main.Sure; !safe {
				words[1] += ", and safe"
			}
			add(lead, blue, false, words...)
			lines[0] = vol.show(r.Main.Tank) + " would be just enough"
			if r.Main.Grade == sim.Indicated {
				lines[0] = vol.show(r.Main.Tank) + " by itself"
			}
		}
		if b := vol.between(r.Main.Low, r.Main.High); b != "" {
			lines = append(lines, "("+b+")")
		}
		add(r.Main.Tank, blue, r.Main.Lead != r.Main.Tank, lines...)
		if safe && finite(r.Main.Safe) {
			if threeDigits(r.Main.Safe*vol.factor) == threeDigits(r.Main.Tank*vol.factor) && len(labels) > 0 {
				labels[0].lines = append(labels[0].lines, "it is the safe size")
			} else {
				name := "safe size " + vol.show(r.Main.Safe)
				if r.Main.Lead != r.Main.Tank {
					name = vol.show(r.Main.Safe) + " would be just safe"
				}
				add(r.Main.Safe, blue, true, name)
			}
		}
	}
	if st := r.Stop; finite(st.Tank) {
		add(st.Tank, green, true, stopLines(r.Study, st, vol)...)
	}
	for i, l := range labels {
		p.mark(l.at[0], l.color, hollow[i])
	}
	return labels
}

// stopLines say what a stop is and how it was found.
func stopLines(s *sim.Study, st sim.Stop, vol scale) []string {
	if st.Method == sim.ByValue {
		return []string{words.Worth(s, st) + " at these prices:", vol.show(st.Tank)}
	}
	return []string{"more storage stops paying", "at " + vol.show(st.Tank), "last " + vol.litre() + " used every other year"}
}

// targetLabel names the target on its line.
func (p *panel) targetLabel(target float64, c color.NRGBA) label {
	y := p.y(target)
	l := label{lines: []string{"target " + percent(target)}, color: c}
	for x := p.area.Min.X + 4; x < p.area.Max.X; x += 8 {
		l.at = append(l.at, vg.Point{X: x, Y: y - 1})
	}
	return l
}

// readCells notes what each size of a curve does.
func (p *panel) readCells(cells []sim.Cell, s *sim.Study, vol scale) {
	for _, c := range cells {
		x := c.Of(s.Measure)
		p.reads(c.Tank*vol.factor, unit(x.Estimate), "%s: %s of %s (%s to %s); supplies %s a year",
			vol.show(c.Tank), percent(x.Estimate), of(s), percent(x.Low), percent(x.High), vol.show(c.Supplied))
		if in := p.page.inline; in != nil && len(in.Readings) > 0 {
			in.Readings[len(in.Readings)-1].Tank = c.Tank
		}
	}
}
