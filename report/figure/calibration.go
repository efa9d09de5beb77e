package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/report/units"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

// Calibration draws the reliability diagram of a backtest (Murphy & Winkler
// 1977: from memory, unverified): the share of years without a short day as
// it was claimed and as it came, a curve a generator, over the claims for
// every target. What was claimed is what came on the diagonal. It says false
// where no claim was judged.
func Calibration(r *backtest.Result) (Figure, bool) {
	var scores []backtest.Score
	cases := 0
	for _, s := range r.Scores {
		if s.Measure == sim.Annual && math.IsNaN(s.Target) && s.Tanks != backtest.Given && len(s.Shares) > 1 {
			scores = append(scores, s)
			cases += s.Cases
		}
	}
	if len(scores) == 0 {
		return Figure{}, false
	}
	scores = scores[:min(len(scores), len(palette))]
	first := scores[0]
	f := Figure{Name: "calibration"}
	f.Title = fmt.Sprintf("Claims of “%s” were off by %s percentage points on average", first.Generator, units.Fixed(100*math.Abs(first.Bias), 1))
	what := "Share of years without a short day: claimed from part of a record, and seen in the years after it."
	records := "1 record"
	if n := len(r.Records); n != 1 {
		records = fmt.Sprintf("%d records", n)
	}
	f.Caption = fmt.Sprintf("%s claims over %s, for every target; each point the mean of the claims near it; on the diagonal claimed and seen are one. The 90 %% interval of “%s” held %s of the outcomes.",
		units.Fixed(float64(cases), 0), records, first.Generator, percent(first.Inside90))
	return f.drawn(what, "", func(pg *page, room vg.Rectangle) { drawCalibration(pg, scores, room) })
}

func drawCalibration(pg *page, scores []backtest.Score, room vg.Rectangle) {
	least := 1.0
	for _, s := range scores {
		for _, b := range s.Shares {
			least = min(least, b.Claimed, b.Seen)
		}
	}
	least = max(0, math.Floor(least*10)/10)
	height := room.Max.Y - room.Min.Y - 34
	width := min(room.Max.X-room.Min.X-60, height*1.7)
	area := vg.Rectangle{Min: vg.Point{X: room.Min.X + 44, Y: room.Min.Y + 30}}
	area.Max = vg.Point{X: area.Min.X + width, Y: area.Min.Y + height - 4}
	p := newPanel(pg, area, axis{min: 100 * least, max: 100}, axis{min: 100 * least, max: 100})
	both := plainTicks(100*least, 100, 5, "%")
	p.yAxis(both)
	p.curve(plotter.XYs{{X: 100 * least, Y: 100 * least}, {X: 100, Y: 100}}, Baseline, 0.8, 1)
	var labels []label
	for i := len(scores) - 1; i >= 0; i-- { // the default last: on top
		var line plotter.XYs
		for _, b := range scores[i].Shares {
			line = append(line, plotter.XY{X: 100 * b.Claimed, Y: 100 * b.Seen})
		}
		p.curve(line, palette[i], 1.6, 3)
	}
	p.draw()
	for i, s := range scores {
		var points []vg.Point
		for _, b := range s.Shares {
			pt := vg.Point{X: p.x(100 * b.Claimed), Y: p.y(100 * b.Seen)}
			points = append(points, pt)
			p.dot(pt, palette[i], 2.5)
			p.reads(100*b.Claimed, 100*b.Seen, "%s: claimed %s, seen %s, %d claims", s.Generator, percent(b.Claimed), percent(b.Seen), b.Cases)
		}
		labels = append(labels, label{lines: []string{s.Generator}, color: palette[i], at: points, lead: true})
	}
	p.xAxis(both)
	pg.text("claimed", tickFace, Muted, area.Max.X, area.Min.Y-26, 1)
	pg.text("seen", tickFace, Muted, area.Min.X-6, area.Max.Y+6, 1)
	p.put(labels...)
}
