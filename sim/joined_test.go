package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Three tanks side by side, worked by hand: alike they hold three times one; with
// one 0.2 m higher all lose 0.2 m below its outlet and above the rims of the
// others; one with a low rim costs the others what is above it.
func TestJoinedTanksByHand(t *testing.T) {
	one := Part{Area: 2, Height: 1.8, Outlet: 0.1}
	for _, x := range []struct {
		name          string
		change        func(p *Part)
		holds, usable float64
	}{
		{"alike", func(*Part) {}, 10_800, 3 * 2 * 1700},
		{"one stands higher", func(p *Part) { p.Base = 0.2 }, 10_800, 2 * 3 * 1500},
		{"one has a low rim", func(p *Part) { p.Height = 1.2 }, 9600, 3 * 2 * 1100},
		{"one is a wide one", func(p *Part) { p.Area = 5 }, 16_200, 9 * 1700},
		{"no level in common", func(p *Part) { p.Base = 1.75 }, 10_800, 0},
	} {
		parts := []Part{one, one, one}
		x.change(&parts[2])
		holds, usable := Joined(parts)
		assert.InDelta(t, x.holds, holds, 1e-6, x.name)
		assert.InDelta(t, x.usable, usable, 1e-6, x.name)
	}
}
