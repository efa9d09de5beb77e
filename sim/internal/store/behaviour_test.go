package store

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/internal/published"
)

// TestBehaviourToy: D = 10, Y = 10 10 4 0 10 7 10 10 2 10 has reliability
// 0.6, volumetric 0.73, three events in four failures so resilience 0.75,
// event maxima 10, 3, 8 with mean 7, mean event deficit 9 (COMP, definitions of
// Hashimoto, Stedinger & Loucks 1982, READ-2nd).
func TestBehaviourToy(t *testing.T) {
	b := Behave([]float64{10, 10, 4, 0, 10, 7, 10, 10, 2, 10}, constant(10, 10))
	assert.Equal(t, 10, b.Steps)
	assert.Equal(t, 4, b.Failures)
	assert.Equal(t, []Event{{2, 2, 16, 10}, {5, 1, 3, 3}, {8, 1, 8, 8}}, b.Events)
	assert.InDelta(t, 0.6, b.Time(), 1e-15)
	assert.InDelta(t, 0.73, b.Volumetric(), 1e-15)
	assert.Equal(t, 27.0, b.Deficit())
	assert.Equal(t, 10.0, b.MaxDeficit())
	assert.Equal(t, 2, b.LongestDry())
	for _, c := range []struct {
		want float64
		of   func() (float64, bool)
	}{{0.75, b.Resilience}, {7, b.Vulnerability}, {9, b.MeanDeficit}} {
		got, ok := c.of()
		assert.True(t, ok)
		assert.InDelta(t, c.want, got, 1e-15)
	}
}

// TestBehaviourWithoutFailure: resilience is undefined where nothing failed,
// not 1; a yield short by rounding alone is no failure.
func TestBehaviourWithoutFailure(t *testing.T) {
	b := Behave([]float64{10, math.Nextafter(10, 0), 0}, []float64{10, 10, 0})
	assert.Zero(t, b.Failures)
	assert.Empty(t, b.Events)
	assert.Equal(t, 1.0, b.Time())
	assert.Zero(t, b.Deficit())
	assert.Zero(t, b.LongestDry())
	for _, of := range []func() (float64, bool){b.Resilience, b.Vulnerability, b.MeanDeficit} {
		x, ok := of()
		assert.False(t, ok)
		assert.True(t, math.IsNaN(x))
	}
	none := Behave(nil, nil)
	assert.True(t, math.IsNaN(none.Time()))
	assert.True(t, math.IsNaN(none.Volumetric()))
}

// TestBehaviourNile runs the Nile's 100 annual flows through one store in one
// step a year.
func TestBehaviourNile(t *testing.T) {
	q, year := published.Column(t, "nile.csv", "flow"), published.Column(t, "nile.csv", "year")
	in := 0.0
	for _, x := range q {
		in += x
	}
	for _, row := range published.Table(t, "nile-behaviour.csv") {
		t.Run(row["size"], func(t *testing.T) {
			size := published.Number(t, row["size"])
			d := constant(published.Number(t, row["draft"]), len(q))
			got := followLanes(YBS, q, d, size, []float64{size})[0]
			b := Behave(got.yield, d)
			resilience, ok := b.Resilience()
			vulnerability, _ := b.Vulnerability()
			final := got.storage[len(q)-1]
			for head, x := range map[string]float64{
				"failures": float64(b.Failures), "events": float64(len(b.Events)),
				"time": b.Time(), "volumetric": b.Volumetric(), "resilience": resilience,
				"deficit": b.Deficit(), "max_deficit": b.MaxDeficit(), "vulnerability": vulnerability,
				"spill": got.spilled, "final": final,
			} {
				if row[head] != "" {
					assert.InDelta(t, published.Number(t, row[head]), x, 6e-11, head)
				}
			}
			assert.Equal(t, b.Failures > 0, ok)
			assert.Equal(t, b.Failures, got.short)
			assert.Equal(t, size+in, got.supplied+got.spilled+final)
		})
	}

	// the failures by date: 1945 alone, by one unit; 1913–15, 1928 and 1941–45
	events := func(size float64) (out [][2]float64) {
		d := constant(850, len(q))
		for _, e := range Behave(followLanes(YBS, q, d, size, []float64{size})[0].yield, d).Events {
			out = append(out, [2]float64{year[e.From], year[e.From+e.Steps-1]})
		}
		return out
	}
	assert.Empty(t, events(908))
	assert.Equal(t, [][2]float64{{1945, 1945}}, events(907))
	assert.Equal(t, [][2]float64{{1913, 1915}, {1928, 1928}, {1941, 1945}}, events(500))
}

// TestCoarseStep: a step as long as the store's own cycle makes YAS useless.
// Annual Nile, S = 1000, D = 850: YBS meets every year, YAS 9 % (COMP).
func TestCoarseStep(t *testing.T) {
	q := published.Column(t, "nile.csv", "flow")
	d := constant(850, len(q))
	reliability := func(r Rule) float64 {
		return Behave(followLanes(r, q, d, 1000, []float64{1000})[0].yield, d).Time()
	}
	assert.Equal(t, 1.0, reliability(YBS))
	assert.InDelta(t, 0.09, reliability(YAS), 1e-12)
}

// TestBehaviourAddsUp: events partition the failures and the deficit is what
// was wanted less what was given.
func TestBehaviourAddsUp(t *testing.T) {
	wholeCases(31, manyCases, false, func(c wholeCase) {
		got := follow(yasStep, c.q, c.d, 0, math.Floor(c.s/3))
		b := Behave(got.yield, c.d)
		steps, longest, run, short := 0, 0, 0, 0
		for _, e := range b.Events {
			steps += e.Steps
		}
		for t, y := range got.yield {
			if y < c.d[t] {
				short++
				run++
				longest = max(longest, run)
			} else {
				run = 0
			}
		}
		require.Equal(t, short, b.Failures)
		require.Equal(t, b.Failures, steps)
		require.Equal(t, longest, b.LongestDry())
		require.Equal(t, b.Demand-b.Yield, b.Deficit())
		require.Equal(t, got.short, b.Failures)
	})
}

// Event is a run of consecutive steps that are short.
type Event struct {
	From, Steps int
	Deficit     float64 // ΣD − ΣY over the event, L
	Max         float64 // the largest D − Y of one step in it, L
}

// Behaviour is how one tank served one demand.
type Behaviour struct {
	Steps    int
	Failures int     // steps that are short (see Need)
	Events   []Event // in order
	Demand   float64 // ΣD, L
	Yield    float64 // ΣY, L
}

// Behave returns the behaviour of a series of yields against its demands, L a
// step, as many of each.
func Behave(yield, demand []float64) Behaviour {
	b := Behaviour{Steps: len(demand)}
	need := make([]float64, len(demand))
	Need(need, demand)
	open := false
	for t, d := range demand {
		b.Demand += d
		b.Yield += yield[t]
		if yield[t] >= need[t] {
			open = false
			continue
		}
		b.Failures++
		if !open {
			b.Events = append(b.Events, Event{From: t})
			open = true
		}
		e := &b.Events[len(b.Events)-1]
		e.Steps++
		e.Deficit += d - yield[t]
		e.Max = max(e.Max, d-yield[t])
	}
	return b
}

// Time returns the share of steps that are not short; NaN of no step.
func (b Behaviour) Time() float64 {
	return float64(b.Steps-b.Failures) / float64(b.Steps)
}

// Volumetric returns ΣY/ΣD; NaN where nothing was wanted.
func (b Behaviour) Volumetric() float64 { return b.Yield / b.Demand }

// Deficit returns ΣD − ΣY over the short steps, L.
func (b Behaviour) Deficit() float64 {
	sum := 0.0
	for _, e := range b.Events {
		sum += e.Deficit
	}
	return sum
}

// MaxDeficit returns the largest D − Y of one step, L.
func (b Behaviour) MaxDeficit() float64 {
	most := 0.0
	for _, e := range b.Events {
		most = max(most, e.Max)
	}
	return most
}

// LongestDry returns the most short steps in a row.
func (b Behaviour) LongestDry() int {
	most := 0
	for _, e := range b.Events {
		most = max(most, e.Steps)
	}
	return most
}

// Resilience returns the chance that a short step is the last of its event:
// events over failures, the inverse of the mean time a failure lasts
// (Hashimoto, Stedinger & Loucks 1982, Water Resour. Res. 18:14). An event
// that the series' end cuts off counts as ended there. Where nothing failed
// it does not exist: NaN and false, not 1.
func (b Behaviour) Resilience() (float64, bool) {
	if b.Failures == 0 {
		return math.NaN(), false
	}
	return float64(len(b.Events)) / float64(b.Failures), true
}

// Vulnerability returns the mean over the events of the largest deficit of
// one step, L (the expected worst of a failure: Hashimoto, Stedinger & Loucks
// 1982). Where nothing failed it does not exist: NaN and false.
func (b Behaviour) Vulnerability() (float64, bool) {
	return b.overEvents(func(e Event) float64 { return e.Max })
}

// MeanDeficit returns the mean deficit of an event, L; NaN and false where
// nothing failed.
func (b Behaviour) MeanDeficit() (float64, bool) {
	return b.overEvents(func(e Event) float64 { return e.Deficit })
}

func (b Behaviour) overEvents(of func(Event) float64) (float64, bool) {
	if len(b.Events) == 0 {
		return math.NaN(), false
	}
	sum := 0.0
	for _, e := range b.Events {
		sum += of(e)
	}
	return sum / float64(len(b.Events)), true
}
