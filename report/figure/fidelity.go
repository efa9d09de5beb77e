package figure

import (
	"fmt"
	"image/color"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/units"
)

// judged is one statistic, by season where it is judged so.
type judged struct {
	name string
	rows []gen.Row
}

// Fidelity draws how synthetic rain compares with the record: of every
// statistic the range over synthetic records beside the record's own value.
// note says what was compared, such as the generator.
func Fidelity(rows []gen.Row, rec *rainfall.Summary, note string, _ Options) (Figure, bool) {
	all := byStatistic(rows)
	if len(all) == 0 {
		return Figure{}, false
	}
	fail, n := 0, 0
	for _, j := range all {
		fail, n = fail+len(j.fails()), n+len(j.rows)
	}
	f := Figure{Name: "fidelity"}
	f.Title = fmt.Sprintf("Synthetic rain brackets the record’s own value in %d of %d statistics", n-fail, n)
	if fail == 0 {
		f.Title = fmt.Sprintf("Synthetic rain brackets the record’s own value in all %d statistics", n)
	}
	what := "The middle 90" + nbsp + "% of synthetic records, each as long as the real one, over the record’s own value at 1; one bar a season."
	shown := chosenRows(all)
	left := ""
	if len(shown) < len(all) {
		left = fmt.Sprintf("%d of the %d statistics are drawn, those that fail first.", len(shown), len(all))
	}
	far := ""
	for _, j := range shown {
		if j.differs() {
			far = "± marks a statistic that may be below 0, drawn as 1 plus its difference from the record’s."
		}
	}
	rule := ""
	if r := all[0].rows[0].Rule; r != "" {
		rule = "Passes: " + strings.TrimRight(clean(r), ".") + "."
	}
	f.Caption = join(rule, left, far, sentence(clean(note)), recordLine(rec))
	said := ""
	for _, j := range all {
		said = join(said, fmt.Sprintf("%s: %s.", clean(j.name), j.verdict()))
	}
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { drawFidelity(pg, shown, room) })
}

// byStatistic gathers the rows of each statistic, in the order of the first;
// rows that hold what is no number are left out.
func byStatistic(rows []gen.Row) []judged {
	var out []judged
	at := map[string]int{}
	for _, r := range rows {
		if !finite(r.Real) || !finite(r.Low) || !finite(r.High) {
			continue
		}
		i, ok := at[r.Statistic]
		if !ok {
			i = len(out)
			at[r.Statistic] = i
			out = append(out, judged{name: r.Statistic})
		}
		out[i].rows = append(out[i].rows, r)
	}
	return out
}

// mostJudged is how many statistics the figure has lines for.
const mostJudged = 22

// chosenRows returns as many statistics as there are lines for, those that
// fail kept before others, in their own order.
func chosenRows(all []judged) []judged {
	drop := len(all) - mostJudged
	var out []judged
	for i := len(all) - 1; i >= 0; i-- {
		if drop > 0 && all[i].fails() == nil {
			drop--
			continue
		}
		out = append(out, all[i])
	}
	slices.Reverse(out)
	return out[:min(len(out), mostJudged)]
}

func (j *judged) fails() []string {
	var out []string
	for _, r := range j.rows {
		if !r.Pass {
			out = append(out, season(r.Season))
		}
	}
	return out
}

// season shortens a month's name and leaves a quarter's.
func season(s string) string {
	s = clean(s)
	if !strings.Contains(s, "-") && len(s) > 4 {
		return s[:3]
	}
	return strings.ReplaceAll(s, "-", "–")
}

// verdict words whether the statistic passes.
func (j *judged) verdict() string {
	fails := j.fails()
	switch n := len(j.rows); {
	case len(fails) == 0 && n == 1:
		return "passes"
	case len(fails) == 0:
		return fmt.Sprintf("passes, all %d", n)
	case n == 1:
		return "fails"
	case len(fails) > 3:
		return fmt.Sprintf("fails %d of %d", len(fails), n)
	default:
		return fmt.Sprintf("fails %s", strings.Join(fails, ", "))
	}
}

// differs reports whether the statistic is one whose ratio to the record's
// value means nothing, as it may be below 0.
func (j *judged) differs() bool {
	if strings.HasPrefix(j.name, "lag-") { // an autocorrelation
		return true
	}
	for _, r := range j.rows {
		if r.Low < 0 || r.Real < 0 {
			return true
		}
	}
	return false
}

// relative returns a row's range in the units of the axis, where the record's
// own value is 1. Of a value of 0 any other is infinitely many times.
func (j *judged) relative(r gen.Row) (low, high float64) {
	if j.differs() {
		return 1 + r.Low - r.Real, 1 + r.High - r.Real
	}
	over := func(x float64) float64 {
		if x == r.Real {
			return 1
		}
		return x / r.Real
	}
	return over(r.Low), over(r.High)
}

// farthest is how far from 1 the axis may reach: what reaches farther ends in
// an arrow.
const farthest = 1.0

func drawFidelity(pg *page, all []judged, room vg.Rectangle) {
	left, right := vg.Length(0), vg.Length(0)
	names := make([]string, len(all))
	lo, hi := 0.9, 1.1
	for i := range all {
		names[i] = clean(all[i].name)
		if all[i].differs() {
			names[i] += " ±"
		}
		names[i] = clipAt(names[i], labelFace, 170)
		left = max(left, labelFace.width(names[i]))
		right = max(right, nameFace.width(all[i].verdict()))
		for _, r := range all[i].rows {
			a, b := all[i].relative(r)
			lo, hi = min(lo, a), max(hi, b)
		}
	}
	lo, hi = max(lo, 1-farthest), min(hi, 1+farthest)
	right = min(right, 150)
	pad := (hi - lo) * 0.02
	area := inset(room, left+10, 16, right+12, 12)
	p := newPanel(pg, area, axis{min: lo - pad, max: hi + pad}, axis{min: 0, max: 1})
	at, decimals := ticks(lo, hi, 6)
	for _, v := range at {
		x := p.x(v)
		pg.c.StrokeLine2(stroke(Hairline, 0.6), x, area.Min.Y, x, area.Max.Y)
		if s := units.Fixed(v, decimals); p.page.free(box(s, tickFace, x, area.Min.Y-12, 0.5), 3) {
			pg.text(s, tickFace, Muted, x, area.Min.Y-12, 0.5)
		}
	}
	row := min(area.Size().Y/vg.Length(len(all)), 26)
	f := labelFace
	f.size = min(f.size, row*0.86)
	bold := face{f.size, true}
	for i := range all {
		j := &all[i]
		mid := area.Max.Y - row*(vg.Length(i)+0.5)
		if i > 0 {
			pg.c.StrokeLine2(stroke(Tint(Hairline, 0.6), 0.4), room.Min.X, mid+row/2, room.Max.X, mid+row/2)
		}
		pg.text(names[i], f, Ink, area.Min.X-8, mid-f.size*0.35, 1)
		p.ranges(j, mid, row)
		v, c := f, Muted
		if j.fails() != nil {
			v, c = bold, readable(red)
		}
		pg.text(clipAt(j.verdict(), v, right), v, c, area.Max.X+10, mid-f.size*0.35, 0)
	}
	x := p.x(1)
	pg.c.StrokeLine2(stroke(Ink, 1.1), x, area.Max.Y-row*vg.Length(len(all)), x, area.Max.Y+1)
	pg.text("the record", nameFace, Ink, min(max(x, area.Min.X+30), area.Max.X-30), area.Max.Y+3, 0.5)
}

// ranges draws the bars of a statistic, one a season, the first on top.
func (p *panel) ranges(j *judged, mid, row vg.Length) {
	n := vg.Length(len(j.rows))
	lane := min((row-1.5)/n, 5)
	for k, r := range j.rows {
		y := mid + lane*(n/2-vg.Length(k)-0.5)
		c, mark := Tint(blue, 0.55), blue
		if !r.Pass {
			c, mark = red, readable(red)
		}
		a, b := j.relative(r)
		x0, x1 := p.clamp(a), p.clamp(b)
		if x1 < x0+1 {
			x0, x1 = x0-0.5, x0+0.5
		}
		p.page.c.StrokeLine2(stroke(c, lane*0.72), x0, y, x1, y)
		if b > p.plot.X.Max {
			p.arrow(p.area.Max.X, y, 3, mark)
		}
		if a < p.plot.X.Min {
			p.arrow(p.area.Min.X, y, -3, mark)
		}
	}
}

func (p *panel) clamp(v float64) vg.Length { return p.x(min(max(v, p.plot.X.Min), p.plot.X.Max)) }

// arrow ends a bar that reaches beyond the axis.
func (p *panel) arrow(x, y, by vg.Length, c color.Color) {
	p.page.shape(c, vg.Point{X: x, Y: y + 2}, vg.Point{X: x + by, Y: y}, vg.Point{X: x, Y: y - 2})
}
