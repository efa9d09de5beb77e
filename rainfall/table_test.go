package rainfall

import (
	"encoding/csv"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A row is cut as encoding/csv cuts it, lenient with quotation marks.
func TestSplitRow(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	parts := []string{`"`, `""`, ",", ";", "\t", " ", "a", "1.5", "é", "\u00a0"}
	for _, comma := range []byte(",;\t") {
		for range 20000 {
			line := "x"
			for range rng.IntN(12) {
				line += parts[rng.IntN(len(parts))]
			}
			line = line[rng.IntN(2):]
			r := csv.NewReader(strings.NewReader(line))
			r.Comma, r.LazyQuotes, r.TrimLeadingSpace = rune(comma), true, comma != '\t'
			want, err := r.Read()
			if err != nil { // an empty line
				continue
			}
			got, closed := splitRow(nil, line, comma)
			require.Equal(t, want, got, "%q", line)
			if r = csv.NewReader(strings.NewReader(line + "\nx")); !closed {
				r.Comma, r.LazyQuotes, r.TrimLeadingSpace = rune(comma), true, comma != '\t'
				over, err := r.Read()
				require.NoError(t, err)
				require.Equal(t, want[len(want)-1]+"\nx", over[len(over)-1], "%q", line)
			}
		}
	}
}

// The columns of the tables here are those that gota reads.
func TestTableAsGotaReads(t *testing.T) {
	for _, text := range []string{sampleAccess, sampleOrder, bomSample, "day,amount,note\n01/02/2001, 1.5 ,\"a, b\"\n02/02/2001,,\"say \"\"b\"\"\"\n"} {
		in, err := newInput("f", strings.NewReader(text), len(text), ReadOptions{})
		require.NoError(t, err)
		got, err := in.table(1, ',')
		require.NoError(t, err)
		want := dataframe.ReadCSV(strings.NewReader(text), dataframe.DetectTypes(false), dataframe.DefaultType(series.String))
		require.NoError(t, want.Err)
		assert.Equal(t, want.Names(), got.header)
		for i, name := range want.Names() {
			cells := want.Col(name).Records()
			for k, c := range cells {
				if cells[k] = strings.TrimSpace(c); c == "NaN" { // gota's word for a blank
					cells[k] = ""
				}
			}
			assert.Equal(t, cells, got.column(i), name)
		}
	}
}
