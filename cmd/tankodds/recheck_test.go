package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// evidenceOf sizes the invented site from its files, of which the record is cut
// to its last quarter, and leaves the evidence in out/. The folder it returns is
// the current one.
func evidenceOf(t *testing.T, args ...string) string {
	t.Helper()
	dir := t.TempDir()
	t.Chdir(dir)
	done(t, "new", ".")
	rain := content(t, demoRainName)
	head, _, _ := strings.Cut(rain, "1965-01-01")
	_, late, found := strings.Cut(rain, "\n2009-12-31")
	require.True(t, found)
	require.NoError(t, os.WriteFile(demoRainName, []byte(head+"2009-12-31"+late), 0o666))
	code, _, stderr := typedOut(t, "out", append([]string{"size", "site.yaml", "--years", "50", "--record-error", "off"}, args...)...)
	require.Equal(t, exitDone, code, stderr)
	return dir
}

// shortDemo sizes the invented site, quickly, and leaves the files in dir.
func shortDemo(t *testing.T, dir string) {
	t.Helper()
	code, _, stderr := typedOut(t, dir, "size", "--years", "50", "--record-error", "off")
	require.Equal(t, exitDone, code, stderr)
	require.Empty(t, stderr)
}

// edit replaces the first place in a file where from stands: the inputs come
// first in evidence.
func edit(t *testing.T, file, from, to string) {
	t.Helper()
	b, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Contains(t, string(b), from)
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(string(b), from, to, 1)), 0o666))
}

func TestRecheckOfTheDemo(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	shortDemo(t, dir)
	stdout := done(t, "recheck", filepath.Join(dir, "evidence.json"))
	first, rest, _ := strings.Cut(stdout, "\n")
	m := regexp.MustCompile(`^evidence\.json: confirmed; ([\d,]+) of ([\d,]+) values and (\d+) of (\d+) files agree\.$`).FindStringSubmatch(first)
	require.NotNil(t, m, first)
	assert.Greater(t, len(m[1]), len("1,00"))
	assert.Equal(t, []string{m[1], m[3]}, []string{m[2], m[4]})
	// Of every bit of every number, which another kind of processor may round otherwise.
	golden(t, "recheck-demo.txt", regexp.MustCompile("([0-9a-f]{4} ){3}[0-9a-f]{4}").ReplaceAllString(rest, "(sixteen digits)"))
}

// A study in which every option is set comes back as it was.
func TestRecheckEveryInput(t *testing.T) {
	evidenceOf(t, "--years", "100", "--record-error", "on", "--seed", "18446744073709551615", "--rule", "ybs", "--measure", "volume",
		"--target", "0.7", "--start", "333L", "--dead", "2.5%", "--runoff", "0.77", "--first-flush", "0.02in", "--horizon", "20",
		"--generator", "years", "--since", "2012", "--water-year", "aug", "--units", "us", "--roofs", "150m2,180m2", "--dates", "dmy", "--unit", "mm",
		"--use", "toilets 30gal/day weekdays", "--use", "wash 10L/day sat", "--roof", "barn 1500sqft tile", "--roof", "30m2 gravel")
	code, stdout, stderr := typed(t, "recheck", "out/evidence.json")
	require.Equal(t, exitDone, code, stdout+stderr)
	assert.Contains(t, strings.Join(strings.Fields(stdout), " "), "to the last digit")
}

func TestRecheckCatches(t *testing.T) {
	evidenceOf(t)
	whole, err := os.ReadFile("out/evidence.json")
	require.NoError(t, err)
	record, err := os.ReadFile(demoRainName)
	require.NoError(t, err)

	code, stdout, stderr := typed(t, "recheck", "out/evidence.json")
	require.Equal(t, exitDone, code, stdout+stderr)
	var doc map[string]any
	require.NoError(t, json.Unmarshal(whole, &doc))

	for _, c := range []struct{ what, file, from, to, stdout, stderr string }{
		{"roof", "out/evidence.json", `"area_m2": 180`, `"area_m2": 181`, "inputs · study · roofs · studio · area, m² 180 181", "out/evidence.json: an input was changed by itself: roofs · studio · area, m²\n"},
		{"seed", "out/evidence.json", `"seed": 1,`, `"seed": 2,`, "inputs · study · seed 1 2", "input was changed by itself: seed\n"},
		{"use", "out/evidence.json", `"daily_l": 120`, `"daily_l": 120.5`, "inputs · study · uses · toilets · daily, L 120 120.5", "input was changed by itself: uses · toilets · daily, L\n"},
		{"rule", "out/evidence.json", `"rule": "yas"`, `"rule": "ybs"`, "inputs · study · rule yas ybs", "input was changed by itself: rule\n"},
		{"price", "out/evidence.json", `"water_price_per_m3": 18`, `"water_price_per_m3": 9`, "inputs · study · costs · water price a m³ 18 9", "input was changed by itself: costs · water price a m³\n"},
		{"figure", "out/evidence.json", `"mean_annual_years": 15`, `"mean_annual_years": 14`, "record · mean annual years 14 15", "out/evidence.json: 1 value is not what its inputs come to\n"},
		{"word", "out/evidence.json", "usable water years", "usable dry years", "usable dry years run again ", "out/evidence.json: 1 value is not what its inputs come to\n"},
		{"record", demoRainName, "2019-12-31,", "2019-12-31,9", "carrow-hill.csv was changed: its SHA-256 is ", "the record was changed since: carrow-hill.csv is not the file that the evidence rests on"},
		{"checksum", "out/evidence.json", "\"sha256\": \"", "\"sha256\": \"0", "inputs · record · sha256 in the file f18aac", "out/evidence.json: 4 values are not what its inputs come to\n"},
	} {
		edit(t, c.file, c.from, c.to)
		code, stdout, stderr := typed(t, "recheck", "out/evidence.json")
		assert.Equal(t, exitDisagrees, code, c.what)
		assert.Contains(t, strings.Join(strings.Fields(stdout), " "), c.stdout, c.what)
		assert.Contains(t, stderr, c.stderr, c.what)
		assert.Equal(t, 1, strings.Count(stderr, "\n"), stderr)
		fits(t, stdout)
		require.NoError(t, os.WriteFile("out/evidence.json", whole, 0o666))
		require.NoError(t, os.WriteFile(demoRainName, record, 0o666))
	}

	// One figure is one row, in words and in JSON.
	edit(t, "out/evidence.json", `"mean_annual_years": 15`, `"mean_annual_years": 14`)
	_, stdout, _ = typed(t, "recheck", "out/evidence.json")
	assert.Equal(t, 1, strings.Count(stdout, "record · "))
	code, stdout, _ = typed(t, "recheck", "out/evidence.json", "--json")
	assert.Equal(t, exitDisagrees, code)
	var got struct {
		Differ int
		Rows   []struct{ Path string }
	}
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	assert.Equal(t, 1, got.Differ)
	require.Len(t, got.Rows, 1)
	assert.Equal(t, "results.record.mean_annual_years", got.Rows[0].Path)
}

// Another version is run again and said to agree, and is not confirmed.
func TestRecheckOtherVersion(t *testing.T) {
	evidenceOf(t)
	b, err := os.ReadFile("out/evidence.json")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("out/evidence.json", bytes.ReplaceAll(b, []byte(version), []byte("0.0.9")), 0o666))
	code, stdout, stderr := typed(t, "recheck", "out/evidence.json")
	assert.Equal(t, exitDisagrees, code)
	assert.Equal(t, "tankodds: out/evidence.json: 0.0.9 wrote it; "+version+" cannot confirm what another version wrote\n", stderr)
	assert.Contains(t, stdout, "Version   "+version+"; 0.0.9 wrote the evidence.\n")
	m := regexp.MustCompile(`not confirmed; ([\d,]+) of ([\d,]+) values `).FindStringSubmatch(stdout)
	require.NotNil(t, m, stdout)
	assert.Equal(t, m[1], m[2])
	edit(t, "out/evidence.json", `"usable_years": 15`, `"usable_years": 14`)
	code, stdout, _ = typed(t, "recheck", "out/evidence.json")
	assert.Equal(t, exitDisagrees, code)
	assert.Contains(t, stdout, "1 value is not what its inputs come to.\n")
}

// The record may lie elsewhere, packed, unpacked or packed again.
func TestRecheckFindsTheRecord(t *testing.T) {
	evidenceOf(t)
	record, err := os.ReadFile(demoRainName)
	require.NoError(t, err)
	packed := func(level int) []byte {
		var b bytes.Buffer
		z, err := gzip.NewWriterLevel(&b, level)
		require.NoError(t, err)
		_, err = z.Write(record)
		require.NoError(t, err)
		require.NoError(t, z.Close())
		return b.Bytes()
	}
	put := func(path string, b []byte) {
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, b, 0o666))
	}
	check := func(want int, stdoutHas string, args ...string) string {
		t.Helper()
		code, stdout, stderr := typed(t, append([]string{"recheck", "out/evidence.json"}, args...)...)
		assert.Equal(t, want, code, stdout+stderr)
		assert.Contains(t, stdout, stdoutHas)
		return stderr
	}
	require.NoError(t, os.Remove(demoRainName))
	assert.Equal(t, "tankodds: out/evidence.json:16: the record carrow-hill.csv is missing\nhint: put it beside the evidence, or name it with --rain FILE\n",
		check(exitFailed, ""))
	put("elsewhere/gauge.csv", record)
	check(exitDone, "Record    gauge.csv, unchanged", "--rain", "elsewhere/gauge.csv")
	put("out/carrow-hill.csv.gz", packed(9))
	check(exitDone, "Record    carrow-hill.csv.gz, packed otherwise than it was, the same inside.")
	put("out/carrow-hill.csv", record)
	check(exitDone, "Record    carrow-hill.csv, unchanged")
	// One that is the same wins over one that is nearer.
	put("out/carrow-hill.csv", append(record, "\n"...))
	put("carrow-hill.csv", record)
	check(exitDone, "Record    carrow-hill.csv, unchanged")
	assert.Equal(t, "tankodds: nothing.csv: cannot be read: no such file or directory\nhint: give the path of the rain record; - is standard input\n", check(exitFailed, "", "--rain", "nothing.csv"))
	put("site.yaml.csv", []byte("no record at all"))
	assert.Contains(t, check(exitDisagrees, "", "--rain", "site.yaml.csv"), "tankodds: out/evidence.json: the record was changed, and as it is now: site.yaml.csv: no table")

	// Evidence from a packed record, then the record unpacked or repacked.
	put("packed/carrow-hill.csv.gz", packed(9))
	code, _, stderr := typed(t, "size", "site.yaml", "--rain", "packed/carrow-hill.csv.gz", "--years", "50", "--record-error", "off", "--out", "out")
	require.Equal(t, exitDone, code, stderr) // and tells what it left there
	require.NoError(t, os.RemoveAll("packed"))
	require.NoError(t, os.Remove("out/carrow-hill.csv.gz"))
	put("out/carrow-hill.csv", record)
	check(exitDone, "packed otherwise")
	require.NoError(t, os.Remove("out/carrow-hill.csv"))
	require.NoError(t, os.Remove("carrow-hill.csv"))
	put("out/carrow-hill.csv.gz", packed(1))
	check(exitDone, "packed otherwise")
}

// Evidence of a record that came by standard input asks for it.
func TestRecheckStandardInput(t *testing.T) {
	evidenceOf(t)
	record, err := os.ReadFile(demoRainName)
	require.NoError(t, err)
	var out, errs bytes.Buffer
	code := run(t.Context(), []string{"size", "site.yaml", "--rain", "-", "--years", "50", "--record-error", "off", "--out", "out"}, bytes.NewReader(record), &out, &errs)
	require.Equal(t, exitDone, code, errs.String())
	code, _, stderr := typed(t, "recheck", "out/evidence.json")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "the record came from standard input and is not here\nhint: name its file with --rain FILE\n")
	code, stdout, stderr := typed(t, "recheck", "out/evidence.json", "--rain", demoRainName)
	assert.Equal(t, exitDone, code, stdout+stderr)
	out.Reset()
	code = run(t.Context(), []string{"recheck", "out/evidence.json", "--rain", "-"}, bytes.NewReader(record), &out, &errs)
	assert.Equal(t, exitDone, code, out.String())
}

func TestRecheckMisuse(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("page.json", []byte("{}"), 0o666))
	for _, c := range []struct {
		args   string
		code   int
		stderr string
	}{
		{"recheck", exitUsage, "tankodds: no evidence to recheck\nhint: name it, as in tankodds recheck out/evidence.json\n"},
		{"recheck a b", exitUsage, "tankodds: recheck takes one argument, not 2\nhint: usage: tankodds recheck EVIDENCE.json\n"},
		{"recheck - --rain -", exitUsage, "tankodds: standard input cannot be both the evidence and the record\nhint: name the record's file with --rain\n"},
		{"recheck a --workers -1", exitUsage, "tankodds: --workers: -1 is not a whole number from 0 to 1,048,576\n"},
		{"recheck none.json", exitFailed, "tankodds: none.json: cannot be read: no such file or directory\nhint: give the path of the file evidence.json that tankodds size --out DIR writes\n"},
		{"recheck page.json", exitFailed, "tankodds: page.json:1: not evidence: the key schema does not say tankodds/evidence/2\nhint: evidence is the file evidence.json that tankodds size --out DIR writes; if this was, it has been damaged since: take the original\n"},
	} {
		stderr := refused(t, c.code, strings.Fields(c.args)...)
		assert.Equal(t, c.stderr, stderr)
	}
}

// Evidence whose inputs cannot be run was not confirmed.
func TestRecheckImpossibleInputs(t *testing.T) {
	evidenceOf(t)
	whole, err := os.ReadFile("out/evidence.json")
	require.NoError(t, err)
	for _, c := range []struct{ from, to, want string }{
		{`"generator": "guided"`, `"generator": "dice"`, "32: inputs.generator: no generator is named \"dice\""},
		{`"years": 50,`, `"years": 50000000,`, "88: inputs.study.years: 50000000 is not a whole number from 50 to 10,000,000"},
		{`"rule": "yas"`, `"rule": "yes"`, "81: inputs.study.rule: rule \"yes\" is neither yas nor ybs"},
		{`"unit": ""`, `"unit": "furlong"`, "20: inputs.record.unit: \"furlong\" is none of mm, in, 0.1mm"},
		{`"file": "`, `"file": "un`, "16: the record uncarrow-hill.csv is missing"},
		{`"since": 0`, `"since": -1`, "30: inputs.record.since: -1 is not a whole number from 1600 to 2200"},
		{`"dead_share": 0.03`, `"dead_share": 3`, "75: inputs.study.dead_share: dead storage 3 is not a share"},
	} {
		require.NoError(t, os.WriteFile("out/evidence.json", whole, 0o666))
		edit(t, "out/evidence.json", c.from, c.to)
		code, _, stderr := typed(t, "recheck", "out/evidence.json")
		assert.Equal(t, exitDisagrees, code, c.to)
		assert.Contains(t, stderr, "tankodds: out/evidence.json:"+c.want)
	}
}
