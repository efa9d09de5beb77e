package codec

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A value is found on the line on which it stands, whatever stands before it.
func TestLineOf(t *testing.T) {
	text := `{
 "a": {"c": 1},
 "list": [
  {"c": 2},
  {
   "d": [[1],
    [2, {"e": "}]"}]],
   "c": 3
  }
 ],
 "c":
  4
}
`
	for path, line := range map[string]int{
		"a": 2, "a.c": 2, "list": 3, "list[0]": 4, "list[0].c": 4, "list[1]": 5, "list[1].c": 8, "list[1].d[1]": 7, "list[1].d[1][1].e": 7, "c": 12,
		"": 1, "none": 1, "a.none.c": 2, "list[1].none": 5, "list[7]": 3, "list[1].d[1][1].e.f": 7,
	} {
		assert.Equal(t, line, LineOf([]byte(text), path), path)
	}
	assert.Equal(t, 3, LineOf([]byte("{\n \"a\": {\n  \"b\""), "a.b"), "what is cut short is read as far as it goes")
	assert.Equal(t, 1, LineOf(nil, "a.b"))
}

// Each field is found by its pointer under the path that a decoded value would have.
func TestPathTo(t *testing.T) {
	v := sample()
	for want, field := range map[string]any{
		"tank_l": &v.Tank, "annual.low": &v.Share.Low, "all[0].low": &v.All[0].Low, "seed": &v.Seed, "annual": &v.Share, "more.low": &v.More.Low, "name": &v.Common.Name,
	} {
		assert.Equal(t, want, PathTo(&v, field))
		n, err := Parse(Encode(v).Bytes())
		assert.NoError(t, err)
		line := LineOf(n.Bytes(), want)
		key := want[strings.LastIndexAny(want, ".")+1:]
		assert.Contains(t, strings.Split(string(n.Bytes()), "\n")[line-1], fmt.Sprintf("%q:", key))
	}
	other := 1.0
	assert.Empty(t, PathTo(&v, &other))
}
