package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// slips are what Go prints where a word or a number was meant.
var slips = regexp.MustCompile(`%!|\bNaN\b|<nil>|&lt;nil&gt;|[+-]Inf\b|\b0x[0-9a-f]{6,}|\bpanic\b|goroutine \d|map\[|&\{`)

// marks are in every slip: to look for them first is fifty times as fast.
var marks = []string{"%!", "NaN", "nil", "Inf", "0x", "panic", "goroutine", "map[", "&{"}

func slip(text string) []int {
	for _, mark := range marks {
		if strings.Contains(text, mark) {
			return slips.FindStringIndex(text)
		}
	}
	return nil
}

// looked fails where a text holds a slip.
func looked(t *testing.T, what, text string) {
	t.Helper()
	require.NotEmpty(t, text, what)
	if at := slip(text); at != nil {
		assert.Fail(t, "a slip", "%s: …%s…", what, text[max(0, at[0]-80):min(len(text), at[1]+80)])
	}
}

func TestSlips(t *testing.T) {
	for _, bad := range []string{"%!Month(0)", "%!d(string=x)", "is NaN L", "<nil>", "at +Inf", "0xc000123456", "panic: x", "map[a:1]", "&{1 2}", "goroutine 7", "&lt;nil&gt;"} {
		assert.NotNil(t, slip(bad), bad)
	}
	for _, good := range []string{"100 %", "isNaN(x)", "nil", "Info", "0x10", "Panicum"} {
		assert.Nil(t, slip(good), good)
	}
}

// shortRecord writes a record with one usable year.
func shortRecord(t *testing.T) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("date,rain_mm\n")
	first, _ := rainfall.MakeDate(2019, 1, 1)
	for d := range 500 {
		fmt.Fprintf(&b, "%v,%d.4\n", first+rainfall.Date(d), d%9)
	}
	path := filepath.Join(t.TempDir(), "short.csv")
	require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o666))
	return path
}

// Studies that several tests run: with all that there is to say, and with tanks
// that do not meet the target.
const (
	severalRoofs = "size --years 100 --roofs 50m2,100m2,180m2 --units us --measure time --target 0.97"
	smallTanks   = "size --years 50 --record-error off --tanks 500L,900L --date 1.5.2012"
)

// Nothing that any command prints or writes holds a slip: with an answer and
// without one, of long and of short records, in both systems of units.
func TestNothingPrintedIsASlip(t *testing.T) {
	t.Parallel()
	const seattle, york = "../../testdata/seattle-weather.csv", "../../testdata/new-york-2012-2015.csv"
	rain, err := filepath.Abs(seattle)
	require.NoError(t, err)
	prices := writeSite(t, "rain: {file: "+rain+"}\nroofs: [{area: 100 m2}]\nuses: [{daily: 100 L}, {monthly: [1 L,1 L,1 L,1 L,1 L,1 L,1 L,1 L,1 L,1 L,1 L,900 L]}]\ntank: {prices: {1000 L: 500, 5000 L: 900}, water_price: 3 per m3}\n")
	short := shortRecord(t)
	bare := []string{"--roof", "100m2", "--use", "100L/day"}
	tried := map[string]bool{}
	var files, shownAgain atomic.Int64
	newDir := filepath.Join(t.TempDir(), "new")
	t.Run("commands", func(t *testing.T) {
		for _, args := range [][]string{
			quick("size"),
			strings.Fields(severalRoofs),
			quick("size", "--measure", "volume", "--rain-scale", "0.9", "--dry-spell-scale", "1.2"),
			quick("size", prices),
			quick("size", "--rain", seattle, "--roof", "1m2", "--use", "900L/day"),                                   // out of reach
			quick(append([]string{"size", "--rain", short, "--units", "us"}, bare...)...),                            // one year
			quick(append([]string{"size", "--rain", seattle, "--tanks", "1000000L", "--target", "0.5"}, bare...)...), // one size
			strings.Fields(smallTanks),
			{"replay", "--tank", "5000L"},
			append([]string{"replay", "--tank", "5000L", "--rain", short}, bare...),
			quick(append([]string{"compare", seattle, york}, bare...)...),
			quick(append([]string{"compare", short}, bare...)...),
			{"synth", seattle, "--years", "3", "--units", "us"},
			{"synth", seattle, "--years", "3", "--generator", "chain"},
			quickBacktest,
			{"backtest", short, "--years", "50"},
			{"record", "--demo"}, {"record", seattle, short, york}, {"record", short, "--units", "us"},
			{"new", newDir},
			{"cite"}, {"cite", york}, {"cite", short},
			{"completion", "bash"}, {"completion", "zsh"}, {"completion", "fish"}, {"man"},
		} {
			cmd, err := findCommand(args[0])
			require.NoError(t, err)
			tried[cmd.name] = true
			what := strings.Join(args, " ")
			t.Run(args[0], func(t *testing.T) {
				t.Parallel()
				fs, _ := cmd.flagSet()
				if fs.Lookup("json") != nil && (args[0] != "size" || what == severalRoofs) { // the others as evidence and shown again
					_, stdout, stderr := typed(t, append(args[:len(args):len(args)], "--json")...)
					looked(t, what+" --json", stdout+stderr)
				}
				dir := t.TempDir()
				said := typed
				if fs.Lookup("out") != nil {
					said = func(t *testing.T, args ...string) (int, string, string) { return typedOut(t, dir, args...) }
				}
				_, stdout, stderr := said(t, args...)
				looked(t, what, stdout+stderr)
				entries, err := os.ReadDir(dir)
				require.NoError(t, err)
				for _, e := range entries {
					if ext := filepath.Ext(e.Name()); ext != ".pdf" && ext != ".png" {
						looked(t, what+" "+e.Name(), content(t, filepath.Join(dir, e.Name())))
						files.Add(1)
					}
				}
				if args[0] == "size" && len(entries) > 0 {
					for _, after := range [][]string{{"recheck", "--all"}, {"report"}} {
						_, stdout, stderr := typed(t, append(after, filepath.Join(dir, "evidence.json"))...)
						looked(t, what+" "+after[0], stdout+stderr)
						shownAgain.Add(1)
					}
				}
			})
		}
	})
	tried["recheck"], tried["report"] = shownAgain.Load() > 0, shownAgain.Load() > 0
	looked(t, "page", served(t, func(address string) { looked(t, "its page", string(pageGets(t, address))) }, "--no-browser"))
	tried["page"] = true
	for _, c := range commands {
		assert.True(t, tried[c.name], c.name)
		_, stdout, _ := typed(t, "help", c.name)
		looked(t, "help "+c.name, stdout)
		_, stdout, stderr := typed(t, c.name, "--nonsense", "x", "y", "z")
		looked(t, c.name+" --nonsense", stdout+stderr)
	}
	for _, topic := range topics {
		_, stdout, _ := typed(t, "help", topic.name)
		looked(t, "help "+topic.name, stdout)
	}
	_, stdout, _ := typed(t)
	looked(t, "overview", stdout)
	assert.Greater(t, files.Load(), int64(60))
}

// Nor what is said of a value that a flag cannot take: read, and no more.
func TestNothingRefusedIsASlip(t *testing.T) {
	withCommand(t, func(_ context.Context, c *call) error {
		_, err := c.asked.Plan(c.site(), "")
		return err
	})
	probe, err := findCommand("probe")
	require.NoError(t, err)
	flags, _ := probe.flagSet()
	flags.VisitAll(func(f *pflag.Flag) {
		for _, value := range []string{"%d%s", "-1", "1e999", "{}", "0"} {
			code, stdout, stderr := typed(t, "probe", "--"+f.Name+"="+value)
			if code != exitDone {
				looked(t, "--"+f.Name+"="+value, stdout+stderr)
			}
		}
	})
}
