package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shell finds a shell, or skips the test.
func shell(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skip(name + " is not installed")
	}
	return path
}

// script writes the completion of a shell to a file.
func script(t *testing.T, name string) string {
	t.Helper()
	stdout := done(t, "completion", name)
	path := filepath.Join(t.TempDir(), "tankodds."+name)
	require.NoError(t, os.WriteFile(path, []byte(stdout), 0o666))
	return path
}

// completionCases are lines typed so far and what must be offered; "!" before
// a word says that it must not be.
var completionCases = []struct {
	typed string
	want  string
}{
	{"tankodds ", "size replay compare record new recheck completion man help"},
	{"tankodds re", "replay record recheck !size"},
	{"tankodds size --ru", "--rule --runoff !--seed"},
	{"tankodds size --rule ", "yas ybs !--seed"},
	{"tankodds size --measure v", "volume !time"},
	{"tankodds size --generator ", "guided years"},
	{"tankodds size --units ", "si us"},
	{"tankodds size --record-error o", "on off"},
	{"tankodds replay --t", "--tank !--target"},
	{"tankodds size --pr", "--price !--water-price"},
	{"tankodds size --water", "--water-price --water-year"},
	{"tankodds record --d", "--demo --dates"},
	{"tankodds size --rain g", "gauge.csv"},
	{"tankodds record g", "gauge.csv"},
	{"tankodds size s", "site.yaml !sums.csv"},
	{"tankodds recheck e", "evidence.json !estimates.csv"},
	{"tankodds compare ", "gauge.csv site.yaml"},
	{"tankodds completion ", "bash zsh fish"},
	{"tankodds help f", "formats"},
	{"tankodds help ", "method measures formats site cautions size recheck"},
	{"tankodds size --out sh", "sheets"},
	{"tankodds new sh", "sheets"},
	{"tankodds size --years ", "!yas !site.yaml"},
}

func completionFolder(t *testing.T) string {
	dir := t.TempDir()
	for _, name := range []string{"gauge.csv", "site.yaml", "sums.csv", "evidence.json", "estimates.csv"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), nil, 0o666))
	}
	require.NoError(t, os.Mkdir(filepath.Join(dir, "sheets"), 0o777))
	return dir
}

func checkOffered(t *testing.T, typed, want string, offered []string) {
	t.Helper()
	for w := range strings.FieldsSeq(want) {
		if not, ok := strings.CutPrefix(w, "!"); ok {
			assert.NotContains(t, offered, not, typed)
		} else {
			assert.Contains(t, offered, w, typed)
		}
	}
}

// The function that bash calls, called as bash calls it.
func TestBashCompletion(t *testing.T) {
	bash := shell(t, "bash")
	file, dir := script(t, "bash"), completionFolder(t)
	cases := append(completionCases[:len(completionCases):len(completionCases)], []struct{ typed, want string }{
		{"tankodds size --rule = y", "yas ybs"}, // --rule=y, as bash parts it
		{"tankodds size --rule =", "yas ybs"},
	}...)
	for _, c := range cases {
		words := strings.Fields(c.typed)
		if strings.HasSuffix(c.typed, " ") {
			words = append(words, "")
		}
		call := `source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _tankodds; printf '%s\n' "${COMPREPLY[@]}"`
		cmd := exec.Command(bash, append([]string{"--norc", "-c", call, "bash", file}, words...)...)
		cmd.Dir = dir
		out, err := cmd.Output()
		require.NoError(t, err, c.typed)
		checkOffered(t, c.typed, c.want, strings.Fields(string(out)))
	}
}

func TestFishCompletion(t *testing.T) {
	fish := shell(t, "fish")
	file, dir := script(t, "fish"), completionFolder(t)
	out, err := exec.Command(fish, "-n", file).CombinedOutput()
	require.NoError(t, err, string(out))
	for _, c := range completionCases {
		cmd := exec.Command(fish, "--no-config", "-c", "source $argv[1]; complete -C $argv[2]", file, c.typed)
		cmd.Dir = dir
		out, err := cmd.Output()
		require.NoError(t, err, c.typed)
		var offered []string
		for line := range strings.Lines(string(out)) {
			word, _, _ := strings.Cut(strings.TrimSpace(line), "\t")
			offered = append(offered, strings.TrimSuffix(word, "/"))
		}
		if strings.Contains(c.want, "!sums.csv") || strings.Contains(c.want, "!estimates.csv") {
			c.want, _, _ = strings.Cut(c.want, " !") // fish puts the others last instead of leaving them out
		}
		checkOffered(t, c.typed, c.want, offered)
	}
}

// zsh can be read without a terminal, not asked.
func TestZshCompletion(t *testing.T) {
	zsh := shell(t, "zsh")
	file := script(t, "zsh")
	out, err := exec.Command(zsh, "-f", "-n", file).CombinedOutput()
	require.NoError(t, err, string(out))
	out, err = exec.Command(zsh, "-f", "-c", `autoload -Uz compinit; compinit -D -u; source "$1"; print $_comps[tankodds]`, "zsh", file).CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Equal(t, "_tankodds\n", string(out))
}

// Whatever the shells, a script names every command with every flag, and the
// values of those that take one of a few.
func TestCompletionNamesAll(t *testing.T) {
	for name := range shells {
		_, text, _ := typed(t, "completion", name)
		for _, c := range commands {
			assert.Contains(t, text, c.name)
		}
		for _, f := range complete().flags {
			assert.Contains(t, text, f.name, name)
			for _, word := range f.value.words {
				assert.Contains(t, text, word, name)
			}
		}
	}
}

// A value that is offered is one that is taken.
func TestCompletionValuesAreTaken(t *testing.T) {
	record := filepath.Join(completionFolder(t), "gauge.csv")
	for _, f := range complete().flags {
		for _, word := range f.value.words {
			t.Run(f.name+" "+word, func(t *testing.T) {
				planned(t, "--rain", record, "--roof", "100m2", "--use", "100L/day", "--tanks", "5000L", "--"+f.name, word)
			})
		}
	}
	for _, c := range complete().commands {
		if c.name != "help" && c.name != "completion" {
			assert.Empty(t, c.args.words)
		}
	}
}

func TestCompletionMisuse(t *testing.T) {
	for _, args := range [][]string{{"completion"}, {"completion", "dash"}} {
		stderr := refused(t, exitUsage, args...)
		assert.Contains(t, stderr, "hint: tankodds completion bash, zsh or fish\n")
	}
}
