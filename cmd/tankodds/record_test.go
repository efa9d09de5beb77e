package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// runRecordTool runs the whole tool in this process.
func runRecordTool(t *testing.T, stdin string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(stdin), &out, &errs)
	return code, out.String(), errs.String()
}

func TestRecordDemoSheet(t *testing.T) {
	for _, system := range []string{"si", "us"} {
		code, out, errs := runRecordTool(t, "", "record", "--demo", "--units", system)
		require.Equal(t, exitDone, code, errs)
		assert.Empty(t, errs)
		assert.Contains(t, out, demoName)
		for _, line := range strings.Split(out, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
		golden(t, "record-demo-"+system+".txt", out)
	}
}

// Probabilities pass through logarithms and exponentials, whose last bit may
// differ between processors: numbers are compared to twelve figures, and the
// rest exactly.
func TestRecordDemoJSON(t *testing.T) {
	code, out, errs := runRecordTool(t, "", "record", "--demo", "--json")
	require.Equal(t, exitDone, code, errs)
	require.Equal(t, 1, strings.Count(out, "\n"), "one line")
	var got any
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	var pretty bytes.Buffer
	require.NoError(t, json.Indent(&pretty, []byte(out), "", "  "))
	path := filepath.Join("testdata", "record-demo.json")
	if *update {
		require.NoError(t, os.WriteFile(path, pretty.Bytes(), 0o666))
	}
	b, err := os.ReadFile(path)
	require.NoError(t, err, "go test -update writes it")
	var want any
	require.NoError(t, json.Unmarshal(b, &want))
	sameJSON(t, "", want, got)
}

func sameJSON(t *testing.T, at string, want, got any) {
	t.Helper()
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		require.True(t, ok, at)
		require.Len(t, g, len(w), at)
		for k := range w {
			require.Contains(t, g, k, at)
			sameJSON(t, at+"/"+k, w[k], g[k])
		}
	case []any:
		g, ok := got.([]any)
		require.True(t, ok, at)
		require.Len(t, g, len(w), at)
		for i := range w {
			sameJSON(t, at, w[i], g[i])
		}
	case float64:
		g, ok := got.(float64)
		require.True(t, ok, at)
		assert.InDelta(t, w, g, 1e-12*max(1, w, -w), at)
	default:
		assert.Equal(t, want, got, at)
	}
}

func TestRecordSeveralFiles(t *testing.T) {
	one := filepath.Join(t.TempDir(), "one.csv")
	require.NoError(t, os.WriteFile(one, []byte("date,rain_mm\n2001-01-30,0\n2001-01-31,12.5\n"), 0o666))

	code, out, errs := runRecordTool(t, "date,rain_mm\n2002-03-01,7\n2002-03-02,\n2002-03-03,1\n", "record", "--json", one, "-")
	require.Equal(t, exitDone, code, errs)
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	require.Len(t, lines, 2)
	for i, want := range []struct {
		file        string
		days, holes float64
	}{{one, 2, 0}, {"-", 3, 1}} {
		var got map[string]any
		require.NoError(t, json.Unmarshal([]byte(lines[i]), &got))
		assert.Equal(t, want.file, got["file"])
		assert.Equal(t, want.days, got["days"])
		assert.Equal(t, want.holes, got["missing"])
	}

	code, out, _ = runRecordTool(t, "", "record", one, one)
	require.Equal(t, exitDone, code)
	assert.Equal(t, 1, strings.Count(out, strings.Repeat("-", 80)), "a rule between two sheets")
}

// A bad file leaves nothing half said, and says what would mend it.
func TestRecordRefuses(t *testing.T) {
	dir := t.TempDir()
	good, empty := filepath.Join(dir, "good.csv"), filepath.Join(dir, "empty.csv")
	require.NoError(t, os.WriteFile(good, []byte("date,rain_mm\n2001-01-30,0\n2001-01-31,12.5\n"), 0o666))
	require.NoError(t, os.WriteFile(empty, nil, 0o666))
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"record"}, exitUsage, "no rain record is named"},
		{[]string{"record", "-", "-"}, exitUsage, "standard input can be read only once"},
		{[]string{"record", "--units", "cubits", good}, exitUsage, "--units"},
		{[]string{"record", "--water-year", "smarch", good}, exitUsage, "--water-year"},
		{[]string{"record", good, empty}, exitFailed, "empty.csv"},
		{[]string{"record", filepath.Join(dir, "none.csv")}, exitFailed, "none.csv"},
		{[]string{"record", "--since", "2002", good}, exitFailed, "2002"},
	} {
		code, out, errs := runRecordTool(t, "", c.args...)
		assert.Equal(t, c.code, code, "%v", c.args)
		assert.Empty(t, out, "%v", c.args)
		assert.Contains(t, errs, c.says)
		lines := strings.Split(strings.TrimSuffix(errs, "\n"), "\n")
		assert.True(t, strings.HasPrefix(lines[0], "tankodds: "), errs)
		assert.LessOrEqual(t, len(lines), 2, errs)
	}
}

// A file in inches is answered in inches unless the flag says otherwise.
func TestRecordUnitsFollowTheFile(t *testing.T) {
	f := filepath.Join(t.TempDir(), "inches.csv")
	require.NoError(t, os.WriteFile(f, []byte("date,rain_in\n2001-01-30,0\n2001-01-31,0.5\n"), 0o666))
	code, out, errs := runRecordTool(t, "", "record", "--unit", "in", f)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "0.50 in on 2001-01-31")
	_, out, _ = runRecordTool(t, "", "record", "--unit", "in", "--units", "si", f)
	assert.Contains(t, out, "12.7 mm on 2001-01-31")
}
