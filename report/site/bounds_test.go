package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A site file is as long as a page of text; every text and every list in it
// has a length that a sheet can show. The error names the line, the key and
// what it may be.
func TestSiteBounds(t *testing.T) {
	times := strings.Repeat
	for _, c := range []struct{ text, want string }{
		{"name: " + times("ł", 201), "site.yaml:1: name: it has 201 letters; it may have 200"},
		{"name: x\nclient: " + times("x ", 5000), "site.yaml:2: client: it has 9,999 letters; it may have 200"},
		{"author: " + times("x", 201), "site.yaml:1: author: it has 201 letters; it may have 200"},
		{"location: " + times("x", 201), "site.yaml:1: location: it has 201 letters; it may have 200"},
		{"note: |\n  " + times("x", 2001), "site.yaml:1: note: it has 2,001 letters; it may have 2,000"},
		{"roofs:\n- {area: 1 m2, name: " + times("x", 101) + "}", "site.yaml:2: name: it has 101 letters; it may have 100"},
		{"uses:\n- {daily: 1 L, name: " + times("x", 101) + "}", "site.yaml:2: name: it has 101 letters; it may have 100"},
		{"tank: {currency: " + times("x", 101) + "}", "site.yaml:1: currency: it has 101 letters; it may have 100"},
		{"rain: {station: " + times("x", 101) + "}", "site.yaml:1: station: it has 101 letters; it may have 100"},
		{"rain: {file: " + times("x", 20_001) + "}", "site.yaml:1: file: it has 20,001 letters; it may have 20,000"},
		{"roofs: [" + times("{area: 1 m2},", 101) + "]", "site.yaml:1: roofs: it has 101 entries; it may have 100"},
		{"uses: [" + times("{daily: 1 L},", 101) + "]", "site.yaml:1: uses: it has 101 entries; it may have 100"},
		{"uses: [{monthly: [" + times("1 L,", 13) + "]}]", "site.yaml:1: monthly: it has 13 entries; it may have 12"},
		{"uses: [{daily: 1 L, days: [" + times("mon,", 8) + "]}]", "site.yaml:1: days: it has 8 entries; it may have 7"},
		{"tank: {sizes: [" + times("1 L,", 1001) + "]}", "site.yaml:1: sizes: it has 1,001 entries; it may have 1,000"},
		{"tank: {sizes: '1L" + times(",1L", 1000) + "'}", "site.yaml:1: sizes: 1001 values are listed; 1000 are the most"},
		// Aliases stand for what they name and are never written out; what is
		// nested deeply is refused.
		{"roofs: &r [{area: 1 m2}, *r]", "site.yaml:1: a roof is written as keys and values: "},
		{"a: &a [x,x,x,x]\nb: &b [*a,*a,*a,*a]\nname: x", "site.yaml:1: unknown key \"a\""},
		{"name: " + times("[", 20_000), "site.yaml:1: lists stand within lists, too deep to be meant"},
		{"name: " + times("[", 5000) + times("]", 5000), "site.yaml:1: name: it takes one value, not a list or keys"},
	} {
		err := NewPlan(Size).decode("site.yaml", []byte(c.text))
		require.Error(t, err, c.want)
		assert.True(t, strings.HasPrefix(err.Error(), c.want), "%s, not %s", err, c.want)
	}
	p := decoded(t, "name: "+times("ł", 200)+"\nnote: |\n  two\n  lines\n")
	assert.Equal(t, times("ł", 200), p.Name)
	assert.Equal(t, "two lines", p.Cover.Note)
}
