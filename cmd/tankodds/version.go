package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"tankodds/sim"
)

// version is stated by --version and in every output.
const (
	version  = "0.1.0"
	released = "2026"
)

// sayVersion prints the version and, for whoever reports a fault, what this
// very program was made of and runs on. Results state the version alone, so
// that they are the same on every machine.
func sayVersion(w io.Writer) {
	info, _ := debug.ReadBuildInfo()
	fmt.Fprintf(w, `tankodds %s
commit   %s
go       %s
machine  %s/%s
kernel   %s
`, version, commit(info), runtime.Version(), runtime.GOOS, runtime.GOARCH, kernelName(sim.Kernel()))
}

// commit is what the program was built from, as far as the build recorded it:
// one made outside a repository, or by "go run" without -buildvcs, did not.
func commit(info *debug.BuildInfo) string {
	revision, modified := "", ""
	if info != nil {
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				revision = s.Value
			case "vcs.modified":
				if s.Value == "true" {
					modified = ", modified"
				}
			}
		}
	}
	if revision == "" {
		return "unknown"
	}
	return revision + modified
}

// kernelName is a kernel as people call it.
func kernelName(name string) string {
	switch name {
	case "avx512":
		return "AVX-512"
	case "avx2":
		return "AVX2"
	case "neon":
		return "NEON"
	}
	return "portable"
}
