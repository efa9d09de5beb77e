package gen

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// made returns n years whose depth on day d of year i is f(i, d) mm.
func made(n int, f func(i, d int) float64) *rainfall.Years {
	y := &rainfall.Years{Start: time.October}
	for i := range n {
		rain := make([]float64, rainfall.DaysPerYear)
		for d := range rain {
			rain[d] = f(i, d)
		}
		y.Label, y.Rain, y.Filled = append(y.Label, 1950+i), append(y.Rain, rain), append(y.Filled, 0)
	}
	return y
}

// drawn fits a generator to years and draws n others.
func drawn(t *testing.T, g Generator, y *rainfall.Years, n int, rng *rand.Rand) []float64 {
	t.Helper()
	s, err := g.Fit(y)
	require.NoError(t, err)
	trace := make([]float64, n*rainfall.DaysPerYear)
	s.Sample(trace, rng)
	return trace
}

// asYears cuts a trace into its years.
func asYears(trace []float64) *rainfall.Years {
	return made(len(trace)/rainfall.DaysPerYear, func(i, d int) float64 { return trace[i*rainfall.DaysPerYear+d] })
}

// annual lists the totals of years, mm.
func annual(y *rainfall.Years) []float64 {
	var out []float64
	for i := range y.Rain {
		out = append(out, y.Total(i))
	}
	return out
}

// awkward returns records of kinds that a generator must live with.
func awkward() map[string]*rainfall.Years {
	temperate := invented(30)
	index := make([]int, 30)
	for i := range index {
		index[i] = 7 // one year, drawn thirty times
		if i%3 == 0 {
			index[i] = i
		}
	}
	gaps := invented(20)
	for i := range gaps.Label {
		gaps.Label[i] = 1900 + 3*i
	}
	return map[string]*rainfall.Years{
		"one year":    invented(1),
		"two years":   invented(2),
		"three years": invented(3),
		"with copies": temperate.Pick(index),
		"only copies": temperate.Pick([]int{4, 4, 4, 4}),
		"all gaps":    gaps,
		"no rain":     made(10, func(int, int) float64 { return 0 }),
		"same rain":   made(10, func(int, int) float64 { return 2.5 }),
		"rain daily":  made(10, func(i, d int) float64 { return 1 + float64((i*31+d*17)%90)/10 }),
		"one storm":   made(10, func(i, d int) float64 { return map[bool]float64{true: 1825}[i == 3 && d == 100] }),
		"drizzle":     made(10, func(i, d int) float64 { return float64((i+d)%3) * 0.1 }),
		"dry half": made(25, func(i, d int) float64 {
			return map[bool]float64{true: float64(1 + (i*13+d*7)%40)}[d < 150 && (i+d)%4 == 0]
		}),
		"a long desert": made(40, func(i, d int) float64 { return map[bool]float64{true: 3.2}[(i*365+d)%431 == 0] }),
	}
}

func TestEveryGeneratorOnAwkwardRecords(t *testing.T) {
	for _, g := range All() {
		for name, y := range awkward() {
			t.Run(g.Name+"/"+name, func(t *testing.T) {
				s, err := g.Fit(y)
				require.NoError(t, err)
				wettest := 0.0
				for _, rain := range y.Rain {
					for _, x := range rain {
						wettest = math.Max(wettest, x)
					}
				}
				trace := make([]float64, 9*rainfall.DaysPerYear)
				for i := range trace {
					trace[i] = math.NaN() // every day must be written
				}
				s.Sample(trace, Source(1, 2, 3))
				for d, x := range trace {
					if !(x >= 0) || math.IsInf(x, 0) || math.Signbit(x) {
						require.Failf(t, "not a depth", "day %d is %g mm", d, x)
					}
					if g.Name != "chain" {
						require.LessOrEqual(t, x, wettest)
					}
				}
				again := make([]float64, len(trace))
				s.Sample(again, Source(1, 2, 3))
				assert.Equal(t, trace, again, "same source, same rain")
				refit, err := g.Fit(y)
				require.NoError(t, err)
				refit.Sample(again, Source(1, 2, 3))
				assert.Equal(t, trace, again, "same record, same rain")
				s.Sample(trace[:0], Source(1, 2, 3)) // no year is nothing to do
				if d, ok := s.(Described); ok {
					for _, p := range d.Parameters() {
						assert.False(t, math.IsNaN(p.Value) || math.IsInf(p.Value, 0), p.Name)
					}
				}
			})
		}
	}
}

func TestGeneratorsKeepZeroSeasons(t *testing.T) {
	for _, g := range All() {
		trace := drawn(t, g, awkward()["dry half"], 200, Source(1, 1, 1))
		wet := 0
		for t, x := range trace {
			// The windows of neighbours and the months of the chain reach
			// some days past the rain's end; none reaches the next month.
			if d := t % rainfall.DaysPerYear; d > 185 && d < 330 && x > 0 {
				wet++
			}
		}
		assert.Zero(t, wet, g.Name)
		none := drawn(t, g, awkward()["no rain"], 5, Source(1, 1, 1))
		assert.Equal(t, make([]float64, len(none)), none, g.Name)
	}
}

func TestGeneratorsRefuseNoYears(t *testing.T) {
	for _, g := range All() {
		_, err := g.Fit(&rainfall.Years{Start: time.January})
		assert.ErrorContains(t, err, "no usable water year", g.Name)
	}
}

func TestGeneratorsDoNotChangeTheRecord(t *testing.T) {
	for _, g := range All() {
		y, same := invented(12), invented(12)
		trace := drawn(t, g, y, 5, Source(1, 1, 1))
		for i := range trace {
			trace[i] = -1 // nor may a trace share its depths
		}
		assert.Equal(t, same, y, g.Name)
	}
}

func TestGeneratorsServeManyGoroutines(t *testing.T) {
	for _, g := range All() {
		s, err := g.Fit(invented(20))
		require.NoError(t, err)
		var out [8][]float64
		var wait sync.WaitGroup
		for k := range out {
			wait.Add(1)
			go func() {
				defer wait.Done()
				out[k] = make([]float64, 20*rainfall.DaysPerYear)
				s.Sample(out[k], Source(5, 6, uint64(k%2)))
			}()
		}
		wait.Wait()
		for k := range out {
			assert.Equal(t, out[k%2], out[k], g.Name)
		}
		assert.NotEqual(t, out[0], out[1], g.Name)
	}
}

// Every generator must keep the mean: a roof's yield hangs on it. The
// standard error of the mean of 3,000 years is about 0.2 %; the neighbours,
// whose weights fall fast, use some days more than others.
func TestGeneratorsKeepTheMean(t *testing.T) {
	y := invented(150)
	want := mean(annual(y))
	for _, g := range All() {
		trace := drawn(t, g, y, 3000, Source(1, 1, 1))
		tol := 0.01
		if g.Name == "neighbours" {
			tol = 0.025
		}
		assert.InEpsilon(t, want, mean(trace)*rainfall.DaysPerYear, tol, g.Name)
	}
}

// The bytes of a trace are the same on every machine: these were taken on
// amd64, with and without fused multiply-adds. A change of a generator's rule
// changes its line.
func TestTraceBytes(t *testing.T) {
	want := map[string]string{
		"guided":     "fb520804e8476acc",
		"years":      "c27a2f97c9a96aaf",
		"blocks":     "8e0e8ea33594bdcd",
		"neighbours": "93baac27a48395b2",
		"chain":      "c735414f95dcb8af",
	}
	for _, g := range All() {
		trace := drawn(t, g, invented(25), 40, Source(11, 12, 13))
		sum := sha256.New()
		for _, x := range trace {
			_ = binary.Write(sum, binary.LittleEndian, x)
		}
		assert.Equal(t, want[g.Name], hex.EncodeToString(sum.Sum(nil))[:16], g.Name)
	}
}

func TestFind(t *testing.T) {
	g, err := Find("")
	require.NoError(t, err)
	assert.Equal(t, "guided", g.Name)
	seen := map[string]bool{}
	for _, g := range All() {
		found, err := Find(g.Name)
		require.NoError(t, err)
		assert.Equal(t, g.What, found.What)
		assert.NotEmpty(t, g.Source)
		assert.False(t, seen[g.Name], "two generators have one name")
		seen[g.Name] = true
	}
	_, err = Find("weather")
	assert.EqualError(t, err, `no generator is named "weather"; there are guided, years, blocks, neighbours, chain`)
}

func TestGeometricLength(t *testing.T) {
	for _, mean := range []float64{1, 1.5, 7, 36} {
		t.Run(fmt.Sprint(mean), func(t *testing.T) {
			const n = 200000
			g := newGeometric(mean, 2000)
			rng := Source(1, 1, 1)
			sum, over3 := 0.0, 0.0
			for range n {
				l := g.draw(rng)
				if l < 1 { // asked plainly: this is looked at a million times
					require.GreaterOrEqual(t, l, 1)
				}
				sum += float64(l)
				if l > 3 {
					over3++
				}
			}
			// mean m, variance m(m−1) of a geometric length
			assert.InDelta(t, mean, sum/n, 4*math.Sqrt(mean*(mean-1)/n)+1e-9)
			p := math.Pow(1-1/mean, 3)
			assert.InDelta(t, p, over3/n, 4*math.Sqrt(p*(1-p)/n)+1e-9)
		})
	}
	short := newGeometric(36, 5)
	rng := Source(1, 1, 1)
	for range 1000 {
		assert.LessOrEqual(t, short.draw(rng), 5)
	}
}
