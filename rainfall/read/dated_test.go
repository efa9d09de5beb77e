package read

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// called ranks columns by a word.
func called(word string) func(string) int {
	return func(name string) int { return strings.Count(strings.ToLower(name), word) }
}

// A table of readings is read in the forms that people keep one.
func TestDated(t *testing.T) {
	const want = "2021-01-31 10.5, 2021-02-28 12, 2021-03-31 NaN, 2021-04-30 13.25"
	for name, text := range map[string]string{
		"plain":           "date,reading_m3\n2021-01-31,10.5\n2021-02-28,12\n2021-03-31,\n2021-04-30,13.25\n",
		"a title":         "Meter of the barn\n\ndate,reading_m3\n2021-01-31,10.5\n2021-02-28,12\n2021-03-31,\n2021-04-30,13.25\n",
		"a note":          "# unit: m3\ndate,reading,remark\n2021-01-31,10.5,frost\n2021-02-28,12,\n2021-03-31,,nobody there\n2021-04-30,13.25,\n",
		"decimal commas":  "Datum;reading\n31.01.2021;10,5\n28.02.2021;12\n31.03.2021;-\n30.04.2021;13,25\n",
		"day first":       "date\treading\n31/1/2021\t10.5\n28/2/2021\t12\n31/3/2021\tNA\n30/4/2021\t13.25\n",
		"three columns":   "year,month,day,reading\n2021,1,31,10.5\n2021,2,28,12\n2021,3,31,\n2021,4,30,13.25\n",
		"newest first":    "date,reading\n2021-04-30,13.25\n2021-03-31,\n2021-02-28,12\n2021-01-31,10.5\n",
		"other columns":   "date,draw_L,reading\n2021-01-31,1,10.5\n2021-02-28,2,12\n2021-03-31,3,\n2021-04-30,4,13.25\n",
		"no day, blank":   "date,reading\n2021-01-31,10.5\n2021-02-28,12\n2021-02-30,\n2021-03-31,\n2021-04-30,13.25\n",
		"any other name":  "date,barn\n2021-01-31,10.5\n2021-02-28,12\n2021-03-31,\n2021-04-30,13.25\n",
		"date, any name":  "read on,reading\n2021-01-31,10.5\n2021-02-28,12\n2021-03-31,\n2021-04-30,13.25\n",
		"quoted, CR only": "\"date\",\"reading\"\r\"2021-01-31\",\"10.5\"\r\"2021-02-28\",\"12\"\r\"2021-03-31\",\"\"\r\"2021-04-30\",\"13.25\"\r",
	} {
		d, err := DatedFrom("m.csv", strings.NewReader(text), "", called("reading"))
		require.NoError(t, err, name)
		var got []string
		for _, r := range d.Rows {
			got = append(got, fmt.Sprintf("%v %g", r.Date, r.Value))
			assert.False(t, r.Clock, name)
		}
		assert.Equal(t, want, strings.Join(got, ", "), name)
		assert.Len(t, d.SHA256, 64)
		line := strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n")[d.Header-1]
		assert.Contains(t, line, d.Column)
	}
}

// The readings of a day keep the order of their times, whichever way the file
// runs.
func TestDatedHours(t *testing.T) {
	for name, text := range map[string]string{
		"up":     "time,level_%\n2021-01-01 06:00,10\n2021-01-01 18:00,20\n2021-01-02 06:00,30\n",
		"down":   "time,level_%\n2021-01-02 06:00,30\n2021-01-01 18:00,20\n2021-01-01 06:00,10\n",
		"T":      "timestamp,level_%\n2021-01-01T06:00:00Z,10\n2021-01-01T18:00:00Z,20\n2021-01-02T06:00:00Z,30\n",
		"column": "date,hour,level_%\n2021-01-01,6,10\n2021-01-01,18,20\n2021-01-02,6,30\n",
	} {
		d, err := DatedFrom("m.csv", strings.NewReader(text), "", called("level"))
		require.NoError(t, err, name)
		require.Len(t, d.Rows, 3, name)
		for i, r := range d.Rows {
			assert.Equal(t, float64(10*(i+1)), r.Value, name)
			assert.True(t, r.Clock, name)
		}
		assert.Equal(t, d.Rows[0].Date, d.Rows[1].Date)
	}
}

// What cannot be read gets one line with the file, its line and a remedy that is
// no record's.
func TestDatedRefuses(t *testing.T) {
	for name, c := range map[string]struct{ text, want, hint string }{
		"empty":            {"", "m.csv: the file is empty", "header line"},
		"no header":        {"2021-01-31,10.5\n2021-02-28,12\n", "m.csv:1: no header line", "header line"},
		"no table":         {"hello\nthere\n", "m.csv: no line names a date and a reading", "header line"},
		"no line":          {"date,reading\n", "m.csv:1: a header and no line of readings", "header line"},
		"no date column":   {"name,reading\nbarn,1\nbarn,2\n", "m.csv: no line names a date and a reading", "header line"},
		"no date":          {"date,reading\n2021-01-31,10\nspring,12\n", "m.csv:3: \"spring\" is not a date", "2021-12-31"},
		"no such day":      {"date,reading\n2021-01-31,10\n2021-02-30,12\n", "m.csv:3: there is no day \"2021-02-30\"", "leave its value blank"},
		"a month":          {"date,reading\n2021-01,10\n2021-02,12\n", "m.csv:2: \"2021-01\" is a month, not the day of a reading", "the day on which"},
		"year and month":   {"year,month,reading\n2021,1,10\n2021,2,12\n", "m.csv:1: a year and a month column, and none of days", "header line"},
		"two digits":       {"date,reading\n31/01/21,10\n28/02/21,12\n", "m.csv:2: the year of \"31/01/21\" has two digits", "with four"},
		"either order":     {"date,reading\n3/4/2021,10\n5/6/2021,12\n", "m.csv:2: date \"3/4/2021\" may be", "--dates"},
		"firsts of months": {"date,reading\n1/1/2021,1\n1/2/2021,2\n1/3/2021,3\n1/4/2021,4\n1/5/2021,5\n1/6/2021,6\n", "m.csv:3: date \"1/2/2021\" may have the day or the month first", "--dates"},
		"no number":        {"date,reading\n2021-01-31,10\n2021-02-28,12 m3\n", "m.csv:3: \"12 m3\" is not a number", "in the header"},
		"thousands":        {"date;reading\n2021-01-31;1,210\n2021-02-28;1,310\n", "m.csv:2: \"1,210\" may be 1.210 or 1210", "decimal point"},
		"two columns":      {"date,a,b\n2021-01-31,1,2\n2021-02-28,3,4\n", "m.csv:1: several columns may be the readings: a, b", "call it reading"},
		"only dates":       {"date,note\n2021-01-31,\n2021-02-28,\n", "m.csv:1: no column of readings; there are date, note", "header line"},
		"a spreadsheet":    {"PK\x03\x04\x14\x00", "m.csv: this is a zip archive or a spreadsheet", "CSV"},
		"two fields more":  {"date,reading\n2021-01-31,10\n2021-02-28,1,2,3\n", "m.csv:3: 4 fields where 2 were expected", "decimal comma"},
	} {
		_, err := DatedFrom("m.csv", strings.NewReader(c.text), "", called("reading"))
		var e *Error
		require.ErrorAs(t, err, &e, name)
		assert.True(t, strings.HasPrefix(e.Error(), c.want), "%s: %s", name, e)
		assert.Contains(t, e.Hint, c.hint, name)
		for _, word := range []string{"rain", "download", "daily"} {
			assert.NotContains(t, e.Error()+e.Hint, word, name)
		}
	}
	_, err := DatedFile(filepath.Join(t.TempDir(), "none.csv"), "", called("reading"))
	assert.ErrorContains(t, err, "none.csv: cannot be read")
	assert.Equal(t, "give the path of a file of readings, a date and a number a line; - is standard input", err.(*Error).Hint)
	path := filepath.Join(t.TempDir(), "m.csv")
	require.NoError(t, os.WriteFile(path, []byte("date,reading\n3/4/2021,10\n5/6/2021,\n"), 0o666))
	d, err := DatedFile(path, "dmy", called("reading"))
	require.NoError(t, err)
	assert.Equal(t, "2021-04-03", d.Rows[0].Date.String())
	assert.True(t, math.IsNaN(d.Rows[1].Value))
	_, err = DatedFile(path, "sideways", called("reading"))
	assert.Error(t, err)
}

// Whatever bytes are read as readings: no panic; an error is a *Error with the
// file's name; the days never go back, and a number is one or missing.
func FuzzDated(f *testing.F) {
	for _, text := range []string{
		"date,reading_m3\n2021-01-31,10.5\n2021-02-28,12\n2021-03-31,\n",
		"# unit: gal\nTime;level (%);note\n31.01.2021 06:30;10,5;x\n31.01.2021 18:30;11,5;\n",
		"year,month,day,used_L\n2021,1,31,10\n2021,2,28,12\n", "3/4/2021\treading\n", "date,reading\n2021-02-30,1\n",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		for _, dates := range []string{"", "dmy"} {
			d, err := DatedFrom("f", strings.NewReader(string(b)), dates, called("reading"))
			if err != nil {
				if e, ok := err.(*Error); !ok || e.File != "f" || e.Text == "" || strings.Contains(e.Error(), "\n") {
					t.Fatalf("not a read error of one line that names the file: %T, %v", err, err)
				}
				continue
			}
			for i, r := range d.Rows {
				if math.IsInf(r.Value, 0) || r.Line <= d.Header || i > 0 && r.Date < d.Rows[i-1].Date {
					t.Fatalf("%+v", r)
				}
			}
		}
	})
}
