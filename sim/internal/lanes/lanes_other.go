//go:build !(amd64 || arm64) || noasm

package lanes

// machineKernels lists no kernel: the Go code is the only one here.
func machineKernels() []kernel { return nil }
