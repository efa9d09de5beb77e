package sim

import "tankodds/sim/internal/store"

// Rule says in which order a day's draw and its spill happen.
type Rule = store.Rule

// The rules of a day.
const (
	YAS = store.YAS // yield after spillage: the careful one, and the default
	YBS = store.YBS // yield before spillage
)

// ParseRule reads "yas" or "ybs".
func ParseRule(s string) (Rule, error) { return store.ParseRule(s) }

// Kernels lists the kernels of the store that can run here, the fastest first.
func Kernels() []string { return store.Kernels() }

// Kernel names the kernel in use.
func Kernel() string { return store.Kernel() }

// UseKernel chooses the kernel by name, for tests and measurements; "auto" is
// the fastest. It must not be called while a study runs.
func UseKernel(name string) error { return store.UseKernel(name) }
