package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/sim"
)

// Every kernel of this machine gives the same bytes, printed and written, and
// none of them names the kernel.
func TestKernels(t *testing.T) {
	for _, args := range []string{
		"size --json --roofs 100m2,180m2 --years 500 --quiet",
		"size --json --rule ybs --years 500 --quiet",
		"compare --json --roof 140m2 --use 200L/day --years 300 --quiet ../../testdata/new-york-2012-2015.csv",
		"backtest --demo --json --years 300 --step 20 --learn 20 --generators years --quiet",
	} {
		want := done(t, strings.Fields(args)...)
		for _, kernel := range append(sim.Kernels(), "auto") {
			assert.Equal(t, want, done(t, append(strings.Fields(args), "--kernel", kernel)...), "%s, %s", args, kernel)
		}
	}
	written := map[string]string{}
	for _, kernel := range sim.Kernels() {
		dir := filepath.Join(t.TempDir(), "out")
		done(t, "size", "--years", "200", "--record-error", "off", "--quiet", "--kernel", kernel, "--out", dir)
		for _, name := range []string{"evidence.json", "curves.csv", "report.html"} {
			text, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err)
			require.NotEmpty(t, text)
			if was, ok := written[name]; ok {
				assert.Equal(t, was, string(text), "%s with %s", name, kernel)
			}
			written[name] = string(text)
		}
	}
}

// A kernel is chosen for one run; the next has the fastest again.
func TestKernelDoesNotStay(t *testing.T) {
	t.Cleanup(func() { require.NoError(t, sim.UseKernel("auto")) })
	fastest := sim.Kernels()[0]
	require.NoError(t, sim.UseKernel("go"))
	done(t, quick("size")...)
	assert.Equal(t, fastest, sim.Kernel())
	done(t, quick("size", "--kernel", "go")...)
	assert.Equal(t, "go", sim.Kernel())
	done(t, "replay", "--tank", "5000L") // a command without the flag
	assert.Equal(t, fastest, sim.Kernel())
}

func TestWrongKernels(t *testing.T) {
	list := strings.Join(sim.Kernels(), ", ")
	for _, c := range []struct{ args, named string }{
		{"size --kernel abacus", "abacus"},
		{"compare --kernel AVX2 a.csv", "AVX2"},
		{"recheck a.json --kernel sse", "sse"},
		{"backtest --demo --kernel neon", "neon"},
	} {
		stderr := refused(t, exitUsage, strings.Fields(c.args)...)
		assert.Equal(t, "tankodds: --kernel: no kernel \""+c.named+"\" on this machine; there are "+list+"\nhint: --kernel auto takes the fastest of them\n", stderr, c.args)
	}
	// One that exists, but not here.
	for _, kernel := range []string{"avx2", "avx512"} {
		code, _, _ := typed(t, quick("size", "--kernel", kernel)...)
		assert.Equal(t, slices.Contains(sim.Kernels(), kernel), code == exitDone, kernel)
	}
}

// Whatever runs the store on many cores takes the flag.
func TestKernelFlagIsEverywhere(t *testing.T) {
	for _, c := range commands {
		fs, _ := c.flagSet()
		assert.Equal(t, fs.Lookup("workers") != nil, fs.Lookup("kernel") != nil, c.name)
	}
}
