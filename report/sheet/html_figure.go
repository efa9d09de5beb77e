package sheet

import (
	"fmt"
	"html/template"
	"math"
	"regexp"
	"sort"
	"strconv"
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
}

func (p *htmlPage) figure(number int, f figure.Figure) (*htmlFigure, error) {
	wide, err := f.Inline(wideShape[0], wideShape[1])
	if err != nil {
		return nil, err
	}
	narrow, err := f.Inline(narrowShape[0], narrowShape[1])
	if err != nil {
		return nil, err
	}
	out := &htmlFigure{ID: f.Name, Title: Bound(wide.Title), Sub: Bound(wide.Sub), Foot: Bound(wide.Foot), Number: number}
	out.Wide, out.Narrow = p.coloured(wide.SVG), p.coloured(narrow.SVG)
	if n := len(wide.Readings); n > 0 && n == len(narrow.Readings) {
		out.Readings = &htmlReadings{Wide: placesIn(wide), Narrow: placesIn(narrow)}
		for _, r := range wide.Readings {
			out.Readings.Text = append(out.Readings.Text, r.Text)
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

var colourInSVG = regexp.MustCompile(`#[0-9A-Fa-f]{6}\b`)

// coloured replaces the colours of a drawing by variables, so that the page
// can set the same drawing on light and on dark.
func (p *htmlPage) coloured(svg []byte) template.HTML {
	return template.HTML(colourInSVG.ReplaceAllStringFunc(string(svg), func(c string) string {
		c = strings.ToLower(c)
		p.dark[c] = true
		return "var(--" + c[1:] + ")"
	}))
}

// colours defines the variables of the drawings' colours.
func (p *htmlPage) colours() string {
	var all []string
	for c := range p.dark {
		all = append(all, c)
	}
	sort.Strings(all)
	var light, dark strings.Builder
	for _, c := range all {
		to := c
		if c == "#ffffff" { // the paper, which is the page's
			to = "var(--paper)"
		}
		fmt.Fprintf(&light, "--%s:%s;", c[1:], to)
		if c != "#ffffff" {
			fmt.Fprintf(&dark, "--%s:%s;", c[1:], darkened(c))
		}
	}
	return fmt.Sprintf("\n:root{%s}\n@media screen and (prefers-color-scheme:dark){:root{%s}}\n", light.String(), dark.String())
}

// darkPaper is the ground of the page in the dark; style.css has it too.
const darkPaper = "#15171a"

// darkened returns the colour, of the same hue, that stands out from darkPaper
// as c does from white (the contrast ratio of WCAG 2.1) and a little more,
// since the eye sees less of it in the dark: what could be read can be read,
// what was faint is faint, and what lay on another colour still stands out.
func darkened(c string) string {
	contrast := math.Pow(1.05/(luminance(linear(c))+0.05), 1.12)
	want := min(0.82, contrast*(luminance(linear(darkPaper))+0.05)-0.05)
	rgb := linear(pure(c))
	y := luminance(rgb)
	if max(rgb[0], rgb[1], rgb[2])-min(rgb[0], rgb[1], rgb[2]) < 0.02 {
		return hex([3]float64{want, want, want})
	}
	most := 0.0
	for i := range rgb {
		rgb[i] *= want / y
		most = max(most, rgb[i])
	}
	if most > 1 { // too bright for its hue: let white in
		base := want / most
		t := (want - base) / (1 - base)
		for i := range rgb {
			rgb[i] = rgb[i]/most*(1-t) + t
		}
	}
	return hex(rgb)
}

// pure takes the white out of a colour: of a tint it is the colour that was
// thinned.
func pure(c string) string {
	v := bytesOf(c)
	least := min(v[0], v[1], v[2])
	if max(v[0], v[1], v[2])-least < 18 { // a grey
		return "#000000"
	}
	for i := range v {
		v[i] = 255 - (255-v[i])*255/(255-least)
	}
	return fmt.Sprintf("#%02x%02x%02x", v[0], v[1], v[2])
}

// bytesOf reads the three bytes of a colour.
func bytesOf(c string) (out [3]int) {
	for i := range out {
		n, _ := strconv.ParseUint(c[1+2*i:3+2*i], 16, 8)
		out[i] = int(n)
	}
	return out
}

// linear undoes the transfer function of sRGB (IEC 61966-2-1).
func linear(c string) (out [3]float64) {
	for i, n := range bytesOf(c) {
		v := float64(n) / 255
		if v <= 0.04045 {
			out[i] = v / 12.92
		} else {
			out[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return out
}

func hex(rgb [3]float64) string {
	out := "#"
	for _, v := range rgb {
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		out += fmt.Sprintf("%02x", int(math.Round(255*min(1, max(0, v)))))
	}
	return out
}

// luminance is the relative luminance of WCAG 2.1 of linear parts.
func luminance(rgb [3]float64) float64 {
	return 0.2126*rgb[0] + 0.7152*rgb[1] + 0.0722*rgb[2]
}
