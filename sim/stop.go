package sim

import "math"

// Stops finds where more storage stops paying on the curve of the site's own
// roofs, the preferred method first, and how resampled records, if there are
// any, move it: supplies is what each would have the sizes supply, L a year.
func (s *Study) Stops(curve []Cell, supplies [][]float64) []Stop {
	size, supply := make([]float64, len(curve)), make([]float64, len(curve))
	for k, c := range curve {
		size[k], supply[k] = c.Tank, c.Supplied
	}
	var out []Stop
	add := func(method string, find func(supply []float64) float64) {
		st := Stop{Method: method, Tank: find(supply), Low: math.NaN(), High: math.NaN()}
		if supplies != nil && !math.IsNaN(st.Tank) {
			found := make([]float64, len(supplies))
			for b, y := range supplies {
				if found[b] = find(y); math.IsNaN(found[b]) {
					found[b] = math.Inf(1)
				}
			}
			low, high := spread(found, s.Level)
			st.Low, st.High = finite(min(low, st.Tank)), finite(max(high, st.Tank))
		}
		out = append(out, st)
	}
	if c := s.Costs; c != nil {
		add(ByValue, func(y []float64) float64 { return c.bestValue(size, y) })
	}
	add(ByKnee, func(y []float64) float64 {
		if at, _ := Knee(size, y); at >= 0 {
			return size[at]
		}
		return math.NaN()
	})
	add(ByGain, func(y []float64) float64 { return gainStop(size, y, s.GainStep, s.GainStop*curve[0].Demand) })
	return out
}

// Knee returns the index of the point of a rising, flattening curve that lies
// farthest above the straight line between its ends, both axes scaled to 0…1
// (Satopää, Albrecht, Irwin & Raghavan 2011, "Finding a Kneedle in a
// Haystack", without its smoothing: simulated curves are smooth), and how far
// it lies above. It is −1 for fewer than three points or a flat curve.
func Knee(x, y []float64) (at int, gap float64) {
	n := len(x)
	if n < 3 || !(y[n-1] > y[0]) {
		return -1, 0
	}
	at = -1
	for i := range x {
		g := (y[i]-y[0])/(y[n-1]-y[0]) - (x[i]-x[0])/(x[n-1]-x[0])
		if g > gap {
			at, gap = i, g
		}
	}
	return at, gap
}

// gainStop returns the smallest size after which another step litres of
// storage supplies less than least litres a year more, by straight lines
// between the points of the supply curve; NaN where the curve ends first.
func gainStop(size, supply []float64, step, least float64) float64 {
	last := size[len(size)-1]
	for _, s := range size {
		if s+step > last {
			break
		}
		if interpolate(size, supply, s+step)-interpolate(size, supply, s) < least {
			return s
		}
	}
	return math.NaN()
}

// interpolate reads a curve with rising x at a point, by straight lines; past
// its ends it is level.
func interpolate(x, y []float64, at float64) float64 {
	if at <= x[0] {
		return y[0]
	}
	for i := 1; i < len(x); i++ {
		if at <= x[i] {
			w := (at - x[i-1]) / (x[i] - x[i-1])
			return y[i-1] + float64(w*(y[i]-y[i-1]))
		}
	}
	return y[len(y)-1]
}
