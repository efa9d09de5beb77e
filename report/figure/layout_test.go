package figure

import (
	"cmp"
	"image/color"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
)

func TestNumber(t *testing.T) {
	for x, want := range map[float64]string{
		0: "0", 0.5: "0.5", 1: "1", 8.254: "8.25", 13.29: "13.3", 999.6: "1,000", 1000: "1,000", 11432: "11,400",
		1234567: "1,230,000", -2500: "-2,500", 0.001234: "0.00123", 99.96: "100",
	} {
		assert.Equal(t, want, threeDigits(x), "%v", x)
	}
	assert.Equal(t, "99.5"+nbsp+"%", percent(0.995))
	assert.Equal(t, "90"+nbsp+"%", percent(0.9))
}

func TestBetween(t *testing.T) {
	l := scale{"L", 1}
	nan := math.NaN()
	plain := func(lo, hi float64) string { return strings.ReplaceAll(l.between(lo, hi), nbsp, " ") }
	assert.Equal(t, "8,900 to 14,200 L", plain(8900, 14200))
	assert.Equal(t, "8,900 L or more", plain(8900, nan))
	assert.Equal(t, "", plain(nan, nan))
	assert.Equal(t, "", plain(900.1, 900.2))
}

func TestTicks(t *testing.T) {
	at, decimals := ticks(0, 20000, 6)
	assert.Equal(t, []float64{0, 5000, 10000, 15000, 20000}, at)
	assert.Equal(t, 0, decimals)
	at, decimals = ticks(0, 0.42, 5)
	assert.Len(t, at, 5)
	assert.Equal(t, 1, decimals)
	assert.Equal(t, []float64{20, 50, 100, 200, 500, 1000, 2000, 5000}, logTicks(20, 5000))
	assert.Equal(t, []float64{1, 10, 100, 1000, 10000}, logTicks(1, 10000))
	assert.False(t, wantsLog(steps(500, 20000, 50)))
	assert.False(t, wantsLog(ratios(500, 20000, 20)))
	assert.True(t, wantsLog(steps(10, 5000, 50)))
}

func TestEvenly(t *testing.T) {
	assert.Equal(t, []int{0, 1, 2}, evenly(3, 8))
	assert.Equal(t, []int{0, 3, 6, 9}, evenly(10, 4))
	for n := 1; n < 60; n++ {
		for k := 2; k < 10; k++ {
			got := evenly(n, k)
			assert.Len(t, got, min(n, k))
			assert.Equal(t, 0, got[0])
			assert.Equal(t, n-1, got[len(got)-1])
			for i := 1; i < len(got); i++ {
				assert.Less(t, got[i-1], got[i])
			}
		}
	}
}

func TestSpread(t *testing.T) {
	assert.Equal(t, []float64{90, 50, 10}, spread([]float64{90, 50, 10}, []float64{10, 10, 10}, 0, 100), "apart already")
	assert.Equal(t, []float64{55, 45}, spread([]float64{50, 50}, []float64{10, 10}, 0, 100), "each gives way alike")
	assert.Equal(t, []float64{95, 85, 75}, spread([]float64{100, 100, 100}, []float64{10, 10, 10}, 0, 100), "the edge holds")
	got := spread([]float64{3, 2, 1, 0}, []float64{10, 20, 10, 10}, 0, 100)
	assert.Equal(t, []float64{45, 30, 15, 5}, got)
}

func TestWrapAndClip(t *testing.T) {
	f := labelFace
	for _, s := range []string{longName, "a", "", strings.Repeat("x", 300), "日本 " + strings.Repeat("é", 90)} {
		for _, width := range []vg.Length{30, 80, 200} {
			for most := 1; most < 4; most++ {
				lines := wrapAt(s, f, width, most)
				assert.LessOrEqual(t, len(lines), most)
				for _, l := range lines {
					assert.LessOrEqual(t, float64(f.width(l)), float64(width), "%q", l)
				}
			}
		}
	}
	assert.Equal(t, []string{longName}, wrapAt(longName, f, 2000, 2))
	assert.Equal(t, "Upper Carrow Hill"+ellipsis, clipAt(longName, f, 100), "cut between words")
}

func TestArrangeFindsTheLeastTogether(t *testing.T) {
	at := func(x vg.Length, cost float64) candidate {
		return candidate{vg.Rectangle{Min: vg.Point{X: x}, Max: vg.Point{X: x + 10, Y: 10}}, vg.Point{X: x}, cost, 0}
	}
	among := func(all ...candidate) *places { return &places{found: all} }
	// both want the place at 0; together it is cheaper that the first gives way
	got := arrange([]*places{among(at(0, 1), at(50, 2)), among(at(0, 1), at(100, 9))})
	assert.Equal(t, []candidate{at(50, 2), at(0, 1)}, got)
	assert.Nil(t, arrange([]*places{among(at(0, 1)), among(at(5, 1))}), "there is no room for both")
	assert.Nil(t, arrange([]*places{among()}))
}

// Places come as if all had been weighed and sorted, though few are weighed.
func TestPlacesComeCheapestFirst(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	weighed := 0
	weigh := func(s spot) (out []candidate) {
		weighed++
		for k := range s.n % 4 { // of some spots none
			out = append(out, candidate{cost: s.cost + float64(s.n%11*k), n: s.n*directions + k})
		}
		return out
	}
	var rest []spot
	for n := range 2000 {
		rest = append(rest, spot{cost: float64(rng.IntN(60)), n: n})
	}
	var want []candidate
	for _, s := range rest {
		want = append(want, weigh(s)...)
	}
	slices.SortStableFunc(want, func(a, b candidate) int { return cmp.Compare(a.cost, b.cost) })
	slices.SortStableFunc(rest, func(a, b spot) int { return cmp.Compare(a.cost, b.cost) })
	weighed = 0
	s := &places{weigh: weigh, rest: rest}
	for k, w := range want[:maxCandidates] {
		got, ok := s.at(k)
		require.True(t, ok)
		require.Equal(t, w, got, "%d", k)
	}
	assert.Less(t, weighed, len(want)/2)
	_, ok := s.at(maxCandidates)
	assert.False(t, ok)
}

func TestInside(t *testing.T) {
	r := vg.Rectangle{Max: vg.Point{X: 10, Y: 10}}
	assert.InDelta(t, 10, float64(inside(r, vg.Point{X: -5, Y: 5}, vg.Point{X: 15, Y: 5})), 1e-12)
	assert.InDelta(t, 10*math.Sqrt2, float64(inside(r, vg.Point{X: -5, Y: -5}, vg.Point{X: 15, Y: 15})), 1e-12)
	assert.Zero(t, inside(r, vg.Point{X: -5, Y: 11}, vg.Point{X: 15, Y: 11}))
	assert.True(t, crosses(vg.Point{}, vg.Point{X: 2, Y: 2}, vg.Point{Y: 2}, vg.Point{X: 2}))
	assert.False(t, crosses(vg.Point{}, vg.Point{X: 2, Y: 2}, vg.Point{X: 3}, vg.Point{X: 5}))
}

func TestTextCanBeRead(t *testing.T) {
	// WCAG 2.1: black on white is 21 to 1 (the range the definition names; MEM "from memory, unverified")
	assert.InDelta(t, 21, contrast(color.NRGBA{A: 0xff}, paper), 1e-9)
	for _, c := range append(palette, Ink, Muted, bystand) {
		assert.GreaterOrEqual(t, contrast(readable(c), paper), minContrast)
	}
}

func TestFacesExist(t *testing.T) {
	regular, bold := labelFace.font(), nameFace.font()
	assert.Equal(t, "LiberationSans-Regular", regular.Name())
	assert.Equal(t, "LiberationSans-Bold", bold.Name())
	assert.NotSame(t, regular.Face, bold.Face)
}
