package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/sim"
)

// A site file is as long as a page of text; every text and every list in it
// has a length that a sheet can show. The error names the line, the key and
// what it may be.
func TestSiteBounds(t *testing.T) {
	times := strings.Repeat
	for _, c := range []struct{ text, want string }{
		{"name: " + times("ł", 201), "site.yaml:1: name has 201 letters; it may have 200"},
		{"name: x\nclient: " + times("x ", 5000), "site.yaml:2: client has 9,999 letters; it may have 200"},
		{"author: " + times("x", 201), "site.yaml:1: author has 201 letters; it may have 200"},
		{"location: " + times("x", 201), "site.yaml:1: location has 201 letters; it may have 200"},
		{"note: |\n  " + times("x", 2001), "site.yaml:1: note has 2,001 letters; it may have 2,000"},
		{"roofs:\n- {area: 1 m2, name: " + times("x", 101) + "}", "site.yaml:2: name has 101 letters; it may have 100"},
		{"uses:\n- {daily: 1 L, name: " + times("x", 101) + "}", "site.yaml:2: name has 101 letters; it may have 100"},
		{"tank: {currency: " + times("x", 101) + "}", "site.yaml:1: currency has 101 letters; it may have 100"},
		{"rain: {station: " + times("x", 101) + "}", "site.yaml:1: station has 101 letters; it may have 100"},
		{"rain: {file: " + times("x", 20_001) + "}", "site.yaml:1: rain file has 20,001 letters; it may have 20,000"},
		{"roofs: [" + times("{area: 1 m2},", 101) + "]", "site.yaml:1: roofs has 101 entries; it may have 100"},
		{"uses: [" + times("{daily: 1 L},", 101) + "]", "site.yaml:1: uses has 101 entries; it may have 100"},
		{"uses: [{monthly: [" + times("1 L,", 13) + "]}]", "site.yaml:1: monthly has 13 entries; it may have 12"},
		{"uses: [{daily: 1 L, days: [" + times("mon,", 8) + "]}]", "site.yaml:1: days has 8 entries; it may have 7"},
		{"tank: {sizes: [" + times("1 L,", 1001) + "]}", "site.yaml:1: sizes has 1,001 entries; it may have 1,000"},
		{"tank: {sizes: '1L" + times(",1L", 1000) + "'}", "site.yaml:1: 1001 values are listed; 1000 are the most"},
		// Aliases stand for what they name and are never written out; what is
		// nested deeply is refused.
		{"roofs: &r [{area: 1 m2}, *r]", "site.yaml:1: a roof is written as keys and values: "},
		{"a: &a [x,x,x,x]\nb: &b [*a,*a,*a,*a]\nname: x", "site.yaml:1: unknown key \"a\""},
		{"name: " + times("[", 20_000), "site.yaml: not YAML: exceeded max depth"},
		{"name: " + times("[", 5000) + times("]", 5000), "site.yaml:1: name is a single value"},
	} {
		err := newPlan().decodeSite("site.yaml", []byte(c.text))
		require.Error(t, err, c.want)
		assert.True(t, strings.HasPrefix(err.Error(), c.want), "%s, not %s", err, c.want)
	}
	p := decoded(t, "name: "+times("ł", 200)+"\nnote: |\n  two\n  lines\n")
	assert.Equal(t, times("ł", 200), p.name)
	assert.Equal(t, "two lines", p.note)

	code, _, stderr := typed(t, "size", writeSite(t, "name: "+times("x", 5000)))
	assert.Equal(t, exitFailed, code)
	assert.True(t, strings.HasSuffix(stderr, ":1: name has 5,000 letters; it may have 200\n"), stderr)
	code, _, stderr = typed(t, "size", writeSite(t, times("k", 100_000)+" : 1"))
	assert.Equal(t, exitFailed, code)
	assert.Less(t, len(stderr), 1200, "a message is one to be read")
}

// What is no plain file is not read.
func TestSiteNoFile(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "dir.yaml"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "big.yaml"), make([]byte, mostSiteBytes+1), 0o666))
	require.NoError(t, os.Symlink(os.DevNull, filepath.Join(dir, "device.yaml")))
	for name, want := range map[string]string{
		"dir.yaml":    "is a folder, not a site file",
		"big.yaml":    "too long for a site file",
		"device.yaml": "is a pipe or a device, not a site file",
	} {
		path := filepath.Join(dir, name)
		code, stdout, stderr := typed(t, "size", path)
		assert.Equal(t, exitFailed, code, name)
		assert.Empty(t, stdout)
		assert.True(t, strings.HasPrefix(stderr, "tankodds: "+path+": "+want+"\nhint: "), stderr)
	}
}

// The same bounds hold for what is typed.
func TestFlagBounds(t *testing.T) {
	times := strings.Repeat
	site := []string{"--rain", "../../testdata/seattle-weather.csv", "--use", "100L/day"}
	with := func(args ...string) []string { return append(append([]string{"size"}, site...), args...) }
	many := with()
	for range sim.MostRoofs + 1 {
		many = append(many, "--roof", "1m2")
	}
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{with("--roof", times("n", 101)+" 10m2"), exitUsage, "--roof: the name has 101 letters; it may have 100"},
		{with("--roof", "10m2", "--use", times("n", 101)+" 10L/day"), exitUsage, "--use: the name has 101 letters; it may have 100"},
		{with("--roof", "10m2", "--date", times("n", 101)), exitUsage, "--date has more than 100 letters"},
		{with("--roof", "10m2", "--tanks", "1L"+times(",1L", 1000)), exitUsage, "--tanks: 1001 values are listed; 1000 are the most"},
		{many, exitFailed, "101 roofs; 100 are the most"},
		{with("--roofs", "1m2..500m2/500", "--tanks", "1L..1000L/500"), exitFailed, "500 tank sizes under 500 roof areas are 250000 tanks; 20000 are the most"},
	} {
		code, stdout, stderr := typed(t, c.args...)
		assert.Equal(t, c.code, code, c.want)
		assert.Empty(t, stdout)
		first, _, _ := strings.Cut(stderr, "\n")
		assert.Equal(t, "tankodds: "+c.want, first)
	}
}

// No name gives a terminal, a page or a spreadsheet orders: what is printed
// and every file written is looked through.
func TestHostileNames(t *testing.T) {
	const esc, turn, csi = "\x1b[31m", "\u202e", "\u009b2J"
	dir := t.TempDir()
	rain, err := os.ReadFile("../../testdata/seattle-weather.csv")
	require.NoError(t, err)
	t.Chdir(dir) // for names that begin with =
	file := "=x" + esc + turn + csi + ".csv"
	require.NoError(t, os.WriteFile(file, rain, 0o666))
	const site, out = "site.yaml", "out"
	require.NoError(t, os.WriteFile(site, []byte(`name: "=1+1\e[31m\u202e\x9b2J\nsecond line"
client: "+A\e]0;x\a"
author: "@b\r\u2066"
note: "-c\e[2J"
location: "=d\x7f"
roofs: [{area: 100 m2, name: "=r\e[31m"}]
uses: [{daily: 100 L, name: "@u\u202e"}]
`), 0o666))
	clean := func(what, text string) {
		t.Helper()
		require.NotEmpty(t, text, what)
		for _, r := range text {
			if r < ' ' && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
				assert.Fail(t, "raw", "%s holds %U", what, r)
				return
			}
		}
	}
	seen := 0
	for _, args := range [][]string{
		quick("size", site, "--rain", file),
		quick("size", site, "--rain", file, "--json"),
		{"replay", site, "--rain", file, "--tank", "2000L"},
		quick("compare", site, file, file),
		{"synth", file, "--generator", "years", "--years", "3"},
		{"backtest", file, "--learn", "2", "--judge-least", "1", "--years", "50", "--generators", "years"},
		{"record", file},
		{"record", file, "--json"},
		// and what goes wrong
		{"record", file + "z"},
		{"size", site + esc},
		{"size", "--roof", esc + turn + " 10m2 tin" + csi, "--use", "1L/day", "--rain", file},
		{"size", "--unit", esc},
		{esc},
		{"size", "--" + esc},
		{"help", turn},
		{"completion", csi},
		{"recheck", file},
	} {
		cmd, err := findCommand(args[0])
		if err == nil {
			if fs, _ := cmd.flagSet(); fs.Lookup("out") != nil {
				args = append(args, "--out", out)
			}
		}
		code, stdout, stderr := typed(t, args...)
		clean(fmt.Sprint(args), stdout+stderr)
		if code != exitDone {
			continue
		}
		written, _ := os.ReadDir(out)
		for _, f := range written {
			if ext := filepath.Ext(f.Name()); ext == ".png" || ext == ".pdf" {
				continue
			}
			seen++
			text := content(t, filepath.Join(out, f.Name()))
			clean(f.Name(), text)
			if filepath.Ext(f.Name()) != ".csv" {
				continue
			}
			for line := range strings.Lines(text) {
				for _, cell := range strings.Split(line, ",") {
					cell = strings.TrimLeft(cell, "\"")
					assert.NotRegexp(t, `^[=@+]|^-[^0-9]`, cell, f.Name())
				}
			}
		}
	}
	assert.Greater(t, seen, 20, "files were looked through")
	// The name is one line of the answer, and what was hidden in it is seen.
	code, stdout, stderr := typed(t, quick("size", site, "--rain", file)...)
	require.Equal(t, exitDone, code, stderr)
	first, _, _ := strings.Cut(stdout, "\n")
	assert.Equal(t, `=1+1\u001b[31m\u202e\u009b2J second line`, first)

	// recheck's line about the version that wrote the evidence.
	code, _, stderr = typed(t, quick("size", site, "--rain", file, "--out", out)...)
	require.Equal(t, exitDone, code, stderr)
	evidence := filepath.Join(out, "evidence.json")
	code, _, stderr = typed(t, "recheck", evidence, "--rain", file)
	assert.Equal(t, exitDone, code, "what is shown of a name is what its digest is of: %s", stderr)
	forged := strings.Replace(content(t, evidence), `"version": "`+version, `"version": "9\u001b[31m`, 1)
	require.NoError(t, os.WriteFile(evidence, []byte(forged), 0o666))
	_, stdout, stderr = typed(t, "recheck", evidence)
	assert.Contains(t, stdout+stderr, `9\u001b[31m`)
	clean("recheck", stdout+stderr)
}
