package read

import (
	"bytes"
	"compress/gzip"
	"strings"
	"syscall"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func gz(text string) string {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	w.Write([]byte(text))
	w.Close()
	return b.String()
}

func utf16le(text string) string {
	var b []byte
	for _, u := range utf16.Encode([]rune(text)) {
		b = append(b, byte(u), byte(u>>8))
	}
	return string(b)
}

// Input that cannot be read gets one line with the file, the line where there
// is one, and a remedy.
func TestBadInput(t *testing.T) {
	const head = "date,rain_mm\n2001-01-01,1.0\n"
	cut := gz(benchCSV("", "XX000000001,YMD,PRCP,TENTHS,,,7,0700\n")(20))
	zip := "PK\x03\x04\x14\x00\x00\x00"
	for name, c := range map[string]struct {
		text, want, hint string
		opt              Options
	}{
		"empty":                   {"", "f: the file is empty", "download", Options{}},
		"blank":                   {" \r\n\n", "f: the file is empty", "download", Options{}},
		"only a mark":             {"\xef\xbb\xbf\n", "f: the file is empty", "download", Options{}},
		"only a comment":          {"# unit: mm\n", "f: no table of daily rain is in the file", "header line", Options{}},
		"header only":             {"date,rain_mm\n", "f:1: a header and no line of data", "download", Options{}},
		"NCEI header only":        {`"STATION","DATE","PRCP"` + "\n", "f:1: a header and no line of data", "download", Options{}},
		"web page":                {"\n<!DOCTYPE html><html><body>data</body></html>", "f:1: this is a saved web page", "the file itself", Options{}},
		"web page, comment":       {"<!-- saved --><html><body>1,2</body></html>", "f:1: this is a saved web page", "the file itself", Options{}},
		"JSON":                    {`{"date": "2001-01-01", "rain": 1}`, "f:1: this looks like JSON", "header line", Options{}},
		"zip":                     {zip, "f: this is a zip archive or a spreadsheet", "unpack", Options{}},
		"PDF":                     {"%PDF-1.7\n", "f: this is a PDF", "spreadsheet", Options{}},
		"binary":                  {"\x89PNG\r\n\x1a\n\x00\x00", "f: this is a picture", "spreadsheet", Options{}},
		"zeros in a station file": {strings.Repeat(dlyLine("ZZ000000001", 2001, 1, "PRCP", "10"), 20) + strings.Repeat("\x00", 300), "f:21: the line holds bytes that no text has", "download the file again", Options{Station: "ZZ000000001"}},
		"binary without zero":     {"\x01\x02\x03\x04\x05", "f: this is a binary file", "as CSV", Options{}},
		"bzip2":                   {"BZh91AY&SY", "f: the file is packed, and not by gzip", "gzip", Options{}},
		"truncated gz":            {gz(strings.Repeat(head, 50))[:60], "f: the gzip file is cut short or damaged: it ends too early", "again", Options{}},
		"truncated GHCN gz":       {gz(sampleGHCNCSV)[:70], "f: the gzip file is cut short or damaged: it ends too early", "again", Options{}},
		"gz cut within a line":    {cut[:len(cut)/2], "f: the gzip file is cut short or damaged: it ends too early", "again", Options{}},
		"gz head alone":           {"\x1f\x8b", "f: the gzip file is cut short or damaged", "again", Options{}},
		"UTF-16, mark":            {"\xff\xfe" + utf16le(head), "f: the text is UTF-16", "UTF-8", Options{}},
		"UTF-16, no mark":         {utf16le(head), "f: the text is UTF-16", "UTF-8", Options{}},
		"prose":                   {"Rain fell in the night.\nIt was wet, and cold.\n", "f:1: no table of daily rain that is known here begins with \"Rain fell in the night.\"", "header line", Options{}},
		"spaces":                  {"date rain\n2001-01-01 1.0\n", "f:1: the fields are separated by spaces", "commas", Options{}},
		"two delimiters":          {"date,rain_mm\n2001-01-01;1.0\n", "f:2: 1 field where 2 were expected", "by commas, as the header", Options{}},
		"unclosed quote":          {head + "\"2001-01-02,1.0\n2001-01-03,1.0\n", "f:3: a quotation mark is opened and not closed", "close it", Options{}},

		"both signs of decimals":  {"date;rain_mm\n2001-01-01;1,5\n2001-01-02;1.5\n", `f:3: "1.5" has another sign of decimals than "1,5" on line 2`, "in one way", Options{}},
		"thousands or decimals":   {"date;rain_mm\n2001-01-01;1,512\n", `f:2: "1,512" may be 1.512 or 1512`, "decimal point", Options{}},
		"decimal comma, comma":    {head + "2001-01-02,1,5\n", "f:3: 3 fields where 2 were expected", "write 1.5, not 1,5", Options{}},
		"decimal comma, headless": {"2001-01-01,1,5\n2001-01-02,0,5\n", "f:1: no header line, and 3 columns", "1.5, not 1,5", Options{}},
		"negative":                {head + "2001-01-02,-3\n", "f:3: rain of -3 is below zero", "blank", Options{}},
		"negative, dly":           {dlyLine("XX000000001", 2001, 1, "PRCP", "-5"), "f:1: rain of -0.5 mm is below zero", "blank", Options{}},
		"absurd":                  {head + "2001-01-02,1900\n", "f:3: rain of 1,900 mm (75 in) in a day is more than ever fell, 1,825 mm (72 in)", "--unit", Options{}},
		"absurd in inches":        {"date,rain\n2001-01-01,80\n", "f:2: rain of 2,032 mm (80 in) in a day", "--unit", Options{Unit: "in"}},
		"word":                    {head + "2001-01-02,oops\n", `f:3: rain "oops" is not a number`, "blank", Options{}},
		"infinite":                {head + "2001-01-02,Inf\n", `f:3: rain "Inf" is not a number`, "blank", Options{}},
		"twice, disagreeing":      {head + "2001-01-01,2.0\n", "f:3: 2001-01-01 is 2 mm here and 1 mm on line 2", "keep one", Options{}},
		"all missing":             {"date,rain_mm\n2001-01-01,\n", "f: every daily value is missing", "choose", Options{}},
		"hourly":                  {"date,rain_mm\n2001-01-01 01:00,1\n2001-01-01 02:00,1\n", "f:3: 2001-01-01 has a value at 01:00 and one at 02:00", "sum", Options{}},

		"29 February":         {"date,rain_mm\n2001-02-29,1\n", `f:2: there is no day "2001-02-29"`, "correct", Options{}},
		"month 13":            {"date,rain_mm\n2001-13-01,1\n", `f:2: there is no day "2001-13-01"`, "correct", Options{}},
		"no such day, m/d":    {"date,rain_mm\n2/30/2001,1\n1/31/2001,1\n", `f:2: there is no day "2/30/2001", read with the month first`, "correct", Options{}},
		"columns, no day":     {"year,month,day,rain_mm\n2001,2,29,1\n", `f:2: there is no day "2001-2-29"`, "correct", Options{}},
		"GHCN, no day":        {"XX000000001,20010229,PRCP,10,,,7,\n", `f:1: date "20010229" is no day`, "", Options{}},
		"two-digit year":      {"date,rain_mm\n31/01/01,1\n", `f:2: the year of "31/01/01" has two digits`, "four", Options{}},
		"no date":             {head + "tomorrow,1\n", `f:3: "tomorrow" is not a date`, "2021-12-31", Options{}},
		"blank date":          {head + ",1\n", "f:3: the date is blank", "remove", Options{}},
		"total line":          {head + "Total,1\n", `f:3: "Total" is not a date`, "", Options{}},
		"ambiguous order":     {"date,rain_mm\n5/5/2001,1\n03/04/2001,1\n", `f:3: date "03/04/2001" may be 3 April or 4 March 2001`, "--dates dmy", Options{}},
		"contradictory order": {"date,rain_mm\n13/01/2001,1\n01/14/2001,1\n", `f:3: date "01/14/2001" has the month first, but "13/01/2001" on line 2 has the day first`, "one order", Options{}},
		"order refuted":       {"date,rain_mm\n13/01/2001,1\n", `f:2: there is no day "13/01/2001", read with the month first`, "correct", Options{Dates: "mdy"}},
		"span":                {head + "9999-01-01,1\n", "f:3: \"9999-01-01\" is of the year 9999: daily records lie between 1600 and 2200", "correct the year", Options{}},

		"several rains":     {"date,rain_mm,precip_mm\n2001-01-01,1,2\n", "f:1: several columns may be the rain: rain_mm, precip_mm", "--column NAME", Options{}},
		"several numbers":   {"date,a,b\n2001-01-01,1,2\n", "f:1: no column is known by its name as the rain; there are date, a, b", "--column", Options{}},
		"no numbers":        {"date,a\n2001-01-01,x\n", "f:1: no column is known by its name as the rain; there are date, a", "--column", Options{}},
		"no such column":    {head, `f:1: no column "x"; there are date, rain_mm`, "--column", Options{Column: "x"}},
		"unit not read":     {"date,rain (cm)\n2001-01-01,1\n", `f:1: column "rain (cm)" holds cm`, "mm", Options{}},
		"unit not known":    {"date,rain\n2001-01-01,0.5\n", `f:1: the unit of column "rain" is not stated; millimetres are likely`, "--unit mm", Options{}},
		"comment's unit":    {"# unit: furlong\ndate,rain\n2001-01-01,0.5\n", `f:1: the comment on the unit, "furlong", names no unit`, "0.1mm", Options{}},
		"option's unit":     {head, "f: --unit cm is not a unit of rain", "0.1mm", Options{Unit: "cm"}},
		"option's dates":    {head, "f: --dates ymd is not an order", "dmy", Options{Dates: "ymd"}},
		"several stations":  {"station,date,rain_mm\nA,2001-01-01,1\nB b,2001-01-01,2\n", "f:3: the file holds 2 stations (A, B b)", "--station A", Options{}},
		"blank station":     {"station,date,rain_mm\nA,2001-01-01,1\n,2001-01-02,2\n", "f:3: the station is blank", "remove", Options{}},
		"NCEI without PRCP": {`"STATION","DATE","TMAX"` + "\nX,2001-01-01,5\n", "f:1: no column PRCP", "precipitation", Options{}},
		"past without PRCP": {"\"X\"\nDate,TMAX (Degrees Fahrenheit)\n2001-01-01,5\n", "f:2: no column PRCP", "precipitation", Options{}},
		"dly without PRCP":  {dlyLine("XX000000001", 2001, 1, "TMAX", "5"), "f: station XX000000001 has no PRCP element", "choose", Options{}},
		"dly cut short":     {dlyLine("XX000000001", 2001, 1, "PRCP", "5")[:200], "f:1: the line ends before day 31", "again", Options{}},
		"GHCN fields":       {sampleGHCNCSV + "XX000000001,20010109,PRCP\n", "f:9: 3 fields where the format has 7 or 8", "again", Options{}},
		"DAPR":              {strings.Replace(sampleAccess, `"    3"`, `"  3.5"`, 1), `f:6: DAPR "3.5" is no number of days`, "blank", Options{}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Bytes("f", []byte(c.text), c.opt)
			require.Error(t, err)
			e, ok := err.(*Error)
			require.True(t, ok, "%T", err)
			assert.True(t, strings.HasPrefix(e.Error(), c.want), "got %q\nwant %q", e.Error(), c.want)
			assert.Contains(t, e.Hint, c.hint)
			assert.NotContains(t, e.Error()+e.Hint, "\n", "one line each")
		})
	}
}

// Blank lines, both line ends, gzip and a byte-order mark change nothing in any
// format.
func TestSameBytesOtherwise(t *testing.T) {
	for name, text := range samples() {
		t.Run(name, func(t *testing.T) {
			o := Options{}
			want := mustRead(t, text, o)
			for how, other := range map[string]string{
				"CRLF":     strings.ReplaceAll(text, "\n", "\r\n"),
				"CR":       strings.ReplaceAll(text, "\n", "\r"),
				"gzip":     gz(text),
				"mark":     "\xef\xbb\xbf" + text,
				"blank":    text + "\n\n",
				"no end":   strings.TrimSuffix(text, "\n"),
				"DOS end":  text + "\x1a",
				"CRLF, gz": gz("\xef\xbb\xbf" + strings.ReplaceAll(text, "\n", "\r\n")),
			} {
				got, err := Bytes("f", []byte(other), o)
				require.NoError(t, err, how)
				assert.NotEqual(t, want.SHA256, got.SHA256, how)
				got.SHA256, got.Unpacked = want.SHA256, want.Unpacked
				assert.Equal(t, printed(want), printed(got), how)
			}
		})
	}
}

func TestReadFileErrors(t *testing.T) {
	_, err := File("no-such-file.csv", Options{})
	assert.EqualError(t, err, "no-such-file.csv: cannot be read: "+syscall.ENOENT.Error())
	assert.Contains(t, err.(*Error).Hint, "path of the rain record")
	_, err = File(t.TempDir(), Options{})
	assert.ErrorContains(t, err, "cannot be read: is a directory")
	assert.Equal(t, "give one file of the folder", err.(*Error).Hint)
}
