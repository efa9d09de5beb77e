package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report"
)

// writtenFiles are the files in out/ that the evidence there lists.
func writtenFiles(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	entries, err := os.ReadDir("out")
	require.NoError(t, err)
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join("out", e.Name()))
		require.NoError(t, err)
		out[e.Name()] = b
	}
	evidence, err := report.ReadEvidence("out/evidence.json", out["evidence.json"])
	require.NoError(t, err)
	delete(out, "evidence.json")
	listed := map[string][]byte{}
	for _, f := range evidence.Files {
		assert.Equal(t, digest(out[f.Name]), f.SHA256, f.Name)
		listed[f.Name] = out[f.Name]
	}
	for _, want := range []string{"report.html", "evidence.pdf", "curves.csv", "reliability.svg", "reliability.png"} {
		require.Contains(t, listed, want)
	}
	for name := range out {
		if ext := filepath.Ext(name); ext != "" && ext != ".json" {
			assert.Contains(t, listed, name, "a file written that the evidence does not list")
		}
	}
	return listed
}

// notConfirmedBy runs recheck and wants exit code 3, one line on standard
// error, and every reason in the output.
func notConfirmedBy(t *testing.T, what string, reasons ...string) (stdout, stderr string) {
	t.Helper()
	code, stdout, stderr := typed(t, "recheck", "out/evidence.json")
	require.Equal(t, exitDisagrees, code, "%s: %s%s", what, stdout, stderr)
	assert.Equal(t, 1, strings.Count(stderr, "tankodds: "), what)
	assert.NotContains(t, stdout, ": confirmed")
	for _, r := range reasons {
		assert.Contains(t, strings.Join(strings.Fields(stdout), " "), r+".", what)
	}
	return stdout, stderr
}

// One byte of any file written, or a file that is not there, is not confirmed,
// and named.
func TestRecheckEveryFile(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole program many times")
	}
	evidenceOf(t)
	files := writtenFiles(t)
	rng := rand.New(rand.NewPCG(3, 4))
	names := 0
	for _, name := range slices.Sorted(maps.Keys(files)) {
		whole := files[name]
		names++
		path := filepath.Join("out", name)
		altered := bytes.Clone(whole)
		altered[rng.IntN(len(altered))] ^= 1 << rng.IntN(8)
		require.NoError(t, os.WriteFile(path, altered, 0o666))
		_, stderr := notConfirmedBy(t, name, name+" is not the file that was written with this evidence")
		assert.Equal(t, "tankodds: out/evidence.json: "+name+" is not the file that was written with this evidence\n", stderr)
		require.NoError(t, os.Remove(path))
		_, stderr = notConfirmedBy(t, name, "not found beside it, so not compared: "+name)
		assert.Equal(t, "tankodds: out/evidence.json: not found beside it, so not compared: "+name+"\n"+
			"hint: put the files that size --out wrote into the folder of the evidence\n", stderr)
		require.NoError(t, os.WriteFile(path, whole, 0o666))
	}
	assert.GreaterOrEqual(t, names, 11)
	code, stdout, stderr := typed(t, "recheck", "out/evidence.json", "--workers", "3", "--all")
	assert.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, fmt.Sprintf("Files     all %d written with it are beside it and unchanged; same: curves.csv,\n          report.html, ", names))

	// Sent alone, its numbers agree, and that is all that can be said.
	require.NoError(t, os.MkdirAll("alone", 0o777))
	b, err := os.ReadFile("out/evidence.json")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("alone/evidence.json", b, 0o666))
	code, stdout, stderr = typed(t, "recheck", "alone/evidence.json")
	assert.Equal(t, exitDisagrees, code)
	assert.Regexp(t, fmt.Sprintf(`^evidence\.json: not confirmed; ([\d,]+) of ([\d,]+) values and 0 of %d files agree\. Because `, names), strings.Join(strings.Fields(stdout), " "))
	assert.Contains(t, stderr, fmt.Sprintf("not compared: curves.csv, report.html, evidence.pdf and %d more\nhint: put the files", names-3))
	code, stdout, _ = typed(t, "recheck", "alone/evidence.json", "--json")
	assert.Equal(t, exitDisagrees, code)
	var got struct {
		Agrees        bool
		Reasons       []string
		Values, Agree int
		Files         []struct{ Name, Result string }
	}
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	assert.False(t, got.Agrees)
	assert.Len(t, got.Reasons, 1)
	assert.Equal(t, got.Values, got.Agree)
	require.Len(t, got.Files, names)
	assert.Equal(t, "missing", got.Files[0].Result)
}

// What lies beside evidence under the name of a file may be anything: none of
// it is waited for, or read without end.
func TestRecheckBesideAnything(t *testing.T) {
	evidenceOf(t)
	in := func(name string) string { return filepath.Join("out", name) }
	require.NoError(t, os.Remove(in("turnover.svg")))
	require.NoError(t, os.Mkdir(in("turnover.svg"), 0o777))
	want := []string{"turnover.svg cannot be compared: it is a folder"}
	require.NoError(t, os.Remove(in("curves.csv")))
	huge, err := os.Create(in("curves.csv"))
	require.NoError(t, err)
	require.NoError(t, huge.Truncate(1<<33)) // of holes
	require.NoError(t, huge.Close())
	want = append(want, "curves.csv cannot be compared: it is too long")
	if err := os.Remove(in("turnover.png")); assert.NoError(t, err) && os.Symlink("nowhere", in("turnover.png")) == nil {
		want = append(want, "not found beside it, so not compared: turnover.png")
	}
	if _, err := exec.LookPath("mkfifo"); err == nil {
		require.NoError(t, os.Remove(in("record.svg")))
		for _, pipe := range []string{in("record.svg"), in(demoRainName)} { // one also where the record is looked for
			require.NoError(t, exec.Command("mkfifo", pipe).Run())
		}
		want = append(want, "record.svg cannot be compared: it is not a plain file")
	}
	notConfirmedBy(t, "beside", want...)
}

// The page must print the digest, also where the list was made to fit it.
func TestRecheckPageOfOtherEvidence(t *testing.T) {
	evidenceOf(t)
	page := writtenFiles(t)["report.html"]
	digits := regexp.MustCompile("evidence (([0-9a-f]{4} ){3}[0-9a-f]{4})").FindSubmatch(page)
	require.NotNil(t, digits)
	stdout := done(t, "recheck", "out/evidence.json")
	assert.Contains(t, stdout, "Evidence  "+string(digits[1])+", ", "it prints what the page prints")
	other := bytes.ReplaceAll(page, digits[1], []byte("0123 4567 89ab cdef"))
	require.NoError(t, os.WriteFile("out/report.html", other, 0o666))
	edit(t, "out/evidence.json", digest(page), digest(other))
	notConfirmedBy(t, "page", "report.html prints the digest of other evidence")
}

// A list that points elsewhere is refused, and nothing elsewhere is opened.
func TestRecheckListOfFiles(t *testing.T) {
	evidenceOf(t)
	whole, err := os.ReadFile("out/evidence.json")
	require.NoError(t, err)
	curves, err := os.ReadFile("out/curves.csv")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("curves.csv", curves, 0o666)) // where ../curves.csv would find it
	above, err := filepath.Abs("curves.csv")
	require.NoError(t, err)
	for _, c := range []struct{ from, to, want string }{
		{`"name": "curves.csv"`, `"name": "../curves.csv"`, `in its list of files "../curves.csv" is not the name of a file beside it`},
		{`"name": "curves.csv"`, `"name": "` + filepath.ToSlash(above) + `"`, `is not the name of a file beside it`},
		{digest(curves), strings.ToUpper(digest(curves)), "in its list of files curves.csv has no SHA-256 of 64 digits and small letters"},
		{digest(curves), digest(whole), "curves.csv is not the file that was written with this evidence"},
		{"  {\n   \"name\": \"curves.csv\",\n   \"sha256\": \"" + digest(curves) + "\"\n  },\n", "", "its list of files lacks curves.csv"},
	} {
		require.NoError(t, os.WriteFile("out/evidence.json", whole, 0o666))
		edit(t, "out/evidence.json", c.from, c.to)
		notConfirmedBy(t, c.want, c.want)
	}
}

// Evidence as it was before it listed files and knew its digest, and evidence
// with its results taken out, by one version or another: none is confirmed.
func TestRecheckNothingIsNeverEverything(t *testing.T) {
	evidenceOf(t)
	b, err := os.ReadFile("out/evidence.json")
	require.NoError(t, err)
	whole := string(b)
	end := strings.LastIndex(whole, ",\n \"digest\": ")
	start := strings.Index(whole, "\n \"results\": ") + len("\n \"results\": ")
	require.Less(t, start, end)
	for _, c := range []struct {
		what, text string
		want       []string
	}{
		{"before", whole[:end] + "\n}\n", []string{"the evidence has no digest of its inputs and results", "the evidence lists no files, so none was compared"}},
		{"emptied", whole[:start] + "{}" + whole[end:], []string{"no value of it agrees"}},
		{"emptied, other version", strings.Replace(whole[:start], `"version": "`+version, `"version": "9.9.9`, 1) + "{}" + whole[end:],
			[]string{"9.9.9 wrote it; " + version + " cannot confirm what another version wrote", "no value of it agrees"}},
	} {
		require.NoError(t, os.WriteFile("out/evidence.json", []byte(c.text), 0o666))
		stdout, _ := notConfirmedBy(t, c.what, c.want...)
		if c.what == "before" {
			m := regexp.MustCompile(`not confirmed; ([\d,]+) of ([\d,]+) values`).FindStringSubmatch(stdout)
			require.NotNil(t, m)
			assert.Equal(t, m[1], m[2], "it is run again all the same")
		}
	}
	require.NoError(t, os.WriteFile("out/evidence.json", []byte(strings.Replace(whole, "evidence/2", "evidence/3", 1)), 0o666))
	stderr := refused(t, exitDisagrees, "recheck", "out/evidence.json")
	assert.Equal(t, "tankodds: out/evidence.json:2: the evidence is of the schema tankodds/evidence/3; this version reads tankodds/evidence/2\nhint: take the version of tankodds that wrote it; the key version names it\n", stderr)
}

// One digit of any number in the file, through the whole command.
func TestRecheckEveryDigit(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole program many times")
	}
	evidenceOf(t)
	whole, err := os.ReadFile("out/evidence.json")
	require.NoError(t, err)
	results := bytes.Index(whole, []byte("\n \"results\": "))
	require.Positive(t, results)
	digits := regexp.MustCompile("[0-9]").FindAllIndex(whole, -1)
	rng := rand.New(rand.NewPCG(5, 6))
	for range 30 {
		at := 0
		for at < results { // inputs could ask for long runs
			at = digits[rng.IntN(len(digits))][0]
		}
		b := bytes.Clone(whole)
		b[at] = '0' + (b[at]-'0'+1)%10
		require.NoError(t, os.WriteFile("out/evidence.json", b, 0o666))
		code, stdout, stderr := typed(t, "recheck", "out/evidence.json")
		if code == exitFailed { // a number may not begin with 0
			assert.Contains(t, stderr, ": not evidence: ")
			continue
		}
		require.Equal(t, exitDisagrees, code, "byte %d: %s%s", at, stdout, stderr)
	}
}
