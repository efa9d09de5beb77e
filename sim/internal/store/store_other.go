//go:build !amd64 || noasm

package store

// machineKernels lists no kernel: the Go code is the only one here.
func machineKernels() []kernel { return nil }
