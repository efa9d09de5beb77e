package words

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestClaim(t *testing.T) {
	for n, want := range map[int]string{
		0:   "no usable year: nothing can be claimed; 90 % a year would need 16",
		1:   "1 usable year: too short for any claim; 90 % a year would need 16",
		4:   "4 usable years: too short for any claim; 90 % a year would need 16",
		5:   "5 usable years: enough to speak of 50 % a year and no more; 90 % would need 16",
		15:  "15 usable years: enough to speak of 80 % a year and no more; 90 % would need 16",
		16:  "16 usable years: enough to speak of 90 % a year at best; 95 % would need 32",
		36:  "36 usable years: enough to speak of 95 % a year at best; 98 % would need 81",
		299: "299 usable years: enough to speak of 99 % a year at best",
	} {
		assert.Equal(t, want, Claim(n))
	}
}

// The bound is exact: n years without a failure have a chance of 5 % where
// the yearly chance of failure is the bound. 30 years leave 0.0950339, which
// the rule of three puts at 0.1 (COMP, references on zero failures).
func TestFailureBound(t *testing.T) {
	assert.InDelta(t, 0.0950339, FailureBound(30), 5e-8)
	assert.Equal(t, 1.0, FailureBound(0))
	for _, n := range []int{1, 7, 30, 150} {
		assert.InDelta(t, 0.05, math.Pow(1-FailureBound(n), float64(n)), 1e-9)
		assert.Less(t, FailureBound(n), 3/float64(n)+1e-12, "the rule of three is on the safe side")
	}
}
