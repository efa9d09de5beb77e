// Package check collects the conditions that a thing must meet.
package check

import (
	"fmt"
	"math"
	"strings"
)

// Fault is what is wrong, and with which field.
type Fault struct {
	Path string // by the keys of fields, as in roofs[0].area_m2; "" where it is about several
	Text string
}

func (f *Fault) Error() string { return f.Text }

// First keeps the first thing that is wrong.
type First struct {
	Err  error
	path string
}

// Of says which field the conditions that follow are about.
func (f *First) Of(path string, args ...any) { f.path = fmt.Sprintf(path, args...) }

// Need says what is wrong, as of fmt, where a condition does not hold.
func (f *First) Need(holds bool, wrong string, args ...any) {
	if !holds && f.Err == nil {
		f.Err = &Fault{f.path, fmt.Sprintf(wrong, args...)}
	}
}

// Also takes what another check found within the field, nil for nothing.
func (f *First) Also(err error) {
	if f.Err != nil || err == nil {
		return
	}
	within, ok := err.(*Fault)
	if !ok {
		within = &Fault{"", err.Error()}
	}
	f.Err = &Fault{strings.Trim(f.path+"."+within.Path, "."), within.Text}
}

// AboveZero says whether x is a finite number above 0.
func AboveZero(x float64) bool { return x > 0 && x <= math.MaxFloat64 }

// FromZero says whether x is a finite number of 0 or more.
func FromZero(x float64) bool { return x >= 0 && x <= math.MaxFloat64 }

// Between says whether x lies between 0 and 1, neither of them itself.
func Between(x float64) bool { return x > 0 && x < 1 }

// Share says whether x is above 0 and at most 1.
func Share(x float64) bool { return x > 0 && x <= 1 }
