//go:build !amd64 || noasm

package sim

// machineKernels lists no kernel: the Go code is the only one here.
func machineKernels() []kernel { return nil }
