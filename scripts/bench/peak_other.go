//go:build !unix

package main

import (
	"math"
	"os"
)

// peak is not known here.
func peak(*os.ProcessState) float64 { return math.NaN() }
