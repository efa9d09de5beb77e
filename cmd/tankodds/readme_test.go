package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shown is one command of a document with the output shown below it.
type shown struct {
	command string
	line    int // of the "$", counted from 1
	want    []string
	from    int // index of the first output line in the document's lines
	to      int // index after the last
}

// commandsShown finds the commands in ```console blocks: lines that begin
// "$ ", carried on while they end in a backslash.
func commandsShown(lines []string) []shown {
	var out []shown
	inside := false
	for i := 0; i < len(lines); i++ {
		l := lines[i]
		switch {
		case strings.HasPrefix(l, "```"):
			inside = l == "```console"
		case inside && strings.HasPrefix(l, "$ "):
			s := shown{line: i + 1, command: strings.TrimPrefix(l, "$ ")}
			for strings.HasSuffix(s.command, `\`) {
				i++
				s.command = strings.TrimSuffix(s.command, `\`) + strings.TrimSpace(lines[i])
			}
			s.from = i + 1
			for i+1 < len(lines) && !strings.HasPrefix(lines[i+1], "$ ") && !strings.HasPrefix(lines[i+1], "```") {
				i++
				s.want = append(s.want, lines[i])
			}
			s.to = i + 1
			out = append(out, s)
		}
	}
	return out
}

// TestReadme runs every command that the README shows and compares what it
// prints, standard output and then standard error. A line "…" in the README
// stands for any lines. With -update the outputs are written anew; of a block
// with one "…" as many lines before and after it as there were, of a block with
// more only where each of them stands for one line.
func TestReadme(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole program several times")
	}
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	readme := filepath.Join(root, "README.md")
	text, err := os.ReadFile(readme)
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	commands := commandsShown(lines)
	require.NotEmpty(t, commands)

	// The commands run in a folder of their own, with the repository's
	// testdata in it, so that what they write does not stay.
	dir := t.TempDir()
	require.NoError(t, os.Symlink(filepath.Join(root, "testdata"), filepath.Join(dir, "testdata")))
	t.Chdir(dir)
	got := make([][]string, len(commands))
	for i, c := range commands {
		w := shellWords(c.command)
		switch {
		case c.command == "go test ./...":
			ci, err := os.ReadFile(filepath.Join(root, ".ci", "run"))
			require.NoError(t, err)
			assert.Contains(t, string(ci), "\ngo test ./...\n", "the README's test command is what .ci/run runs first")
			got[i] = c.want
			continue
		case strings.HasPrefix(c.command, "go run ./cmd/tankodds "):
			w = w[3:]
		case w[0] == "tankodds":
			w = w[1:]
		case w[0] == "ls":
			got[i] = listing(t, w[1:])
			continue
		default:
			t.Fatalf("README.md:%d: no way to run %q", c.line, c.command)
		}
		if w[0] == "page" { // until it is stopped, and on a port that is free
			port := w[slices.Index(w, "--port")+1]
			said := served(t, nil, "--no-browser")
			said = strings.Replace(said, said[strings.LastIndex(said, ":")+1:strings.LastIndex(said, "/")], port, 1)
			got[i] = strings.Split(strings.TrimRight(said, "\n"), "\n")
			continue
		}
		var stdout, stderr bytes.Buffer
		run(context.Background(), w, strings.NewReader(""), &stdout, &stderr)
		got[i] = strings.Split(strings.TrimRight(stdout.String()+stderr.String(), "\n"), "\n")
		if stdout.Len()+stderr.Len() == 0 {
			got[i] = nil
		}
	}
	if *update {
		for i := len(commands) - 1; i >= 0; i-- { // from the end: positions stay
			c := commands[i]
			for n, l := range c.want {
				if l == "…" && len(c.want) == len(got[i]) {
					got[i][n] = l
				}
			}
			if n := slices.Index(c.want, "…"); n >= 0 && len(c.want) != len(got[i]) && !elided(c.want[n+1:]) {
				after := len(c.want) - n - 1
				got[i] = slices.Concat(got[i][:n], []string{"…"}, got[i][len(got[i])-after:])
				c.want = got[i]
			}
			if !elided(c.want) || len(c.want) == len(got[i]) {
				lines = append(lines[:c.from:c.from], append(got[i], lines[c.to:]...)...)
			}
		}
		require.NoError(t, os.WriteFile(readme, []byte(strings.Join(lines, "\n")), 0o666))
		return
	}
	for i, c := range commands {
		if !matches(c.want, got[i]) {
			assert.Equal(t, strings.Join(c.want, "\n"), strings.Join(got[i], "\n"), "README.md:%d: %s", c.line, c.command)
		}
	}
}

// TestReadmePicture holds the README's picture to what the demo draws.
func TestReadmePicture(t *testing.T) {
	t.Parallel()
	shown, err := filepath.Abs("../../testdata/reliability.svg")
	require.NoError(t, err)
	out := t.TempDir()
	code, _, stderr := typedOut(t, out, "size", "--quiet")
	require.Equal(t, exitDone, code, stderr)
	drawn, err := os.ReadFile(filepath.Join(out, "reliability.svg"))
	require.NoError(t, err)
	if *update {
		require.NoError(t, os.WriteFile(shown, drawn, 0o666))
		return
	}
	want, err := os.ReadFile(shown)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(drawn), "go test ./cmd/tankodds -run TestReadme -update draws it anew")
}

// listing does what ls prints for folders, a name a line.
func listing(t *testing.T, dirs []string) []string {
	var out []string
	for _, d := range dirs {
		entries, err := os.ReadDir(d)
		require.NoError(t, err)
		for _, e := range entries {
			out = append(out, e.Name())
		}
	}
	return out
}

func elided(lines []string) bool {
	for _, l := range lines {
		if l == "…" {
			return true
		}
	}
	return false
}

// matches compares output with what is shown, in which "…" stands for any
// lines.
func matches(want, got []string) bool {
	if len(want) == 0 {
		return len(got) == 0
	}
	if want[0] == "…" {
		for i := range len(got) + 1 {
			if matches(want[1:], got[i:]) {
				return true
			}
		}
		return false
	}
	return len(got) > 0 && want[0] == got[0] && matches(want[1:], got[1:])
}

func TestCommandsShown(t *testing.T) {
	lines := strings.Split("text\n```console\n$ tankodds size --roof \"140m2 metal\" \\\n    --use 3L/day\na\n…\nb\n$ ls out\n```\n$ not this\n", "\n")
	got := commandsShown(lines)
	require.Len(t, got, 2)
	assert.Equal(t, []string{"tankodds", "size", "--roof", "140m2 metal", "--use", "3L/day"}, shellWords(got[0].command))
	assert.Equal(t, []string{"a", "…", "b"}, got[0].want)
	assert.True(t, matches(got[0].want, []string{"a", "x", "y", "b"}))
	assert.True(t, matches(got[0].want, []string{"a", "b"}))
	assert.False(t, matches(got[0].want, []string{"a", "x"}))
	assert.False(t, matches(nil, []string{"x"}))
}
