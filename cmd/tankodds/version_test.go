package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report"
)

// The first line is the version alone, which scripts read; the kernel is the
// machine's affair, and only one that there is.
func TestVersion(t *testing.T) {
	code, got, stderr := typed(t, "--version")
	assert.Equal(t, exitDone, code)
	assert.Empty(t, stderr)
	lines := strings.Split(got, "\n")
	require.Len(t, lines, 6)
	assert.Equal(t, "tankodds "+version, lines[0])
	assert.Regexp(t, `^commit   (unknown|[0-9a-f]{40}(, modified)?)$`, lines[1])
	assert.Equal(t, "go       "+runtime.Version(), lines[2])
	assert.Equal(t, "machine  "+runtime.GOOS+"/"+runtime.GOARCH, lines[3])
	assert.Regexp(t, `^kernel   (AVX-512|AVX2|NEON|portable)$`, lines[4])
	assert.Empty(t, lines[5])
}

func TestCommit(t *testing.T) {
	built := func(pairs ...string) *debug.BuildInfo {
		info := &debug.BuildInfo{}
		for i := 0; i < len(pairs); i += 2 {
			info.Settings = append(info.Settings, debug.BuildSetting{Key: pairs[i], Value: pairs[i+1]})
		}
		return info
	}
	for _, c := range []struct {
		info *debug.BuildInfo
		want string
	}{
		{nil, "unknown"},
		{built("vcs", "git", "GOOS", "linux"), "unknown"},
		{built("vcs.modified", "true"), "unknown"},
		{built("vcs.revision", "a1b2", "vcs.modified", "false"), "a1b2"},
		{built("vcs.modified", "true", "vcs.revision", "a1b2"), "a1b2, modified"},
	} {
		assert.Equal(t, c.want, commit(c.info))
	}
}

func TestKernelName(t *testing.T) {
	for name, want := range map[string]string{"avx512": "AVX-512", "avx2": "AVX2", "neon": "NEON", "go": "portable"} {
		assert.Equal(t, want, kernelName(name))
	}
}

// The section Versions names this version and every shape that carries a number.
func TestVersionsAreTold(t *testing.T) {
	b, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	_, section, found := strings.Cut(string(b), "\n## Versions\n")
	require.True(t, found)
	assert.Contains(t, section, "\n### "+version+"\n")
	schemas := []string{report.EvidenceSchema, report.PartSchema}
	for _, d := range report.Documents() {
		schemas = append(schemas, d.Schema)
	}
	require.Greater(t, len(schemas), 8)
	for _, s := range schemas {
		assert.Contains(t, section, "\n| `"+s+"` |")
	}
	assert.Equal(t, len(schemas), strings.Count(section, "\n| `tankodds/"), "shapes told and shapes there are")
	for _, name := range writable {
		if strings.HasSuffix(name, ".csv") {
			assert.Contains(t, section, "`"+name+"`")
		}
	}
}
