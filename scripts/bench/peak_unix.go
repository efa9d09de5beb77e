//go:build unix

package main

import (
	"math"
	"os"
	"runtime"
	"syscall"
)

// peak returns the most memory that a process held, MB of 10⁶ bytes.
func peak(p *os.ProcessState) float64 {
	u, ok := p.SysUsage().(*syscall.Rusage)
	if !ok {
		return math.NaN()
	}
	unit := 1024.0 // KiB, but for Apple's systems
	if runtime.GOOS == "darwin" || runtime.GOOS == "ios" {
		unit = 1
	}
	return float64(u.Maxrss) * unit / 1e6
}
