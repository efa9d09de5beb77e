package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/units"
	"tankodds/sim"
)

// A form asks for every key of a site file once, by a name and with help.
func TestFormHoldsEveryKey(t *testing.T) {
	for _, u := range []units.System{units.SI, units.US} {
		asked := map[string]bool{}
		labels := map[string]string{}
		for _, part := range Form(u) {
			for _, f := range part.Fields {
				path := strings.Replace(f.Path, ".#.", ".", 1)
				assert.False(t, asked[path], path)
				asked[path] = true
				require.NotEmpty(t, f.Label, path)
				assert.Equal(t, strings.ToUpper(f.Label[:1]), f.Label[:1], path)
				assert.LessOrEqual(t, len(f.Label), 34, path)
				assert.Regexp(t, `^[^a-z].*\.$`, f.Help, path)
				assert.NotRegexp(t, "`|\\.\\.$|--", f.Help, path)
				other := labels[part.Key+f.Label]
				assert.Empty(t, other, "%s: %s and %s have one name", part.Key, path, other)
				labels[part.Key+f.Label] = path
			}
		}
		for _, p := range Table {
			if p.Key != "" && p.Doc != "" {
				assert.True(t, asked[p.Key], p.Key)
			}
		}
		assert.Greater(t, len(asked), 70)
	}
}

// What a field shows in the other system is what stands there, to three digits.
func TestHeldIsShownInTheOtherUnits(t *testing.T) {
	const text = "name: 20 m2 of moss\nroofs: [{area: 180 m2, first_flush: 0.5 mm, filter: 90 %}]\nuses: [{daily: 700 L/week}, {monthly: [0 L, 100 L, 0 L, 0 L, 0 L, 0 L, 0 L, 0 L, 0 L, 0 L, 0 L, 0 L]}]\n" +
		"tank: {sizes: [1000 L, 2000 L], prices: {2000 L: 900}, dead: 3 %}\n"
	us, err := Held("a.yaml", []byte(text), units.US)
	require.NoError(t, err)
	si, err := Held("a.yaml", []byte(text), units.SI)
	require.NoError(t, err)
	for path, want := range map[string]string{
		"name": "20 m2 of moss", "roofs.0.area": "1940 sqft", "roofs.0.first_flush": "0.0197 in", "roofs.0.filter": "90 %",
		"uses.0.daily": "26.4 gal/day", "tank.sizes": "[264 gal, 528 gal]", "tank.dead": "3 %",
	} {
		assert.Equal(t, si[path].Text, us[path].Text, path)
		assert.Equal(t, si[path].Text, si[path].Shown, path)
		assert.Equal(t, want, us[path].Shown, path)
	}
	for path, v := range us { // what is shown can be typed
		if strings.HasPrefix(path, "roofs") || strings.HasPrefix(path, "uses") {
			out, err := Edited("a.yaml", []byte(text), Edit{path, v.Shown})
			require.NoError(t, err, path)
			assert.NoError(t, NewPlan(Size).decode("a.yaml", out), "%s: %s", path, v.Shown)
		}
	}
}

// What is wrong is told of each field by itself, and of the whole where no field
// is.
func TestProblems(t *testing.T) {
	for _, c := range []struct {
		text string
		want []Problem
	}{
		{"rain: {file: a.csv}\nroofs: [{area: 9 m2}]\nuses: [{daily: 9 L}]\n", nil},
		{
			"rain: {file: a.csv, since: x}\nroofs:\n  - area: 150\n    runoff: 2\nuses:\n  - daily: 9 L\n",
			[]Problem{{Path: "rain.since", Line: 1}, {Path: "roofs.0.area", Line: 3}, {Path: "roofs.0.runoff", Line: 4}},
		},
		{"rain: {file: a.csv}\nroofs: [{area: 9 m2}]\n", []Problem{{Text: "no use of water; give it, as in uses: [{daily: 300 L}]"}}},
		{"roofs: [{area: 9 m2, colour: red}]\n", []Problem{{Line: 1, Text: "unknown key \"colour\"; keys here are name, area, surface, runoff, wetting, first_flush, filter, drains, surge, pump"}}},
		{"a: [b", []Problem{{Line: 1, Text: "a bracket [ is opened, here or above, and not closed, or a comma is missing"}}},
		{"", []Problem{{Text: "the site file is empty"}}},
	} {
		got := Problems("a.yaml", []byte(c.text))
		require.Len(t, got, len(c.want), c.text)
		for i, want := range c.want {
			assert.Equal(t, want.Path, got[i].Path, c.text)
			assert.Equal(t, want.Line, got[i].Line, c.text)
			assert.NotEmpty(t, got[i].Text)
			if want.Text != "" {
				assert.Equal(t, want.Text, got[i].Text)
			}
		}
	}
}

// Roofs and uses are scaled together, to what is asked, in the units that they were
// written in.
func TestScaled(t *testing.T) {
	const text = "roofs:\n  - area: 100 m2 # measured\n  - area: 1076 sqft\nuses:\n  - daily: 70 L\n    days: weekdays\n  - monthly: [0 L, 0 L, 0 L, 0 L, 0 L, 1000 L, 1000 L, 0 L, 0 L, 0 L, 0 L, 0 L]\n  - people: 3\n    each: 10 L\n"
	out, err := Scaled("a.yaml", []byte(text), 100, 40)
	require.NoError(t, err)
	assert.Contains(t, string(out), "area: 50.01 m2 # measured")
	assert.Contains(t, string(out), "area: 538 sqft")
	after := decoded(t, string(out))
	assert.InEpsilon(t, 100, sim.TotalArea(after.Study.Roofs), 1e-3)
	assert.InEpsilon(t, 40, sim.MeanDemand(after.Study.Uses), 1e-3)
	same, err := Scaled("a.yaml", []byte(text), 0, 0)
	require.NoError(t, err)
	assert.Equal(t, text, string(same))
}

// Records are called by their plain names where those are known.
func TestWithoutFolders(t *testing.T) {
	const text = "rain: {file: ../data/x.csv, fill_from: 'C:\\rain\\y.csv', neighbours: [n/a.csv, b.csv, n/c.csv]}\n"
	known := map[string]string{"x.csv": "1", "y.csv": "2", "a.csv": "3", "b.csv": "4"}
	out, err := Edited("a.yaml", []byte(text), WithoutFolders("a.yaml", []byte(text), known)...)
	require.NoError(t, err)
	s := SourceOf("a.yaml", out)
	assert.Equal(t, "x.csv", s.File)
	assert.Equal(t, "y.csv", s.Second)
	require.Len(t, s.Near, 3)
	assert.Equal(t, []string{"a.csv", "b.csv", "n/c.csv"}, []string{s.Near[0].File, s.Near[1].File, s.Near[2].File})
	assert.Empty(t, WithoutFolders("a.yaml", out, known))
}

// What is told of a record and of the units needs no site that is right.
func TestSourceAndUnitsOfAWrongSite(t *testing.T) {
	const text = "rain: {file: x.csv, unit: in, since: never}\nroofs: [{area: 1500 sqft}]\nuses: [{daily: nothing}]\n"
	s := SourceOf("a.yaml", []byte(text))
	assert.Equal(t, "x.csv", s.File)
	assert.Equal(t, "in", s.Unit)
	assert.Zero(t, s.Since)
	assert.Equal(t, units.US, SystemOf("a.yaml", []byte(text), nil))
	assert.Equal(t, units.SI, SystemOf("a.yaml", []byte(text), []string{"--units=si"}))
	assert.Equal(t, units.SI, SystemOf("a.yaml", []byte("a: [b"), nil))
}

// FuzzEdit holds what edits make of any text: nothing panics, and a text that was a
// site file is one still.
func FuzzEdit(f *testing.F) {
	f.Add("# a\nroofs:\n  - area: 5 m2 # b\n    # c\nuses: [{monthly: [1 L, 2 L]}]\n", "roofs.0.area", "9 m2")
	f.Add("rain: {file: a.csv}\n", "rain.neighbours", "[a, b]")
	f.Add("roofs:\n- &a {area: 9 m2}\n- *a\n", "roofs.1.area", "8 m2")
	f.Add("tank: # x\n  dead: 3 %\n# y\n", "tank.dead", "")
	f.Fuzz(func(t *testing.T, text, path, value string) {
		Problems("a.yaml", []byte(text))
		SystemOf("a.yaml", []byte(text), nil)
		Scaled("a.yaml", []byte(text), 10, 10)
		out, err := Edited("a.yaml", []byte(text), Edit{path, value})
		if err != nil {
			return
		}
		p := &Plan{File: "a.yaml"}
		if _, err := p.parse(out); err != nil {
			t.Fatalf("%q is no YAML any more: %v", out, err)
		}
	})
}
