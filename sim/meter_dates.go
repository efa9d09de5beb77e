package sim

import (
	"math"

	"tankodds/rainfall"
)

// Readings that are dated a day off fit badly where they stand close together,
// and their factor is then wrong without its bounds showing it: who reads in the
// morning reads what the evening before left, and a gauge that is read at nine
// gives a day the rain of the one before. Choices, no source.
const (
	ShiftsMatter = 14  // days between readings, beyond which a day hardly counts
	farBetter    = 0.6 // of what the model is off
	coarse       = 5   // every so many factors are looked at
)

// dates looks whether the readings fit far better dated a day earlier or later.
func (f *meterFit) dates(m *Readings, fit func(*Readings) (*meterFit, error)) error {
	days := 0
	for _, x := range f.spans {
		days += x.days()
	}
	if days > ShiftsMatter*len(f.spans) {
		return nil
	}
	best := farBetter * f.offBy(coarse)
	for _, shift := range []int{-1, 1} {
		moved := *m
		moved.All = nil
		for _, r := range m.All {
			r.Date += rainfall.Date(shift)
			moved.All = append(moved.All, r)
		}
		other, err := fit(&moved)
		if err != nil {
			return err
		}
		other.choose()
		if off := other.offBy(1); off < best {
			best = off
			f.out.Shift, f.out.DaysTo, f.out.MisfitTo = shift, other.out.Days, float64(off*off)*float64(other.out.Days)
		}
	}
	return nil
}

// offBy is what the model is off in the intervals fitted, L a day, with the best
// of every so many factors; NaN where none is fitted.
func (f *meterFit) offBy(every int) float64 {
	least := math.Inf(1)
	for j, c := range f.curves {
		if j%every == f.one%every {
			least = min(least, f.misfit(c))
		}
	}
	return math.Sqrt(least / float64(f.out.Days))
}

// everyNth leaves every so many factors, the one of 1 among them.
func everyNth(k []float64, one, n int) (out []float64, at int) {
	for j := range k {
		if j%n == one%n {
			if j == one {
				at = len(out)
			}
			out = append(out, k[j])
		}
	}
	return out, at
}
