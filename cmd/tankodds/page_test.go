package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// served runs the command page, calls visit with its address once it is printed,
// stops it as Ctrl-C does and returns what it printed.
func served(t *testing.T, visit func(address string), args ...string) string {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	out, in := io.Pipe()
	var stderr bytes.Buffer
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, append([]string{"page"}, args...), strings.NewReader(""), in, &stderr)
		in.Close()
	}()
	lines := bufio.NewReader(out)
	first, err := lines.ReadString('\n')
	require.NoError(t, err, stderr.String())
	_, address, _ := strings.Cut(strings.TrimSpace(first), "the page is at ")
	if visit != nil {
		visit(address)
	}
	second, err := lines.ReadString('\n')
	require.NoError(t, err)
	stop()
	_, err = io.ReadAll(lines)
	require.NoError(t, err)
	assert.Equal(t, exitDone, <-code, "Ctrl-C is how it ends")
	assert.Empty(t, stderr.String())
	return first + second
}

// pageAsks posts a question to the page and returns the last line of its answer.
func pageAsks(t *testing.T, address, path string, question map[string]any) map[string]json.RawMessage {
	t.Helper()
	body, err := json.Marshal(question)
	require.NoError(t, err)
	reply, err := http.Post(address+path, "application/json", bytes.NewReader(body))
	require.NoError(t, err)
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, reply.StatusCode, string(text))
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	out := map[string]json.RawMessage{}
	require.NoError(t, json.Unmarshal([]byte(lines[len(lines)-1]), &out))
	return out
}

func pageGets(t *testing.T, url string) []byte {
	t.Helper()
	reply, err := http.Get(url)
	require.NoError(t, err)
	defer reply.Body.Close()
	body, err := io.ReadAll(reply.Body)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, reply.StatusCode, url)
	return body
}

// What the page gives away is byte for byte what the command beside it writes,
// for the example, for US units, and for a site of the user's own.
func TestPageGivesWhatTheCommandWrites(t *testing.T) {
	t.Parallel()
	own := t.TempDir()
	gauge := filepath.Join(own, "gauge.csv")
	require.NoError(t, os.WriteFile(gauge, []byte(content(t, "../../testdata/seattle-weather.csv")), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(own, "a.yaml"), []byte("rain: {file: gauge.csv}\nroofs: [{area: 150 m2, surface: tile}]\nuses: [{daily: 120 L}]\ntarget: {measure: volume, reliability: 0.7}\nsimulation: {years: 300}\n"), 0o666))
	for name, c := range map[string]struct {
		args, flags []string
		edits       []map[string]string
	}{
		"the example":          {nil, nil, []map[string]string{{"path": "simulation.years", "text": "200"}, {"path": "roofs.0.area", "text": "150 m2"}}},
		"in the other units":   {[]string{"--units", "us"}, []string{"--units=us", "--horizon=20"}, []map[string]string{{"path": "simulation.years", "text": "200"}}},
		"a site of one's own":  {[]string{filepath.Join(own, "a.yaml")}, nil, nil},
		"with stressed months": {[]string{filepath.Join(own, "a.yaml")}, []string{"--rain-scale=jun-aug=0.8", "--record-error=off"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			served(t, func(address string) {
				var start struct {
					Site  string            `json:"site"`
					Files map[string]string `json:"files"`
				}
				require.NoError(t, json.Unmarshal(pageGets(t, address+"start"), &start))
				q := map[string]any{"site": start.Site, "files": start.Files, "flags": c.flags, "edits": c.edits}
				told := pageAsks(t, address, "site", q)
				assert.JSONEq(t, "[]", string(told["problems"]))
				var text string
				require.NoError(t, json.Unmarshal(told["site"], &text))
				q["site"] = text
				var a struct {
					Key, Command string
					Files        []string
				}
				require.NoError(t, json.Unmarshal(pageAsks(t, address, "answer", q)["answer"], &a))
				assert.Equal(t, []string{"report.html", "evidence.pdf", "curves.csv", "evidence.json"}, a.Files)

				dir := t.TempDir()
				require.NoError(t, os.WriteFile(filepath.Join(dir, "site.yaml"), []byte(text), 0o666))
				for name, sum := range start.Files {
					require.NoError(t, os.WriteFile(filepath.Join(dir, name), pageGets(t, address+"record/"+sum+"/"+name), 0o666))
				}
				words := strings.Fields(a.Command)
				require.Equal(t, "tankodds", words[0])
				inFolder(t, dir, append(words[1:], "--quiet"))
				entries, err := os.ReadDir(filepath.Join(dir, "sheet"))
				require.NoError(t, err)
				require.Greater(t, len(entries), 10)
				for _, e := range entries {
					if e.Name() != manifestName {
						assert.True(t, content(t, filepath.Join(dir, "sheet", e.Name())) == string(pageGets(t, address+"answer/"+a.Key+"/"+e.Name())), e.Name())
					}
				}
			}, append([]string{"--no-browser"}, c.args...)...)
		})
	}
}

// inFolder runs the program, which is this test's, in a folder.
func inFolder(t *testing.T, dir string, args []string) {
	t.Helper()
	cmd := program(args...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
}

// A site file that cannot be read, or a record that it names, is told before the
// page is served; a port that is taken, too.
func TestPageRefuses(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	site := filepath.Join(dir, "a.yaml")
	require.NoError(t, os.WriteFile(site, []byte("rain: {file: nothing.csv}\n"), 0o666))
	code, _, stderr := typed(t, "page", "--no-browser", site)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "nothing.csv cannot be read")
	code, _, stderr = typed(t, "page", "--no-browser", filepath.Join(dir, "b.yaml"))
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "hint: tankodds new writes a site file to start from")
	served(t, func(address string) {
		port := strings.Trim(address[strings.LastIndex(address, ":")+1:], "/")
		code, _, stderr := typed(t, "page", "--no-browser", "--port", port)
		assert.Equal(t, exitFailed, code)
		assert.Contains(t, stderr, "tankodds: port "+port+" cannot be used: ")
		assert.Contains(t, stderr, "hint: choose another with --port")
	}, "--no-browser")
}
