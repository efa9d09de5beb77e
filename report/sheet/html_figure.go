package sheet

import (
	"html/template"
	"math"
	"strings"

	"tankodds/report/figure"
)

// The two shapes in which every figure is drawn: for a column of text, and for
// a telephone held upright, whose letters would be too small otherwise. Sizes
// in pt; the page shows one of them.
var (
	wideShape   = [2]float64{576, 330}
	narrowShape = [2]float64{310, 300}
)

type htmlFigure struct {
	ID, Title, Sub, Foot string
	Number               int
	Wide, Narrow         template.HTML
	Readings             *htmlReadings // nil where nothing can be read off
}

// htmlReadings are the readings of a figure: their words, and where they lie
// in each shape as shares of its width and height.
type htmlReadings struct {
	Text   []string     `json:"text"`
	Wide   [][2]float64 `json:"wide"`
	Narrow [][2]float64 `json:"narrow"`
	Tanks  []float64    `json:"tanks,omitempty"` // L, of a figure of sizes
}

func newHTMLFigure(number int, f figure.Figure) (*htmlFigure, error) {
	wide, err := f.Inline(wideShape[0], wideShape[1])
	if err != nil {
		return nil, err
	}
	narrow, err := f.Inline(narrowShape[0], narrowShape[1])
	if err != nil {
		return nil, err
	}
	out := &htmlFigure{ID: f.Name, Title: Bound(wide.Title), Sub: Bound(wide.Sub), Foot: Bound(wide.Foot), Number: number,
		Wide: onPaper(wide.SVG), Narrow: onPaper(narrow.SVG)}
	if n := len(wide.Readings); n > 0 && n == len(narrow.Readings) {
		out.Readings = &htmlReadings{Wide: placesIn(wide), Narrow: placesIn(narrow)}
		for _, r := range wide.Readings {
			out.Readings.Text = append(out.Readings.Text, r.Text)
			if r.Tank > 0 {
				out.Readings.Tanks = append(out.Readings.Tanks, r.Tank)
			}
		}
	}
	return out, nil
}

// placesIn places the readings within the drawing, to a thousandth.
func placesIn(in figure.Inline) [][2]float64 {
	var out [][2]float64
	for _, r := range in.Readings {
		out = append(out, [2]float64{math.Round(1000*r.X/in.Width) / 1000, math.Round(1000*r.Y/in.Height) / 1000})
	}
	return out
}

// onPaper is a drawing whose paper is the page's own, whatever colour that has.
// In the dark the page turns all of it over (style.css).
func onPaper(svg []byte) template.HTML {
	return template.HTML(strings.ReplaceAll(string(svg), "#FFFFFF", "var(--paper)"))
}
