package sim

import "tankodds/sim/internal/lanes"

// Kernel names what runs tanks side by side on this machine: "avx512", "avx2",
// "neon", or "go" where no wide registers can be used. Every kernel gives the
// same numbers, so no result states it.
func Kernel() string { return lanes.Kernel() }
