package read

import (
	"encoding/csv"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// savedAnew is a delimited text as a spreadsheet saves it: the cells between
// other separators, quoted where need be, every line as long as the longest,
// and perhaps commas for decimals.
func savedAnew(t *testing.T, text string, from, to rune, decimalComma bool) string {
	t.Helper()
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, byteMark)))
	r.Comma, r.LazyQuotes, r.FieldsPerRecord, r.TrimLeadingSpace = from, true, -1, from != '\t'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	wide := 0
	for _, row := range rows {
		wide = max(wide, len(row))
	}
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Comma = to
	for _, row := range rows {
		for i, c := range row {
			if decimalComma && strings.Count(c, ".") == 1 && isNumber(strings.TrimSpace(c)) {
				row[i] = strings.Replace(c, ".", ",", 1)
			}
		}
		for len(row) < wide && len(row) > 0 && !strings.HasPrefix(row[0], "#") {
			row = append(row, "")
		}
		require.NoError(t, w.Write(row))
	}
	w.Flush()
	return b.String()
}

// Every delimited format is read the same with any separator, with points and
// with commas for decimals: the flags, the periods and the totals as well.
func TestAnySeparator(t *testing.T) {
	tried := 0
	for name, texts := range worldSamples() {
		if name == ghcnDaily().name { // of fixed width
			continue
		}
		for i, text := range texts {
			from := ','
			if strings.Count(text, ";") > strings.Count(text, ",") {
				from = ';'
			}
			for _, o := range []Options{{}, {Unit: "mm"}} {
				want, err := Bytes("f", []byte(text), o)
				if err != nil {
					continue
				}
				for _, to := range separators {
					for _, decimalComma := range []bool{false, true} {
						anew := savedAnew(t, text, from, to, decimalComma)
						got, err := Bytes("f", []byte(anew), o)
						require.NoError(t, err, "%s, sample %d, separated by %q\n%s", name, i, to, anew)
						got.SHA256, got.Unpacked = want.SHA256, want.Unpacked
						got.Place = want.Place // prose above the table is cut at its commas
						assert.Equal(t, printed(want), printed(got), "%s, sample %d, separated by %q", name, i, to)
						tried++
					}
				}
			}
		}
	}
	assert.Greater(t, tried, 150)
}

// Dates that a spreadsheet wrote in its own way are read in every format that
// has them in one column.
func TestDatesSavedAnew(t *testing.T) {
	iso := regexp.MustCompile(`\b(\d{4})-(\d\d)-(\d\d)\b`)
	packed := regexp.MustCompile(`([,;] *)(19|20)(\d\d)(\d\d)(\d\d)\b`)
	for name, text := range map[string]string{
		ncei().name:            sampleAccess,
		gsod().name:            sampleGSOD,
		nceiPastWeather().name: samplePast,
		openMeteo().name:       openMeteoSample,
		ecad().name:            ecadSample,
		knmi().name:            knmiSample,
		dwd().name:             dwdSample,
	} {
		anew := packed.ReplaceAllString(iso.ReplaceAllString(text, "$3/$2/$1"), "$1$5/$4/$2$3")
		require.NotEqual(t, text, anew, name)
		want := mustRead(t, text, Options{})
		got, err := Bytes("f", []byte(anew), Options{Dates: "dmy"})
		require.NoError(t, err, name)
		got.SHA256, got.Unpacked = want.SHA256, want.Unpacked
		assert.Equal(t, printed(want), printed(got), name)
	}
}
