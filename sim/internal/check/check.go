// Package check collects the conditions that a thing must meet.
package check

import (
	"fmt"
	"math"
)

// First keeps the first thing that is wrong.
type First struct{ Err error }

// Need says what is wrong, as of fmt, where a condition does not hold.
func (f *First) Need(holds bool, wrong string, args ...any) {
	if !holds {
		f.Also(fmt.Errorf(wrong, args...))
	}
}

// Also takes what another check found, nil for nothing.
func (f *First) Also(err error) {
	if f.Err == nil {
		f.Err = err
	}
}

// AboveZero says whether x is a finite number above 0.
func AboveZero(x float64) bool { return x > 0 && x <= math.MaxFloat64 }

// FromZero says whether x is a finite number of 0 or more.
func FromZero(x float64) bool { return x >= 0 && x <= math.MaxFloat64 }

// Between says whether x lies between 0 and 1, neither of them itself.
func Between(x float64) bool { return x > 0 && x < 1 }

// Share says whether x is above 0 and at most 1.
func Share(x float64) bool { return x > 0 && x <= 1 }
