package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/sim"
)

// Files that are no site files, and what goes to standard error.
func TestSiteFiles(t *testing.T) {
	dir := t.TempDir()
	path := func(name, text string) string {
		p := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(p, []byte(text), 0o666))
		return p
	}
	huge := path("huge.yaml", strings.Repeat("# long\n", 1<<18))
	noRoof := path("noroof.yaml", "rain: {file: x.csv}\nuses: [{daily: 1 L}]\n")
	wrong := path("wrong.yaml", "rooves: []\n")
	for _, c := range []struct {
		file, want string
		code       int
	}{
		{filepath.Join(dir, "none.yaml"), "cannot be read: no such file or directory\nhint: tankodds new writes a site file to start from\n", exitFailed},
		{dir + "/", "is not a site file, whose name ends in .yaml\nhint: a rain file is given with --rain " + dir + "/\n", exitUsage},
		{huge, "cannot be read: it is too long\nhint: a rain file is given with --rain\n", exitFailed},
		{noRoof, "no roof; give it, as in roofs: [{area: 140 m2, surface: metal}]\n", exitFailed},
		{wrong, "unknown key \"rooves\"; keys here are name, client, author, note, location, elevation, rain, roofs, uses, tank, pumping, costs, target, simulation\nhint: did you mean roofs\n", exitFailed},
	} {
		stderr := refused(t, c.code, "size", c.file)
		assert.True(t, strings.HasPrefix(stderr, "tankodds: "+c.file), stderr)
		assert.True(t, strings.HasSuffix(stderr, c.want), stderr)
	}
}

// What is no plain file is not read.
func TestSiteNoFile(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "dir.yaml"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "big.yaml"), make([]byte, 1<<20+1), 0o666))
	require.NoError(t, os.Symlink(os.DevNull, filepath.Join(dir, "device.yaml")))
	for name, want := range map[string]string{
		"dir.yaml":    "cannot be read: it is a folder",
		"big.yaml":    "cannot be read: it is too long",
		"device.yaml": "cannot be read: it is not a plain file",
	} {
		path := filepath.Join(dir, name)
		stderr := refused(t, exitFailed, "size", path)
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
		{with("--roof", times("n", 101)+" 10m2"), exitUsage, "--roof: the name is too long: it has 101 letters; it may have 100"},
		{with("--roof", "10m2", "--use", times("n", 101)+" 10L/day"), exitUsage, "--use: the name is too long: it has 101 letters; it may have 100"},
		{with("--roof", "10m2", "--date", times("n", 101)), exitUsage, "--date: it has 101 letters; it may have 100"},
		{with("--roof", "10m2", "--tanks", "1L"+times(",1L", 1000)), exitUsage, "--tanks: 1001 values are listed; 1000 are the most"},
		{many, exitUsage, "101 roofs; 100 are the most"},
		{with("--roofs", "1m2..500m2/500", "--tanks", "1L..1000L/500"), exitUsage, "500 tank sizes under 500 roof areas are 250000 tanks; 20000 are the most"},
	} {
		stderr := refused(t, c.code, c.args...)
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
	const site = "site.yaml"
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
	formula := regexp.MustCompile(`^[=@+]|^-[^0-9]`)
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
			if fs, _ := cmd.flagSet(); fs.Lookup("out") != nil && !slices.Contains(args, "--json") {
				args = append(args, "--out", "out-"+args[0])
			}
		}
		code, stdout, stderr := typed(t, args...)
		clean(fmt.Sprint(args), stdout+stderr)
		if code != exitDone {
			continue
		}
		out := "out-" + args[0]
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
					assert.NotRegexp(t, formula, cell, f.Name())
				}
			}
		}
	}
	assert.Greater(t, seen, 20, "files were looked through")
	// The name is one line of the answer, and what was hidden in it is seen.
	stdout := done(t, quick("size", site, "--rain", file)...)
	first, _, _ := strings.Cut(stdout, "\n")
	assert.Equal(t, `=1+1\u001b[31m\u202e\u009b2J second line`, first)

	// recheck's line about the version that wrote the evidence.
	evidence := filepath.Join("out-size", "evidence.json")
	code, _, stderr := typed(t, "recheck", evidence, "--rain", file)
	assert.Equal(t, exitDone, code, "what is shown of a name is what its digest is of: %s", stderr)
	forged := strings.Replace(content(t, evidence), `"version": "`+version, `"version": "9\u001b[31m`, 1)
	require.NoError(t, os.WriteFile(evidence, []byte(forged), 0o666))
	_, stdout, stderr = typed(t, "recheck", evidence)
	assert.Contains(t, stdout+stderr, `9\u001b[31m`)
	clean("recheck", stdout+stderr)
}

// What is detained is taken as typed, changes nothing but what overflows, and is
// refused where no rain could fill it.
func TestDetain(t *testing.T) {
	assert.Equal(t, 2000.0, planned(t, "--detain", "2 m3").Study.Detain)
	assert.Equal(t, "tankodds: 500 m³ detained above the store are more than these roofs can give in a day: 328 m³ in the wettest ever measured\n",
		refused(t, exitUsage, "size", "--detain", "500m3"))
	assert.Equal(t, "tankodds: --detain: -5L is below 0; a detained volume is a volume such as 5000L or 1500gal\n", refused(t, exitUsage, "size", "--detain", "-5L"))
	answer := func(args ...string) map[string]any {
		code, out, errs := typed(t, append([]string{"size", "--years", "500", "--json", "--quiet"}, args...)...)
		require.Equal(t, exitDone, code, errs)
		var doc map[string]any
		require.NoError(t, json.Unmarshal([]byte(out), &doc))
		return doc
	}
	plain, detained := answer(), answer("--detain", "2000L")
	require.NotEqual(t, plain["overflow"], detained["overflow"])
	delete(plain, "overflow")
	delete(detained, "overflow")
	require.Equal(t, plain, detained)
	require.NotEmpty(t, plain["answer"])
}
