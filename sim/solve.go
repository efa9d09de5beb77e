package sim

import "math"

// solverLanes is how many sizes each pass of the solver tries a row; tolerance
// is the ratio of the bracket at which it stops: a size to 1 %.
const (
	solverLanes = 16
	tolerance   = 1.01
	maxPasses   = 12
	reach       = 64 // times the largest size, that a size beyond it is looked for
)

// solve finds, for every row, the smallest usable size that meets the
// study's target, to 1 %. The measures never fall with size, and every size
// sees the same rain, so a bracket cut in many parts at a time closes on it.
// at is NaN where no size of the row meets the target; beyond is then the
// size that would, up to reach times the largest, or NaN.
func (j *job) solve(rows []row, grid *totals) (at, beyond []float64, err error) {
	s := j.study
	low, high := make([]float64, len(rows)), make([]float64, len(rows))
	outside := make([]bool, len(rows))
	for i, r := range rows {
		n := len(r.usable)
		k := 0
		for k < n && grid.of(s.Measure, i, k).value < s.Target {
			k++
		}
		switch {
		case k == n:
			outside[i] = true
			low[i], high[i] = r.usable[n-1], r.usable[n-1]*reach
		case k == 0:
			low[i], high[i] = r.usable[0]/4096, r.usable[0]
		default:
			low[i], high[i] = r.usable[k-1], r.usable[k]
		}
	}
	met := make([]bool, len(rows)) // high is known to meet the target
	for i := range rows {
		met[i] = !outside[i]
	}
	for range maxPasses {
		var cut []row
		var which []int
		for i, r := range rows {
			if high[i]/low[i] > tolerance {
				cut = append(cut, row{scale: r.scale, usable: between(low[i], high[i])})
				which = append(which, i)
			}
		}
		if len(cut) == 0 {
			break
		}
		got, err := j.run(cut)
		if err != nil {
			return nil, nil, err
		}
		for c, i := range which {
			sizes := cut[c].usable
			k := 0
			for k < len(sizes) && got.of(s.Measure, c, k).value < s.Target {
				k++
			}
			if k > 0 {
				low[i] = sizes[k-1]
			}
			if k < len(sizes) {
				high[i], met[i] = sizes[k], true
			} else if !met[i] {
				low[i] = high[i] // out of reach
			}
		}
	}
	at, beyond = make([]float64, len(rows)), make([]float64, len(rows))
	for i := range rows {
		at[i], beyond[i] = math.NaN(), math.NaN()
		switch {
		case !met[i]:
		case outside[i]:
			beyond[i] = high[i]
		default:
			at[i] = high[i]
		}
	}
	return at, beyond, nil
}

// between cuts a bracket into equal ratios and returns the inner points, and
// its upper end too.
func between(low, high float64) []float64 {
	out := make([]float64, solverLanes)
	for k := range out {
		out[k] = low * math.Pow(high/low, float64(k+1)/solverLanes)
	}
	out[solverLanes-1] = high
	return out
}
