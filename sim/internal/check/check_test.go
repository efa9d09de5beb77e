package check

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Which bounds are within, and that nothing endless and no NaN passes.
func TestBounds(t *testing.T) {
	least, nan := math.SmallestNonzeroFloat64, math.NaN()
	for _, c := range []struct {
		x    float64
		want []bool // AboveZero, FromZero, Between, Share
	}{
		{-least, []bool{false, false, false, false}}, {0, []bool{false, true, false, false}}, {least, []bool{true, true, true, true}},
		{1, []bool{true, true, false, true}}, {math.Nextafter(1, 2), []bool{true, true, false, false}}, {math.MaxFloat64, []bool{true, true, false, false}},
		{math.Inf(1), make([]bool, 4)}, {math.Inf(-1), make([]bool, 4)}, {nan, make([]bool, 4)},
	} {
		assert.Equal(t, c.want, []bool{AboveZero(c.x), FromZero(c.x), Between(c.x), Share(c.x)}, fmt.Sprint(c.x))
	}
}

func TestFirst(t *testing.T) {
	var f First
	f.Need(true, "not this")
	f.Also(nil)
	assert.NoError(t, f.Err)
	f.Need(false, "%d is wrong", 3)
	f.Need(false, "and so is this")
	f.Also(errors.New("or that"))
	assert.EqualError(t, f.Err, "3 is wrong")
}
