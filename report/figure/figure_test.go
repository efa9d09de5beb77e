package figure

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/sim"
)

// maxSVG is what a figure may weigh: a page holds several.
const (
	maxSVG     = 80 << 10
	maxManySVG = 400 << 10
)

// svgOf draws a figure and checks what every figure's SVG must be, and that no
// text touches another, a marker or the edge.
func svgOf(t *testing.T, f Figure) []byte {
	t.Helper()
	svg, pg, err := f.svg(Width, Height, nil)
	require.NoError(t, err)
	nothingTouches(t, f.Title, pg)
	limit := maxSVG
	if strings.HasPrefix(f.Name, "compare") { // of hundreds of records
		limit = maxManySVG
	}
	assert.Less(t, len(svg), limit, f.Name)
	assert.False(t, regexp.MustCompile(`\bd="[^"]*(NaN|Inf)`).Match(svg), "%s: a path that is not finite", f.Name)
	assert.False(t, bytes.Contains(svg, []byte("font-family:")), "%s: the stack is stated once, on the root", f.Name)
	all := elementsOf(t, f.Name, svg)
	require.Greater(t, len(all), 3)
	for i, name := range []string{"svg", "title", "desc"} {
		assert.Equal(t, name, all[i].Name.Local)
	}
	attr := map[string]string{}
	for _, a := range all[0].Attr {
		attr[a.Name.Local] = a.Value
	}
	assert.Equal(t, "img", attr["role"])
	assert.Equal(t, fontStack, attr["font-family"])
	assert.NotEmpty(t, attr["viewBox"])
	id := strings.Fields(attr["aria-labelledby"])
	require.Len(t, id, 2)
	for _, i := range id {
		assert.Equal(t, 1, strings.Count(string(svg), `id="`+i+`"`))
	}
	return svg
}

// elementsOf reads the elements of a drawing, which must be well formed.
func elementsOf(t *testing.T, name string, svg []byte) (all []xml.StartElement) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		require.NoError(t, err, name)
		if e, ok := tok.(xml.StartElement); ok {
			all = append(all, e.Copy())
		}
	}
}

func nothingTouches(t *testing.T, name string, pg *page) {
	t.Helper()
	require.NotEmpty(t, pg.texts)
	for i, a := range pg.texts {
		assert.True(t, a.box.Min.X >= 0 && a.box.Max.X <= pg.c.Max.X && a.box.Min.Y >= 0 && a.box.Max.Y <= pg.c.Max.Y, "%s: %q leaves the page", name, a.text)
		for _, b := range pg.texts[i+1:] {
			assert.False(t, overlap(a.box, b.box, 0), "%s: %q touches %q", name, a.text, b.text)
		}
		for _, m := range pg.marks {
			assert.False(t, overlap(a.box, m, 0), "%s: %q touches a marker", name, a.text)
		}
	}
}

func texts(f Figure) string {
	var all []string
	_, pg, err := f.svg(Width, Height, nil)
	if err != nil {
		panic(err)
	}
	for _, t := range pg.texts {
		all = append(all, strings.ReplaceAll(t.text, nbsp, " "))
	}
	return strings.Join(all, "\n")
}

func TestFigures(t *testing.T) {
	t.Parallel()
	var mu sync.Mutex
	ids := map[string]string{}
	again := figureCases()
	for i, c := range figureCases() {
		for k, f := range c.figs {
			t.Run(c.name+"/"+f.Name, func(t *testing.T) {
				t.Parallel()
				svg := svgOf(t, f)
				other, err := again[i].figs[k].SVG()
				require.NoError(t, err)
				assert.True(t, bytes.Equal(svg, other), "the same input gives the same bytes")
				id := regexp.MustCompile(`id="([^"]*)-t"`).FindSubmatch(svg)[1]
				mu.Lock()
				defer mu.Unlock()
				if was, ok := ids[string(id)]; ok {
					assert.Equal(t, was, string(svg), "two figures share an identifier")
				}
				ids[string(id)] = string(svg)
				assert.NotEmpty(t, f.Title)
				assert.NotEmpty(t, f.Desc)
				assert.NotEmpty(t, f.Caption)
				if f.Name == "season" || f.Name == "balance" {
					assert.Contains(t, f.Caption, "Simulated: 2,000 synthetic years", "those that it is drawn from")
				}
			})
		}
	}
}

func TestPNG(t *testing.T) {
	for _, f := range figureCases()[0].figs {
		t.Run(f.Name, func(t *testing.T) {
			t.Parallel()
			a, err := f.PNG()
			require.NoError(t, err)
			b, err := f.PNG()
			require.NoError(t, err)
			assert.True(t, bytes.Equal(a, b))
			img, err := png.Decode(bytes.NewReader(a))
			require.NoError(t, err)
			assert.Equal(t, 1600, img.Bounds().Dx())
			assert.Equal(t, 1000, img.Bounds().Dy())
			other := 0 // dots that are not paper
			for x := 0; x < 1600; x += 2 {
				for y := 0; y < 1000; y += 2 {
					if r, g, b, _ := img.At(x, y).RGBA(); r+g+b < 3*0xffff {
						other++
					}
				}
			}
			assert.Greater(t, other, 2000)
		})
	}
}

func TestAnswerIsNamedInWords(t *testing.T) {
	f := Study(madeUp(shape{6400, 0.999, 1.24}, 180, []float64{180}, steps(500, 20000, 40), 0.9), nil, Options{})
	all := texts(f[0])
	for _, want := range []string{"12,200 L meets 90 %", "(9,830 to 15,100 L)", "safe size 15,100 L", "more storage stops paying", "target 90 %"} {
		assert.Contains(t, all, want)
	}
	us := Study(madeUp(shape{6400, 0.999, 1.24}, 180, []float64{180}, steps(500, 20000, 40), 0.9), nil, Options{Units: units.US})
	assert.Contains(t, texts(us[0]), "3,220 gal meets 90 %")
	assert.Contains(t, texts(us[0]), "1,940 ft²")
	for _, want := range []string{"Up to 1,860 gal, the last gallon", "US gallons", "more storage stops paying", "(1,580 to 2,230 gal)", "every other year", "3,220 gal meets 90 %", "its last gallon is used 1.5 times a year"} {
		assert.Contains(t, texts(us[1]), want)
	}

	r := madeUp(shape{6400, 0.999, 1.24}, 180, []float64{180}, steps(500, 20000, 40), 0.9)
	r.Study.Costs = &sim.Costs{Life: 25}
	r.Stop = sim.Stop{Method: sim.ByValue, Tank: 4000, Low: 3000, High: 5000, Least: math.NaN()}
	for _, want := range []string{"worth most at these prices", "4,000 L", "(3,000 to 5,000 L)"} {
		assert.Contains(t, texts(Study(r, nil, Options{})[1]), want)
	}
}

// TestLabelsWithManyShapes lays out made-up results of many scales and shapes:
// no label may touch another whatever the curves do.
func TestLabelsWithManyShapes(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 11))
	for range 40 {
		scale := math.Pow(10, 1+6*rng.Float64())
		n := 1 + rng.IntN(60)
		sizes := steps(scale*0.02, scale, n)
		if rng.IntN(2) == 0 && n > 1 {
			sizes = ratios(scale*0.002, scale, n)
		}
		sh := shape{scale * (0.01 + 0.8*rng.Float64()), 0.3 + 0.7*rng.Float64(), 1.01 + rng.Float64()}
		own := 10 + 300*rng.Float64()
		r := madeUp(sh, own, steps(own*0.3, own*3, rng.IntN(12)), sizes, 0.05+0.94*rng.Float64())
		opt := Options{}
		if rng.IntN(2) == 0 {
			opt.Units = units.US
		}
		for _, f := range Study(r, madeUpRecord(longName), opt) {
			svgOf(t, f)
		}
		var cs []Station
		for range 1 + rng.IntN(10) {
			sh.size *= 0.8 + 0.6*rng.Float64()
			cs = append(cs, stationFrom(longName[:1+rng.IntN(len(longName))], madeUp(sh, own, nil, sizes, 0.9)))
		}
		figs := Comparison(r.Study, cs, 2000, nil, opt)
		require.NotEmpty(t, figs)
		for _, f := range figs {
			svgOf(t, f)
		}
	}
}

func TestExtremeInputIsDrawn(t *testing.T) {
	rec := madeUpRecord("<script>&\x00\xff\"'\n" + longName)
	for name, r := range extremeResults() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			figs := Study(r, rec, Options{})
			require.NotEmpty(t, figs)
			for _, f := range figs {
				svgOf(t, f)
			}
			_, err := figs[0].PNG()
			require.NoError(t, err)
			all := Comparison(r.Study, []Station{stationFrom(rec.Place, r), stationFrom("", r), stationFrom("x", r), stationFrom("y", r)}, 2000, nil, Options{})
			assert.True(t, len(r.Curve) == 0 || len(all) > 0)
			for _, f := range all {
				svgOf(t, f)
			}
		})
	}
	assert.Empty(t, Study(nil, rec, Options{}))
	assert.Empty(t, Study(&sim.Result{Study: &sim.Study{}}, nil, Options{}))
	assert.Empty(t, Comparison(&sim.Study{}, nil, 0, nil, Options{}))
}

func TestRecordFigure(t *testing.T) {
	day := rainfall.Day(1999, time.December, 30)
	bare := func(days rainfall.Date, usable ...rainfall.WaterYear) *rainfall.Summary {
		m := &rainfall.Summary{About: rainfall.About{File: "-"}, First: day, Last: day + days - 1, Days: int(days), Start: time.October, Usable: usable, UsableN: len(usable)}
		for k := range m.Monthly {
			m.Monthly[k] = math.NaN()
		}
		return m
	}
	dry := madeUpRecord("Dry")
	dry.Monthly = [12]float64{}
	for i := range dry.Usable {
		dry.Usable[i].MM = 0
	}
	none, one := madeUpRecord("Carrow Hill"), madeUpRecord("Carrow Hill")
	none.Usable, none.UsableN = nil, 0
	one.Usable, one.UsableN = one.Usable[20:21], 1
	for name, rec := range map[string]*rainfall.Summary{
		"as ever": madeUpRecord("Carrow Hill"), "no usable year": none, "one day": bare(1), "four days": bare(4),
		"always dry": dry, "all missing": bare(20000), "one year": one,
		"one year alone": bare(700, rainfall.WaterYear{Label: 2000, MM: 600}),
	} {
		t.Run(name, func(t *testing.T) {
			f, ok := recordFigure(nil, rec, Options{})
			require.True(t, ok)
			svgOf(t, f)
		})
	}
	_, ok := recordFigure(nil, bare(0), Options{})
	assert.False(t, ok)

	f, _ := recordFigure(nil, madeUpRecord("Carrow Hill", 1972, 1973), Options{})
	assert.Contains(t, texts(f), "not usable")
	assert.Contains(t, f.Caption, "Not used for missing days: 2 of 60 years.")
}

func TestAPanicOfTheLibraryIsAnError(t *testing.T) {
	f := Figure{Name: "broken", draw: func(*page) { panic("log of zero") }}
	out, err := f.SVG()
	assert.Nil(t, out)
	assert.EqualError(t, err, "figure broken could not be drawn: log of zero")
	out, err = f.PNG()
	assert.Nil(t, out)
	assert.Error(t, err)
}
