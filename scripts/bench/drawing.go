package main

import (
	"bytes"
	"errors"
	"fmt"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"tankodds/report/figure"
	"tankodds/report/units"
)

// grown is one run of a measured program: how much was asked of it, how long
// it took and how much memory it held.
type grown struct {
	trial   trial
	size    float64 // years, cells or workers, > 0
	seconds float64 // wall time, > 0
	mb      float64 // peak memory, 10⁶ bytes
}

// Bounds of what the title may claim. Growth is judged between runs so far
// apart that the noise of a clock does not decide.
const (
	farApart   = 8    // times the work
	proportion = 1.15 // time over the growth of the work
	flat       = 1.5  // memory of the longest run over that of the shortest
)

// title says what was found.
func (g growth) title() string {
	time := "Time grows no faster than the work"
	for _, runs := range [][]grown{g.years, g.cells} {
		for i, few := range runs {
			for _, many := range runs[i+1:] {
				if work := many.size / few.size; work >= farApart && many.seconds/few.seconds > proportion*work {
					time = "Time grows faster than the work"
				}
			}
		}
	}
	first, last := g.years[0], g.years[len(g.years)-1]
	if last.mb <= flat*first.mb {
		return time + "; memory does not grow with the years"
	}
	return time + "; memory grows with the years"
}

// draw draws how time and memory grow as SVG: a column each for the years, the
// cells and the workers, the time above beside growth in proportion to the
// work (of workers: how many times as fast as one), the memory below.
func (g growth) draw(note string) ([]byte, error) {
	if len(g.years) == 0 || len(g.cells) == 0 || len(g.workers) == 0 {
		return nil, fmt.Errorf("nothing to draw")
	}
	plots := make([][]*plot.Plot, 2)
	for _, c := range []struct {
		runs    []grown
		name    string
		workers bool
	}{{g.years, "synthetic years", false}, {g.cells, "cells: tanks × roofs", false}, {g.workers, "workers", true}} {
		last, first := c.runs[len(c.runs)-1], c.runs[0]
		up, down := newPlot(c.name, "seconds", !c.workers), newPlot("", "peak memory, MB", !c.workers)
		took, even, held := make(plotter.XYs, len(c.runs)), make(plotter.XYs, len(c.runs)), make(plotter.XYs, len(c.runs))
		labels := plotter.XYLabels{XYs: took, Labels: make([]string, len(c.runs))}
		for i, r := range c.runs {
			y, proportional := r.seconds, last.seconds*r.size/last.size
			text := units.Significant(r.seconds, 2) + " s"
			if c.workers {
				y, proportional = first.seconds/r.seconds, r.size/first.size
				text += ": " + units.Significant(y, 3) + " ×"
			}
			if i == 0 || i == len(c.runs)-1 {
				labels.Labels[i] = text
			}
			took[i], even[i], held[i] = plotter.XY{X: r.size, Y: y}, plotter.XY{X: r.size, Y: proportional}, plotter.XY{X: r.size, Y: r.mb}
		}
		if c.workers {
			up.Y.Label.Text, up.Y.Min = "times as fast", 0
		} else {
			up.Y.Scale, up.Y.Tick.Marker = plot.LogScale{}, plot.LogTicks{Prec: -1}
		}
		down.Y.Min = 0
		line, err := plotter.NewLine(even)
		if err != nil {
			return nil, err
		}
		line.Color = figure.Baseline
		up.Add(line)
		names, err := plotter.NewLabels(labels)
		if err != nil {
			return nil, err
		}
		names.Offset = vg.Point{X: 4, Y: -10}
		for i := range names.TextStyle {
			names.TextStyle[i].Font = smallFont()
		}
		if err := errors.Join(addCurve(up, took), addCurve(down, held)); err != nil {
			return nil, err
		}
		up.Add(names)
		plots[0], plots[1] = append(plots[0], up), append(plots[1], down)
	}
	svg := vgsvg.New(figure.Width, figure.Height)
	page := draw.New(svg)
	page.SetColor(figure.Ink)
	at := page.Max.Y - figure.Margin
	for i, text := range []string{g.title(), note, "Dots are medians; the grey line is growth in proportion to the work."} {
		face := figure.Face(8, false)
		if i == 0 {
			face = figure.Face(14, true)
		}
		page.FillString(face, vg.Point{X: figure.Margin, Y: at}, text)
		at -= 14
	}
	area := draw.Crop(page, figure.Margin, -figure.Margin, figure.Margin, at-page.Max.Y)
	for i, row := range plot.Align(plots, draw.Tiles{Rows: 2, Cols: 3, PadX: 14, PadY: 10}, area) {
		for k, c := range row {
			plots[i][k].Draw(c)
		}
	}
	var b bytes.Buffer
	_, err := svg.WriteTo(&b)
	return b.Bytes(), err
}

// smallFont is the font of all but the title.
func smallFont() font.Font { return font.From(figure.Face(8, false).Font, 8) }

// newPlot returns empty axes over a size, on a logarithmic axis where asked.
func newPlot(title, y string, log bool) *plot.Plot {
	p := plot.New()
	p.Title.Text, p.Y.Label.Text = title, y
	for _, style := range []*font.Font{&p.Title.TextStyle.Font, &p.X.Tick.Label.Font, &p.Y.Tick.Label.Font, &p.Y.Label.TextStyle.Font} {
		*style = smallFont()
	}
	if log {
		p.X.Scale, p.X.Tick.Marker = plot.LogScale{}, plot.LogTicks{Prec: -1}
	}
	return p
}

// addCurve draws a curve with its runs as dots.
func addCurve(p *plot.Plot, curve plotter.XYs) error {
	line, dots, err := plotter.NewLinePoints(curve)
	if err != nil {
		return err
	}
	line.Color, dots.Color, dots.Shape, dots.Radius = figure.Accent, figure.Accent, draw.CircleGlyph{}, 3
	p.Add(line, dots)
	return nil
}
