package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// The files of testdata/refused hold what can be typed wrongly and what is
// said then. A case reads
//
//	# its name
//	> rain.csv              a file; a name that ends in / is a folder
//	| 2001-01-01,1.5        a line of it
//	& "\xff"                text without a line's end
//	+ days 2001-01-01 2006-12-31
//	+ evidence "old" "new"  that of the demo, with a change or without
//	$ tankodds record rain.csv < standard-input
//	1 tankodds: …           the exit code and what the user sees
//
// and -update writes that anew.
type refusal struct {
	name, input, command string
	said                 string
}

// TestRefused reads every case aloud: one line of what was found and where,
// at most one of what to do, the exit code, nothing printed, nothing written.
func TestRefused(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the system words what is wrong with a file in another way")
	}
	evidence := t.TempDir()
	code, _, said := typedOut(t, evidence, quick("size")...)
	require.Equal(t, exitDone, code, said)
	demo := content(t, filepath.Join(evidence, "evidence.json"))
	subjects, err := filepath.Glob(filepath.Join("testdata", "refused", "*.txt"))
	require.NoError(t, err)
	tried := 0
	for _, path := range subjects {
		text := content(t, path)
		cases := refusals(t, text)
		seen := map[string]bool{}
		var b strings.Builder
		for _, c := range cases {
			got := c.said
			t.Run(strings.TrimSuffix(filepath.Base(path), ".txt")+"/"+c.name, func(t *testing.T) {
				assert.False(t, seen[c.name], "two cases of one name")
				seen[c.name] = true
				got = c.run(t, demo)
				if !*update {
					assert.Equal(t, c.said, got, c.command)
				}
			})
			fmt.Fprintf(&b, "# %s\n%s$ %s\n%s\n", c.name, c.input, c.command, got)
			tried++
		}
		if *update {
			require.NoError(t, os.WriteFile(path, []byte(strings.TrimSuffix(b.String(), "\n")), 0o666))
		}
	}
	assert.GreaterOrEqual(t, tried, 400)
}

// refusals takes a file of cases apart.
func refusals(t *testing.T, text string) (out []refusal) {
	t.Helper()
	for i, line := range strings.Split(text, "\n") {
		if name, ok := strings.CutPrefix(line, "# "); ok {
			out = append(out, refusal{name: name})
			continue
		}
		if line == "" {
			continue
		}
		require.NotEmpty(t, out, "line %d", i+1)
		c := &out[len(out)-1]
		switch {
		case strings.HasPrefix(line, "$ "):
			c.command = line[2:]
		case strings.ContainsRune(">|&+", rune(line[0])):
			require.Empty(t, c.command, "line %d: files stand before the command", i+1)
			c.input += line + "\n"
		default:
			c.said += line + "\n"
		}
	}
	for _, c := range out {
		require.NotEmpty(t, c.command, c.name)
	}
	return out
}

// internal are words that nobody but who wrote the program knows, or a library that it
// uses, and what shows that something was not filled in.
var internal = regexp.MustCompile(`(?i)panic|goroutine|\bnil\b|%!|unmarshal|\bstruct\b|runtime|strconv|invalid syntax|\bEOF\b|internal fault|pflag|syscall|\.go:` +
	`|(?:^|\s)(?:yaml|json): |\btoken\b|looking for beginning|invalid character|did not find|could not find|mapping values|anchor|bare "|wrong number of fields|roof ""`)

var digestIn = regexp.MustCompile(`\b[0-9a-f]{12}…`)

// run types one case in a folder of its own and returns what is seen.
func (c refusal) run(t *testing.T, evidence string) string {
	t.Helper()
	t.Chdir(t.TempDir())
	c.lay(t, evidence)
	command, in, _ := strings.Cut(c.command, " < ")
	args := typedWords(t, command)
	require.Equal(t, "tankodds", args[0])
	var stdin []byte
	if in != "" {
		stdin = []byte(content(t, in))
	}
	before := everything(t)
	var stdout, stderr bytes.Buffer
	code := run(t.Context(), args[1:], bytes.NewReader(stdin), &stdout, &stderr)
	assert.NotEqual(t, exitDone, code, "it is not refused")
	assert.Empty(t, stdout.String())
	assert.Equal(t, before, everything(t), "the files are as they were")
	lines := strings.Split(strings.TrimSuffix(stderr.String(), "\n"), "\n")
	assert.True(t, strings.HasPrefix(lines[0], "tankodds: "), lines[0])
	assert.LessOrEqual(t, len(lines), 2)
	for i, line := range lines {
		assert.Equal(t, i == 1, strings.HasPrefix(line, "hint: "), line)
		assert.LessOrEqual(t, len([]rune(line)), 420, line)
		assert.NotRegexp(t, internal, line)
	}
	// A digest is of all that a sheet says, which any change of a word changes.
	return fmt.Sprintf("%d %s\n", code, digestIn.ReplaceAllString(strings.Join(lines, "\n  "), "0123456789ab…"))
}

// lay writes the case's files.
func (c refusal) lay(t *testing.T, evidence string) {
	t.Helper()
	name, text := "", ""
	put := func() {
		if name == "" {
			return
		}
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
		if strings.HasSuffix(name, "/") {
			require.NoError(t, os.MkdirAll(name, 0o777))
			return
		}
		require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
	}
	for line := range strings.Lines(c.input) {
		kind, rest := line[0], strings.TrimSuffix(line[1:], "\n")
		rest = strings.TrimPrefix(rest, " ")
		switch kind {
		case '>':
			put()
			name, text = rest, ""
		case '|':
			text += rest + "\n"
		case '&':
			s, err := strconv.Unquote(rest)
			require.NoError(t, err, line)
			text += s
		case '+':
			words := typedWords(t, rest)
			switch {
			case words[0] == "days" && len(words) == 3:
				text += rainyDays(t, words[1], words[2])
			case words[0] == "evidence" && len(words) == 1:
				text += evidence
			case words[0] == "evidence" && len(words) == 3:
				require.Contains(t, evidence, words[1])
				text += strings.Replace(evidence, words[1], words[2], 1)
			default:
				t.Fatalf("%s is no input", line)
			}
		}
	}
	put()
}

// rainyDays are lines of date and rain in mm, about 900 mm a year.
func rainyDays(t *testing.T, from, to string) string {
	t.Helper()
	var first, last rainfall.Date
	require.NoError(t, first.UnmarshalText([]byte(from)))
	require.NoError(t, last.UnmarshalText([]byte(to)))
	var b strings.Builder
	for d := first; d <= last; d++ {
		fmt.Fprintf(&b, "%v,%d.5\n", d, max(0, int(d)*7919%23-16))
	}
	return b.String()
}

// typedWords are words as a shell takes them, 'quoted' or not.
func typedWords(t *testing.T, line string) (out []string) {
	t.Helper()
	for line = strings.TrimSpace(line); line != ""; line = strings.TrimLeft(line, " ") {
		word := ""
		for line != "" && line[0] != ' ' {
			if line[0] != '\'' {
				word, line = word+line[:1], line[1:]
				continue
			}
			inside, rest, ok := strings.Cut(line[1:], "'")
			require.True(t, ok, "a quote does not end: %s", line)
			word, line = word+inside, rest
		}
		out = append(out, word)
	}
	return out
}

// everything names what the working folder holds, with its bytes.
func everything(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	require.NoError(t, fs.WalkDir(os.DirFS("."), ".", func(path string, e fs.DirEntry, err error) error {
		if err == nil && e.Type().IsRegular() {
			out[path] = content(t, path)
		} else if err == nil {
			out[path] = "folder"
		}
		return err
	}))
	return out
}
