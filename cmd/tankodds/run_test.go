package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/site"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// typed runs the whole tool and returns what it did.
func typed(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(t.Context(), args, strings.NewReader(""), &out, &errs)
	return code, out.String(), errs.String()
}

// kept is what a run printed and wrote.
type kept struct {
	code           int
	stdout, stderr string
	files          fs.FS
}

var runs sync.Map // of kept, by what was typed

// typedOut is typed with --out: what several tests type is run once, and every
// test has the files in a folder of its own.
func typedOut(t *testing.T, dir string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	once, _ := runs.LoadOrStore(strings.Join(args, "\x00"), sync.OnceValue(func() (k kept) {
		out := filepath.Join(t.TempDir(), "out")
		k.code, k.stdout, k.stderr = typed(t, slices.Concat(args, []string{"--out", out})...)
		files := fstest.MapFS{}
		entries, _ := os.ReadDir(out)
		for _, e := range entries {
			b, _ := os.ReadFile(filepath.Join(out, e.Name()))
			files[e.Name()] = &fstest.MapFile{Data: b}
		}
		k.files = files
		return k
	}))
	k := once.(func() kept)()
	require.NoError(t, os.CopyFS(dir, k.files))
	return k.code, k.stdout, k.stderr
}

// refused runs the whole tool, which must print nothing but why not, and
// returns that.
func refused(t *testing.T, want int, args ...string) (stderr string) {
	t.Helper()
	code, stdout, stderr := typed(t, args...)
	assert.Equal(t, want, code, args)
	assert.Empty(t, stdout, args)
	return stderr
}

// fits fails where a line is wider than a terminal.
func fits(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), 80, line)
	}
}

// golden compares text with testdata/NAME.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o777))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o666))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// withCommand adds a command for one test, with every flag there is.
func withCommand(t *testing.T, run func(context.Context, *call) error) {
	t.Helper()
	before := commands
	t.Cleanup(func() { commands = before })
	others := slices.DeleteFunc(slices.Clone(commands), func(c *command) bool { return c.name == "probe" })
	commands = append(others, &command{
		name: "probe", args: "[SITE.yaml]", short: "for tests", long: "For tests.", example: "tankodds probe",
		maxArgs: 1, run: run,
		takes: site.Size | site.Replay,
	})
}

// planned returns the plan that args lead to.
func planned(t *testing.T, args ...string) *site.Plan {
	t.Helper()
	var p *site.Plan
	withCommand(t, func(_ context.Context, c *call) (err error) {
		p, err = c.asked.Plan(c.site(), "")
		return err
	})
	done(t, append([]string{"probe"}, args...)...)
	return p
}

func TestOverview(t *testing.T) {
	_, want, _ := typed(t)
	for _, args := range [][]string{{"help"}, {"--help"}, {"-h"}} {
		code, got, stderr := typed(t, args...)
		assert.Equal(t, exitDone, code)
		assert.Equal(t, want, got)
		assert.Empty(t, stderr)
	}
	for _, c := range commands {
		assert.Contains(t, want, "\n  "+fmt.Sprintf("%-12s", c.name)+c.short+"\n")
	}
	assert.NotContains(t, want, "probe")
}

// The help of a command with every flag, and that of new.
func TestHelp(t *testing.T) {
	_, got, _ := typed(t, "help", "new")
	golden(t, "help-new.txt", got)

	withCommand(t, nil)
	code, got, stderr := typed(t, "help", "probe")
	assert.Equal(t, exitDone, code)
	assert.Empty(t, stderr)
	// The list of generators is not this test's affair.
	golden(t, "help-flags.txt", regexp.MustCompile(`(?s)  --generator .*?\n  --`).ReplaceAllString(got, "  --"))
	_, same, _ := typed(t, "probe", "--help")
	assert.Equal(t, got, same)
}

// Every help text fits a terminal and ends in an example.
func TestHelpOfEveryCommand(t *testing.T) {
	for _, c := range commands {
		code, got, _ := typed(t, "help", c.name)
		require.Equal(t, exitDone, code)
		fits(t, got)
		_, example, ok := strings.Cut(got, "\nexample:\n  ")
		assert.True(t, ok)
		assert.True(t, strings.HasPrefix(example, "tankodds "+c.name), example)
	}
}

func TestWrongCommands(t *testing.T) {
	withCommand(t, func(context.Context, *call) error { return nil })
	for _, c := range []struct{ args, stderr string }{
		{"prob", "tankodds: no command is called \"prob\"\nhint: did you mean tankodds probe\n"},
		{"frobnicate", "tankodds: no command is called \"frobnicate\"\nhint: tankodds help lists the commands\n"},
		{"help frobnicate", "tankodds: no command is called \"frobnicate\"\nhint: tankodds help lists the commands\n"},
		{"--target 0.9", "tankodds: --target stands where a command is expected\nhint: flags follow a command, as in tankodds size --target 0.9\n"},
		{"new a b", "tankodds: new takes one argument, not 2\nhint: usage: tankodds new [DIR]\n"},
		{"new --out x", "tankodds: new has no flag --out\nhint: tankodds help new lists its flags\n"},
		{"probe --traget 0.9", "tankodds: probe has no flag --traget\nhint: did you mean --target\n"},
		{"probe -x", "tankodds: probe has no flag -x\nhint: tankodds help probe lists its flags\n"},
		{"probe --tanks", "tankodds: --tanks needs a value\nhint: tankodds help probe lists its flags\n"},
		{"probe --years ten", "tankodds: --years: \"ten\" is not a whole number from 50 to 10,000,000\n"},
		{"probe --seed -1", "tankodds: --seed: \"-1\" is not a whole number from 0 to 18,446,744,073,709,551,615\n"},
		{"probe --json=maybe", "tankodds: --json: \"maybe\" is neither true nor false\n"},
	} {
		stderr := refused(t, exitUsage, strings.Fields(c.args)...)
		assert.Equal(t, c.stderr, stderr, c.args)
	}
}

// A fault inside is one line, whatever it says.
func TestFault(t *testing.T) {
	withCommand(t, func(context.Context, *call) error { panic("two\nlines") })
	code, _, stderr := typed(t, "probe")
	assert.Equal(t, exitFailed, code)
	assert.Equal(t, "tankodds: internal fault: two lines; please report it with the command you typed\n", stderr)
}

// A reader that goes away is success, and ends the work.
func TestBrokenPipe(t *testing.T) {
	withCommand(t, func(ctx context.Context, c *call) error {
		fmt.Fprintln(c.stdout, "first line")
		<-ctx.Done()
		return ctx.Err()
	})
	var stderr bytes.Buffer
	code := run(t.Context(), []string{"probe"}, strings.NewReader(""), noReader(t), &stderr)
	assert.Equal(t, exitDone, code)
	assert.Empty(t, stderr.String())
}

// noReader is a pipe that nobody reads: it fails at the first byte.
func noReader(t *testing.T) *os.File {
	r, w, err := os.Pipe()
	require.NoError(t, err)
	require.NoError(t, r.Close())
	t.Cleanup(func() { w.Close() })
	return w
}

// Files asked for are written whoever reads the answer, by every command that
// writes any; where they cannot be, the exit code says so.
func TestBrokenPipeAndFiles(t *testing.T) {
	t.Parallel()
	seattle := "../../testdata/seattle-weather.csv"
	tried := 0
	evidence := t.TempDir()
	code, _, said := typedOut(t, evidence, quick("size")...)
	require.Equal(t, exitDone, code, said)
	for _, c := range commands {
		fs, _ := c.flagSet()
		if fs.Lookup("out") == nil {
			continue
		}
		args := map[string][]string{
			"size":     quick("size"),
			"replay":   {"replay", "--tank", "5000L"},
			"compare":  quick("compare", seattle, "--roof", "100m2", "--use", "100L/day"),
			"synth":    {"synth", seattle, "--generator", "years", "--years", "3"},
			"backtest": quickBacktest,
			"report":   {"report", filepath.Join(evidence, "evidence.json")},
		}[c.name]
		require.NotEmpty(t, args, c.name)
		tried++
		dir := filepath.Join(t.TempDir(), "out")
		var stderr bytes.Buffer
		code := run(t.Context(), append(args, "--out", dir), strings.NewReader(""), noReader(t), &stderr)
		assert.Equal(t, exitDone, code, "%v: %s", args, stderr.String())
		assert.Empty(t, stderr.String(), c.name)
		listed, ok := readManifest(dir)
		require.True(t, ok, c.name)
		for _, f := range listed {
			assert.True(t, hasSum(filepath.Join(dir, f.Name), f.SHA256), f.Name)
		}
		assert.Len(t, files(t, dir), len(listed)+1, "every file is listed")
		if c.name == "size" || c.name == "report" { // of the study that was run before
			for _, name := range files(t, evidence) {
				assert.Equal(t, content(t, filepath.Join(evidence, name)), content(t, filepath.Join(dir, name)), "%s %s: the same bytes", c.name, name)
			}
		}
	}
	assert.Equal(t, 6, tried)

	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "daily.csv"), 0o777))
	var stderr bytes.Buffer
	code = run(t.Context(), []string{"replay", "--tank", "5000L", "--out", dir}, strings.NewReader(""), noReader(t), &stderr)
	assert.Equal(t, exitFailed, code)
	assert.Equal(t, "tankodds: "+filepath.Join(dir, "daily.csv")+" is a folder\nhint: choose another folder\n", stderr.String())
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, fmt.Errorf("no space left on device") }

// Any other failure to print is an error.
func TestFullDisk(t *testing.T) {
	var stderr bytes.Buffer
	code := run(t.Context(), nil, strings.NewReader(""), full{}, &stderr)
	assert.Equal(t, exitFailed, code)
	assert.Equal(t, "tankodds: standard output cannot be written: no space left on device\n", stderr.String())
}

// Ctrl-C in the middle leaves nothing behind.
func TestInterrupt(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "out")
	ctx, cancel := context.WithCancel(t.Context())
	withCommand(t, func(ctx context.Context, c *call) error {
		out, err := openFolder(c.plan.Out)
		if err != nil {
			return err
		}
		defer out.discard()
		if err := out.write("curves.csv", writeText("half")); err != nil {
			return err
		}
		cancel()
		return out.commit(ctx)
	})
	var stderr bytes.Buffer
	code := run(ctx, []string{"probe", "--out", dir}, strings.NewReader(""), io.Discard, &stderr)
	assert.Equal(t, exitInterrupted, code)
	assert.Equal(t, "tankodds: interrupted; no file was written\n", stderr.String())
	assert.NoDirExists(t, filepath.Dir(dir))
}

// An interrupt ends a command that does not listen, be it in a read that no
// byte comes to or in a sum without end; it prints and writes no more.
func TestInterruptOfTheDeaf(t *testing.T) {
	silent, open, err := os.Pipe()
	require.NoError(t, err)
	defer open.Close()
	ctx, cancel := context.WithCancel(t.Context())
	reading := readerFunc(func(p []byte) (int, error) { // told when the read has begun
		cancel()
		return silent.Read(p)
	})
	var stderr bytes.Buffer
	code := run(ctx, []string{"record", "-"}, reading, io.Discard, &stderr)
	assert.Equal(t, exitInterrupted, code)
	assert.Equal(t, "tankodds: interrupted; no file was written\n", stderr.String())

	dir := filepath.Join(t.TempDir(), "deep", "out")
	ctx, cancel = context.WithCancel(t.Context())
	on, went := make(chan struct{}), make(chan error)
	withCommand(t, func(_ context.Context, c *call) error {
		out, err := c.openOut()
		if err != nil {
			return err
		}
		if err := out.write("curves.csv", writeText("half")); err != nil {
			return err
		}
		cancel()
		<-on // as if summing
		fmt.Fprintln(c.stdout, "late")
		went <- errors.Join(out.write("report.html", writeText("late")), out.commit(context.Background()))
		return nil
	})
	var stdout bytes.Buffer
	stderr.Reset()
	code = run(ctx, []string{"probe", "--out", dir}, strings.NewReader(""), &stdout, &stderr)
	assert.Equal(t, exitInterrupted, code)
	assert.Equal(t, "tankodds: interrupted; no file was written\n", stderr.String())
	assert.NoDirExists(t, filepath.Dir(dir))
	close(on)
	assert.Error(t, <-went)
	assert.Empty(t, stdout.String())
	assert.NoDirExists(t, filepath.Dir(dir))
}

type readerFunc func([]byte) (int, error)

func (f readerFunc) Read(p []byte) (int, error) { return f(p) }

// Interrupted when the files are in their places already: that is what is said.
func TestInterruptTooLate(t *testing.T) {
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	on := make(chan struct{})
	defer close(on)
	withCommand(t, func(ctx context.Context, c *call) error {
		out, err := c.openOut()
		if err == nil {
			err = out.write("curves.csv", writeText("whole"))
		}
		if err == nil {
			err = out.commit(ctx)
		}
		cancel()
		<-on
		return err
	})
	var stderr bytes.Buffer
	code := run(ctx, []string{"probe", "--out", dir}, strings.NewReader(""), io.Discard, &stderr)
	assert.Equal(t, exitInterrupted, code)
	assert.Equal(t, "tankodds: interrupted; the files were written\n", stderr.String())
	assert.Equal(t, []string{"SHA256SUMS", "curves.csv"}, files(t, dir))
}

// A flag without its value is a variable that was not set: every flag of every
// command says so.
func TestEmptyValues(t *testing.T) {
	tried := 0
	for _, cmd := range commands {
		fs, _ := cmd.flagSet()
		fs.VisitAll(func(f *pflag.Flag) {
			for _, empty := range []string{"", " "} {
				stderr := refused(t, exitUsage, cmd.name, "--"+f.Name+"="+empty)
				if f.Value.Type() == "string" || f.Value.Type() == "stringArray" {
					assert.Equal(t, "tankodds: --"+f.Name+" needs a value\nhint: tankodds help "+cmd.name+" lists its flags\n", stderr)
					tried++
				}
			}
		})
	}
	assert.Greater(t, tried, 50)
	code, _, stderr := typed(t, "size", "--roof", "100m2", "--roof", "", "--use", "100L/day")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, stderr, "--roof needs a value\n")
}

// A progress line goes to a terminal alone.
func TestProgress(t *testing.T) {
	c := &call{terminal: &bytes.Buffer{}, plan: site.NewPlan(site.Size)}
	p := c.newProgress("simulating")
	p.show(1, 2)
	p.clear()
	assert.Empty(t, c.terminal.(*bytes.Buffer).String(), "a buffer is no terminal")

	file, err := os.Create(filepath.Join(t.TempDir(), "err"))
	require.NoError(t, err)
	defer file.Close()
	assert.False(t, isTerminal(file))

	var b bytes.Buffer
	p.w = &b
	for done := range 1001 {
		p.show(done, 1000)
	}
	p.clear()
	lines := strings.Split(b.String(), "\r")
	assert.Len(t, lines, 101+3, "once a per cent")
	assert.Equal(t, "simulating 100 %", lines[101])
	assert.Equal(t, strings.Repeat(" ", len(lines[101])), lines[102])
}
