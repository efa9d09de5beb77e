package sim

import "math"

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
