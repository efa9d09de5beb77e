package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	files = []packed{
		{"tankodds", []byte("a program"), true},
		{"README.md", []byte("read this"), false},
		{"completions/_tankodds", []byte("zsh"), false},
	}
	when = time.Unix(1_790_000_000, 0)
)

// An archive does not depend on the order in which files come, on the clock or on
// the time zone, and holds what was put in.
func TestPack(t *testing.T) {
	turned := slices.Clone(files)
	slices.Reverse(turned)
	for _, name := range []string{"a.tar.gz", "a.zip"} {
		one, err := pack(name, "folder", files, when)
		require.NoError(t, err)
		two, err := pack(name, "folder", turned, when.In(time.FixedZone("there", 5*3600)))
		require.NoError(t, err)
		assert.Equal(t, sum(one), sum(two), name)
		later, err := pack(name, "folder", files, when.Add(time.Hour))
		require.NoError(t, err)
		assert.NotEqual(t, sum(one), sum(later), name)
	}
}

func TestTar(t *testing.T) {
	b, err := pack("a.tar.gz", "folder", files, when)
	require.NoError(t, err)
	z, err := gzip.NewReader(bytes.NewReader(b))
	require.NoError(t, err)
	assert.True(t, z.ModTime.IsZero())
	assert.Empty(t, z.Name)
	r := tar.NewReader(z)
	var names []string
	for {
		h, err := r.Next()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		names = append(names, h.Name)
		assert.True(t, h.ModTime.Equal(when), h.ModTime)
		assert.Zero(t, h.Uid+h.Gid)
		assert.Empty(t, h.Uname+h.Gname)
		assert.Equal(t, h.Name == "folder/tankodds", h.Mode == 0o755, h.Name)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		if h.Name == "folder/README.md" {
			assert.Equal(t, "read this", string(text))
			assert.Equal(t, int64(0o644), h.Mode)
		}
	}
	assert.Equal(t, []string{"folder/README.md", "folder/completions/_tankodds", "folder/tankodds"}, names)
}

func TestZip(t *testing.T) {
	b, err := pack("a.zip", "folder", files, when)
	require.NoError(t, err)
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	require.NoError(t, err)
	require.Len(t, z.File, 3)
	for _, f := range z.File {
		assert.True(t, f.Modified.Equal(when), f.Modified)
		assert.Equal(t, f.Name == "folder/tankodds", f.Mode() == 0o755, f.Name)
	}
	f, err := z.Open("folder/completions/_tankodds")
	require.NoError(t, err)
	text, err := io.ReadAll(f)
	require.NoError(t, err)
	assert.Equal(t, "zsh", string(text))
}

// A text that parts share stands once; a part without a licence stops the work.
func TestNotice(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	}
	write("a/LICENSE", "may be used\r\n\f\r\n")
	write("a/licensed.go", "package a")
	write("b/COPYING", "may be used")
	write("b/deep/LICENSE.txt", "deep")
	write("b/deep/er/code.go", "package er")
	write("b/other/LICENSE", "not linked")
	write("b/THIRD_PARTY_LICENSES/Fike", "third")
	write("c/README", "no licence")
	a := &part{name: "a v1", dir: filepath.Join(dir, "a")}
	b := &part{name: "b v2", dir: filepath.Join(dir, "b"), folders: map[string]bool{filepath.Join(dir, "b", "deep", "er"): true}}
	text, err := notice([]*part{a, b})
	require.NoError(t, err)
	assert.Contains(t, text, "\na v1\n    texts 1\nb v2\n    texts 1, 2, 3\n")
	assert.Contains(t, text, "\nText 1\n    a: LICENSE\n    b: COPYING\n")
	assert.Contains(t, text, "\n\nmay be used\n\n")
	assert.Contains(t, text, "third\n")
	assert.Contains(t, text, "deep\n")
	assert.NotContains(t, text, "not linked")
	assert.NotContains(t, text, "package")

	_, err = notice([]*part{a, {name: "c v3", dir: filepath.Join(dir, "c")}})
	assert.ErrorContains(t, err, "c v3: no licence found")
}

// Two builds that differ in a byte are told.
func TestSame(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"a": "xyz", "b": "xyz", "c": "xyZ"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	assert.NoError(t, same(filepath.Join(dir, "a"), filepath.Join(dir, "b")))
	assert.ErrorContains(t, same(filepath.Join(dir, "a"), filepath.Join(dir, "c")), "two builds differ")
}

// A program that says nothing of its commit, or of another Go, is not handed out; this
// test's is one.
func TestCheckProgram(t *testing.T) {
	own, err := os.Executable()
	require.NoError(t, err)
	assert.ErrorContains(t, checkProgram(own, "linux/amd64", "0123", runtime.Version(), nil), "and should")
	assert.ErrorContains(t, checkProgram(own, "linux/amd64", "0123", "go1.1", nil), "built by "+runtime.Version())
}

// The Go that builds is the one asked for, of this machine or of no place.
func TestTakeGo(t *testing.T) {
	t.Setenv("GOTOOLCHAIN", "local")
	r := &release{toolchain: "local"}
	require.NoError(t, r.takeGo())
	assert.Equal(t, runtime.Version(), r.toolchain)
	t.Setenv("GOPROXY", "off")
	assert.ErrorContains(t, (&release{toolchain: "go1.26.0-none"}).takeGo(), "-go local")
}

func TestWithoutTool(t *testing.T) {
	list := `{"version":1,"bomFormat":"CycloneDX","metadata":{"tools":[{"name":"x","hashes":[{"content":"1"}]}]},"components":[{"name":"a","hashes":[{"content":"2"}],"purl":"p&q"}]}`
	got, err := withoutTool([]byte(list))
	require.NoError(t, err)
	assert.JSONEq(t, `{"version":1,"bomFormat":"CycloneDX","metadata":{"tools":[{"name":"x"}]},"components":[{"name":"a","hashes":[{"content":"2"}],"purl":"p&q"}]}`, string(got))
	assert.Contains(t, string(got), "p&q")
	for _, bad := range []string{"", "{}", `{"bomFormat":"CycloneDX","components":[]}`} {
		_, err := withoutTool([]byte(bad))
		assert.Error(t, err, bad)
	}
}

func TestTime(t *testing.T) {
	r := &release{}
	t.Setenv("SOURCE_DATE_EPOCH", "1790000000")
	got, err := r.time()
	require.NoError(t, err)
	assert.True(t, got.Equal(when))
	t.Setenv("SOURCE_DATE_EPOCH", "yesterday")
	_, err = r.time()
	assert.ErrorContains(t, err, "yesterday")
}

func TestRefused(t *testing.T) {
	dir := t.TempDir()
	assert.ErrorContains(t, (&release{out: dir, platforms: []string{"plan9/amd64"}}).run(), "plan9/amd64")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "kept"), nil, 0o666))
	assert.ErrorContains(t, (&release{out: dir, platforms: []string{"linux/amd64"}}).run(), "not empty")
}

func TestOwner(t *testing.T) {
	parts := []*part{{name: "Go"}, {name: "go.yaml.in/yaml/v3 v3.0.6"}, {name: "golang.org/x/net v0.62.0"}}
	for symbol, want := range map[string]string{
		"go.yaml.in/yaml/v3.(*parser).parse":       "go.yaml.in/yaml/v3",
		"type:.eq.go.yaml.in/yaml/v3.Node":         "go.yaml.in/yaml/v3",
		"golang.org/x/net/html.Parse":              "golang.org/x/net",
		"vendor/golang.org/x/net/idna.idnaValues":  "Go",
		"tankodds/sim.Size":                        "tankodds",
		"type:.hash.tankodds/sim.Roof":             "tankodds",
		"main.run":                                 "tankodds",
		"runtime.main":                             "Go",
		"slices.SortFunc[go.shape.[]string,string": "Go",
	} {
		assert.Equal(t, want, owner(symbol, parts), symbol)
	}
}
