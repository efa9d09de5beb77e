package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/units"
)

func edited(t *testing.T, text string, edits ...Edit) string {
	t.Helper()
	out, err := Edited("a.yaml", []byte(text), edits...)
	require.NoError(t, err)
	return string(out)
}

// comments are the remarks of a text, in order, without how far they stand in.
func comments(text string) (out []string) {
	for line := range strings.Lines(text) {
		if _, remark, ok := strings.Cut(line, "# "); ok {
			out = append(out, strings.TrimSpace(remark))
		}
	}
	return out
}

// What is not changed stays, with every remark.
func TestEditKeepsWhatIsNotChanged(t *testing.T) {
	for _, u := range []units.System{units.SI, units.US} {
		text := File(u)
		assert.Equal(t, text, edited(t, text), "nothing is changed")
		assert.Equal(t, text, edited(t, text, Edit{"name", "Tarn Lane pottery studio"}, Edit{"costs.power", ""}))
		out := edited(t, text, Edit{"roofs.0.area", "200 m2"}, Edit{"target.reliability", "0.95"})
		before, after := comments(text), comments(out)
		require.Greater(t, len(before), 100)
		assert.Equal(t, strings.Join(before, "\n"), strings.Join(after, "\n"))
		p := decoded(t, out)
		require.NoError(t, p.finish())
		assert.Equal(t, 200.0, p.Study.Roofs[0].Area)
		assert.Equal(t, 0.95, p.Study.Target)
		was := decoded(t, text)
		require.NoError(t, was.finish())
		p.Study.Roofs[0].Area, p.Study.Areas[0], p.Study.Target = was.Study.Roofs[0].Area, was.Study.Areas[0], was.Study.Target
		assert.Equal(t, was.Study, p.Study, "all else is as it was")
	}
}

// Every key can be set where it was not, taken away, and set again.
func TestEditEveryKey(t *testing.T) {
	tried := 0
	for _, row := range Table {
		if row.Key == "" || row.Doc == "" {
			continue
		}
		text := row.Example
		if text == "" {
			text = row.taken(Size, units.SI)
		}
		if text == "" || row.Must {
			text = "12 m2"
		}
		path := row.Key
		if row.each() {
			path = row.section() + ".0." + row.name()
		}
		base := "name: a\nroofs: [{name: b, area: 9 m2}]\nuses: [{name: c, daily: 9 L}]\n"
		out := edited(t, base, Edit{path, text})
		assert.Equal(t, text, heldAt(t, out, path), path)
		again := edited(t, out, Edit{path, ""})
		assert.Empty(t, heldAt(t, again, path), path)
		tried++
	}
	assert.Greater(t, tried, 60)
}

func heldAt(t *testing.T, text, path string) string {
	t.Helper()
	all, err := Held("a.yaml", []byte(text), units.SI)
	require.NoError(t, err)
	return all[path].Text
}

func TestEditLists(t *testing.T) {
	base := "roofs:\n  # the large one\n  - area: 9 m2 # measured\n  - area: 8 m2\n"
	out := edited(t, base, Edit{"roofs.2.area", "7 m2"}, Edit{"roofs.2.surface", "tile"}, Edit{"uses.0.daily", "50 L"}, Edit{"rain.file", "x.csv"})
	assert.Equal(t, "roofs:\n  # the large one\n  - area: 9 m2 # measured\n  - area: 8 m2\n  - area: 7 m2\n    surface: tile\nuses:\n  - daily: 50 L\nrain:\n  file: x.csv\n", out)
	assert.Equal(t, "roofs:\n  # the large one\n  - area: 9 m2 # measured\n  - area: 7 m2\n    surface: tile\n",
		edited(t, out, Edit{"roofs.1", ""}, Edit{"uses.0", ""}, Edit{"rain.file", ""}))
	assert.Equal(t, "tank:\n  prices: {1000 L: 900}\n  sizes: [1 L, 2 L]\n",
		edited(t, "tank: {prices: {1000 L: 900}}", Edit{"tank.sizes", "[1 L, 2 L]"}, Edit{"tank.dead", ""})[:0]+
			edited(t, "tank:\n  prices: {1000 L: 900}\n", Edit{"tank.sizes", "[1 L, 2 L]"}))
	assert.Equal(t, "name: 'yes: [no'\n", edited(t, "name: a\n", Edit{"name", "yes: [no"}), "what YAML would read otherwise is quoted")
}

func TestEditRefuses(t *testing.T) {
	for _, path := range []string{"", "roofs", "roofs.x.area", "roofs.-1.area", "roofs.2.area", "roofs.0.area.b", "rain.file.x", "nothing.file", "uses.9"} {
		_, err := Edited("a.yaml", []byte("roofs: [{area: 9 m2}]\n"), Edit{path, "9 m2"})
		if path == "" {
			continue
		}
		assert.ErrorContains(t, err, "no such place", path)
	}
	_, err := Edited("a.yaml", []byte("a: [b"), Edit{"name", "x"})
	assert.ErrorContains(t, err, "a.yaml:1: a bracket [ is opened")
	_, err = Edited("a.yaml", []byte("- a\n"), Edit{"name", "x"})
	assert.ErrorContains(t, err, "a.yaml:1: a site file is written as keys and values")
}

// An entry is taken away by no text alone.
func TestEditAnEntryTakesNoText(t *testing.T) {
	const text = "roofs: [{area: 9 m2}, {area: 8 m2}]\n"
	_, err := Edited("a.yaml", []byte(text), Edit{"roofs.1", "7 m2"})
	assert.ErrorContains(t, err, "no such place")
	_, err = Edited("a.yaml", []byte(text), Edit{"roofs.2", ""})
	assert.ErrorContains(t, err, "no such place")
	assert.NotContains(t, edited(t, text, Edit{"roofs.1", ""}), "8 m2")
}
