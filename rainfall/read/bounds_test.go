package read

import (
	"bytes"
	"compress/gzip"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// endless repeats a text for ever, and counts what was taken of it.
type endless struct {
	text  string
	taken int64
}

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = e.text[(e.taken+int64(i))%int64(len(e.text))]
	}
	e.taken += int64(len(p))
	return len(p), nil
}

// packed is n copies of a text in gzip.
func packed(text string, n int) io.Reader {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	for range n {
		io.WriteString(w, text)
	}
	w.Close()
	return &b
}

// Whatever comes, and however much of it, is refused in one line after a
// bounded part of it has been looked at.
func TestInputIsBounded(t *testing.T) {
	header := "date,rain_mm" + strings.Repeat(",x", 1_000_000) + "\n"
	days := "date,rain_mm\n" + strings.Repeat("2001-01-01,5\n", 100)
	for name, c := range map[string]struct {
		from io.Reader
		want string
		most int64 // bytes that may be looked at
	}{
		"zeros":                  {&endless{text: "\x00"}, "this is a binary file", 1 << 20},
		"one line":               {&endless{text: "x"}, "f:1: the line is longer", 1 << 20},
		"one line of a table":    {io.MultiReader(strings.NewReader("date,rain_mm\n2001-01-01,5\n2001-01-02,"), &endless{text: "1"}), "f:3: the line is longer", 1 << 20},
		"no table":               {&endless{text: "y\n"}, "no table of daily rain", 1 << 20},
		"no table, blank":        {&endless{text: "\n"}, "no table of daily rain", 1 << 20},
		"a day again and again":  {io.MultiReader(strings.NewReader("date,rain_mm\n"), &endless{text: "2001-01-01,5\n"}), "this is no daily record", 1 << 24},
		"blank lines of a table": {io.LimitReader(io.MultiReader(strings.NewReader("date,rain_mm\n2001-01-01,5\n"), &endless{text: "\n"}), 1<<20), "", 1 << 21},
		"a quote never closed":   {io.MultiReader(strings.NewReader("date,rain_mm\n\"2001-01-01,5\n"), &endless{text: "2001-01-02,5\n"}), "f:2: a quotation mark is opened", 1 << 20},
		"a million columns":      {strings.NewReader(header + days), "f:1: the line is longer", 1 << 20},
		"GHCN, one day for ever": {&endless{text: sampleDly}, "this is no daily record", 1 << 26},
		"GHCN CSV for ever":      {&endless{text: "XX000000001,20010101,PRCP,10,,,7,\n"}, "this is no daily record", 1 << 26},
		"packed zeros":           {packed(strings.Repeat("\x00", 1<<20), 64), "this is a binary file", 1 << 20},
		"packed days":            {packed(days[13:], 10_000), "no header line", 1 << 20},
		"packed table":           {io.MultiReader(packed("date,rain_mm\n"+strings.Repeat("2001-01-01,5\n", 1<<16), 1), &endless{text: "x"}), "the gzip file is cut short or damaged", 1 << 20},
	} {
		t.Run(name, func(t *testing.T) {
			counted := &counter{r: c.from}
			r, err := read("f", counted, 0, Options{})
			assert.LessOrEqual(t, counted.n, c.most)
			if c.want == "" {
				require.NoError(t, err)
				assert.Len(t, r.Depth, 1)
				return
			}
			require.Error(t, err)
			assert.IsType(t, &Error{}, err)
			assert.Contains(t, err.Error(), c.want)
			assert.NotContains(t, err.Error(), "\n")
			assert.Less(t, len(err.Error()), 300)
		})
	}
}

type counter struct {
	r io.Reader
	n int64
}

func (c *counter) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	c.n += int64(n)
	return n, err
}

// A file of more stations than anyone lists does not grow in memory with its
// lines, and its names are cut short in the error.
func TestLongNamesInErrors(t *testing.T) {
	long := strings.Repeat("n", 5000)
	for _, text := range []string{
		"station,date,rain_mm\n" + long + "1,2001-01-01,5\n" + long + "2,2001-01-01,5\n",
		"date,rain_mm\n2001-01-01," + long + "\n",
		"date,rain_mm\n" + long + ",5\n",
		"date," + long + "\n2001-01-01,5\n",
		"# unit: " + long + "\ndate,rain\n2001-01-01,5\n",
	} {
		_, err := Bytes("f", []byte(text), Options{})
		require.Error(t, err)
		assert.Less(t, len(err.Error()), 300)
	}
}
