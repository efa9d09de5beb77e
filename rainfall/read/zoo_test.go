package read

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// The files here are one invented record as people keep it: saved anew by a
// spreadsheet, with codes, without zeros, in another unit. What is read is
// what fell, or nothing is read and the error says what would mend it.

// fallen is the invented record: twelve years, 900 mm a year in hundredths of an
// inch, one day in three wet.
var fallen = func() []float64 { // hundredths of an inch, from 1 January 1990 on
	rng := rand.New(rand.NewPCG(5, 8))
	out := make([]float64, rainfall.Day(2002, 1, 1)-rainfall.Day(1990, 1, 1))
	for i := range out {
		if rng.IntN(3) == 0 {
			out[i] = max(1, math.Round(rng.ExpFloat64()*29))
		}
	}
	return out
}()

// zooDay is a day of the record as text.
type zooDay struct {
	rainfall.Date
	i      int
	in, mm string // "0.12", "3.0"
	tenths string // "30"
}

// zooDays are the days of the record.
var zooDays = sync.OnceValue(func() (out []zooDay) {
	for i, x := range fallen {
		mm := x * 0.254
		out = append(out, zooDay{rainfall.Day(1990, 1, 1) + rainfall.Date(i), i, fmt.Sprintf("%.2f", x/100), fmt.Sprintf("%.1f", mm), fmt.Sprintf("%.0f", mm*10)})
	}
	return out
})

// zoo writes the record, a line a day, "" for none.
func zoo(head string, line func(d zooDay) string) string {
	var b strings.Builder
	b.WriteString(head)
	for _, d := range zooDays() {
		b.WriteString(line(d))
	}
	return b.String()
}

func (d zooDay) form(layout string) string {
	y, m, day := d.YMD()
	return strings.NewReplacer("YYYY", fmt.Sprintf("%04d", y), "MM", fmt.Sprintf("%02d", int(m)), "DD", fmt.Sprintf("%02d", day),
		"RAIN", d.mm, "TENTHS", d.tenths, "DATE", d.String(), "M", fmt.Sprint(int(m)), "D", fmt.Sprint(day)).Replace(layout)
}

// either writes a day in one layout or in another, by what it is.
func either(is func(d zooDay) bool, layout, other string) func(zooDay) string {
	return func(d zooDay) string {
		if is(d) {
			return d.form(layout)
		}
		return d.form(other)
	}
}

// What a day of the record may be.
func (d zooDay) dry() bool     { return fallen[d.i] == 0 }
func (d zooDay) of(n int) bool { return d.i%n == 0 }
func (d zooDay) late() bool    { return d.day() > 12 } // and no month's number
func (d zooDay) day() int {
	_, _, day := d.YMD()
	return day
}

// isTruth reports whether a record is the invented one; missing says how many
// of its days are not there.
func isTruth(r *rainfall.Record, missing int) error {
	if r.First != rainfall.Day(1990, 1, 1) || len(r.Depth) != len(fallen) {
		return fmt.Errorf("%d days from %v", len(r.Depth), r.First)
	}
	gone := 0
	for i, x := range r.Depth {
		switch want := fallen[i] * 0.254; {
		case math.IsNaN(x):
			gone++
		case math.Abs(x-want) > 0.051: // a tenth of a mm is the last digit of some files
			return fmt.Errorf("%v is %g mm, not %g", r.First+rainfall.Date(i), x, want)
		}
	}
	if gone != missing {
		return fmt.Errorf("%d days missing, not %d", gone, missing)
	}
	return nil
}

type zooCase struct {
	text    string
	opt     Options
	missing int
	refused string   // the error expected; "" for a record that is the truth
	warned  []string // codes that must be among the record's
}

func zooCases() map[string]zooCase {
	comma := func(s string) string { return strings.Replace(s, ".", ",", 1) }
	every := func(n, i int) bool { return i%n == n/2 }
	bad := func(at map[int]string, value func(zooDay) string) func(zooDay) string {
		return func(d zooDay) string {
			if s, ok := at[d.i]; ok {
				return s
			}
			return value(d)
		}
	}
	inches := func(d zooDay) string { return d.in }
	rows := func(head string, value func(zooDay) string) string {
		return zoo(head, func(d zooDay) string { return d.String() + "," + value(d) + "\n" })
	}
	coded := func(code string, value func(zooDay) string) func(zooDay) string {
		return func(d zooDay) string {
			if every(100, d.i) {
				return code
			}
			return value(d)
		}
	}
	mm := func(d zooDay) string { return d.mm }
	n100 := 0
	for i := range fallen {
		if every(100, i) {
			n100++
		}
	}
	return map[string]zooCase{
		// the unit
		"inches, one cell of 75":        {text: rows("date,rain\n", bad(map[int]string{700: "75"}, inches)), refused: "unit of column"},
		"inches, one cell of 99.99":     {text: rows("date,rain\n", bad(map[int]string{700: "99.99"}, inches)), missing: 1, refused: "99.99 stands once"},
		"inches, a few bad cells":       {text: rows("date,rain\n", bad(map[int]string{700: "75", 800: "60", 900: "44.5"}, inches)), refused: "unit of column"},
		"inches, no unit":               {text: rows("date,rain\n", inches), refused: "inches are very likely"},
		"inches, named":                 {text: rows("date,rain_in\n", inches)},
		"inches called mm":              {text: rows("date,rain\n", inches), opt: Options{Unit: "in"}},
		"mm, no unit":                   {text: rows("date,rain\n", mm), warned: []string{"unit-inferred"}},
		"mm, one cell of 99.99":         {text: rows("date,rain\n", bad(map[int]string{700: "999.9"}, mm)), refused: "999.9 stands once"},
		"tenths, no unit":               {text: rows("date,rain\n", func(d zooDay) string { return d.tenths }), refused: "tenths of a millimetre are very likely"},
		"too much for any place":        {text: rows("date,rain_in\n", func(d zooDay) string { return fmt.Sprint(min(60, fallen[d.i]*0.254)) }), refused: "more than falls anywhere"},
		"a day of more than ever fell":  {text: rows("date,rain_mm\n", bad(map[int]string{700: "2500"}, mm)), refused: "more than ever fell"},
		"a year of more than ever fell": {text: rows("date,rain_mm\n", func(d zooDay) string { return fmt.Sprint(20 * fallen[d.i]) }), refused: "more than"},

		// missing codes
		"code 99.99, inches":  {text: rows("date,rain_in\n", coded("99.99", inches)), missing: n100, warned: []string{"missing-code"}},
		"code 999.9":          {text: rows("date,rain_mm\n", coded("999.9", mm)), missing: n100, warned: []string{"missing-code"}},
		"code 9999":           {text: rows("date,rain_mm\n", coded("9999", mm)), missing: n100, warned: []string{"missing-code"}},
		"code -99.9":          {text: rows("date,rain_mm\n", coded("-99.9", mm)), missing: n100, warned: []string{"missing-code"}},
		"code -9999":          {text: rows("date,rain_mm\n", coded("-9999", mm)), missing: n100, warned: []string{"missing-code"}},
		"code 32767":          {text: rows("date,rain_mm\n", coded("32767", mm)), missing: n100, warned: []string{"missing-code"}},
		"two codes":           {text: rows("date,rain_mm\n", bad(map[int]string{50: "9999", 150: "9999", 250: "9999"}, coded("999.9", mm))), missing: n100, warned: []string{"missing-code"}},
		"code 99.99, no unit": {text: rows("date,rain\n", coded("99.99", inches)), missing: n100, refused: "inches are very likely"},
		"code 88.88":          {text: rows("date,rain_mm\n", coded("888.8", mm)), missing: n100, refused: "or a code for a missing value"},
		"code -1":             {text: rows("date,rain_mm\n", coded("-1", mm)), missing: n100, refused: "rain of -1 is below zero"},
		"code named":          {text: rows("date,rain_mm\n", coded("-1", mm)), opt: Options{Missing: "-1"}, missing: n100, warned: []string{"missing-code"}},

		// publishers' layouts under other names
		"STN, YEARMODA": {text: zoo("STN,YEARMODA,PRCP,FRSHTT\n", func(d zooDay) string {
			return "990001," + d.form("YYYYMMDD") + "," + coded("99.99", func(d zooDay) string { return d.in + "G" })(d) + ",0\n"
		}), missing: n100},
		"summary of the day": {text: zoo("STATION,DATE,NAME,TEMP,DEWP,WDSP,PRCP,PRCP_ATTRIBUTES,FRSHTT\n", func(d zooDay) string {
			return "990001," + d.String() + ",\"NOWHERE, XX\",41,30,5," + coded("99.99", inches)(d) + ",D,0\n"
		}), missing: n100},
		"summary of the day, mm": {text: zoo("STNID,YEARMODA,PRCP\n", func(d zooDay) string { return "990001," + d.form("YYYYMMDD") + "," + d.mm + "\n" }), refused: "millimetres are certain"},
		"flag A of the archive": {text: zoo("\"STATION\",\"DATE\",\"PRCP\",\"PRCP_ATTRIBUTES\"\n", func(d zooDay) string {
			switch {
			case d.i == 1001 || d.i == 1002:
				return ""
			case d.i == 1003:
				return `"XX1","` + d.String() + `","  ` + fmt.Sprintf("%.0f", (fallen[1001]+fallen[1002]+fallen[1003])*2.54) + `","A,,7"` + "\n"
			}
			return `"XX1","` + d.String() + `","  ` + d.tenths + `",",,7"` + "\n"
		}), refused: "spread"},

		// the rain column
		"temperatures":             {text: rows("date,tmax\n", mm), refused: "no column is known by its name as the rain"},
		"stage and discharge":      {text: zoo("date,stage,discharge\n", func(d zooDay) string { return d.String() + ",1.5," + d.mm + "\n" }), refused: "no column is known by its name as the rain; there are date, stage, discharge"},
		"temperatures by name":     {text: rows("date,tmax\n", func(d zooDay) string { return fmt.Sprint(60 + fallen[d.i]/4) }), opt: Options{Column: "tmax", Unit: "0.1mm"}, refused: "are these temperatures"},
		"months as 2020-01":        {text: "date,rain_mm\n2020-01,12.3\n2020-02,22.3\n", refused: "totals of months"},
		"column named":             {text: rows("date,value\n", mm), opt: Options{Column: "value"}},
		"many columns":             {text: zoo("date"+strings.Repeat(",x", 100)+"\n", func(d zooDay) string { return d.String() + strings.Repeat(",1", 100) + "\n" }), refused: "and 89 more"},
		"no header":                {text: rows("", mm), refused: "no header line"},
		"no header, columns given": {text: rows("", mm), opt: Options{Columns: "date,rain_mm"}},
		"no header, three dates":   {text: zoo("", func(d zooDay) string { return d.form("YYYY,M,D,") + d.mm + "\n" }), refused: "no header line"},
		"no header, not wanted":    {text: zoo("a gauge\n", func(d zooDay) string { return "7," + d.String() + "," + d.mm + ",x\n" }), opt: Options{Columns: "-,date,rain_mm,-"}, warned: []string{"titles"}},
		"titles above":             {text: rows("Carrow Hill (invented)\nRain gauge no. 7; read at 9\n\ndate,rain_mm\n", mm), warned: []string{"titles"}},

		// separators and decimals
		"semicolons":            {text: zoo("date;rain_mm\n", func(d zooDay) string { return d.String() + ";" + d.mm + "\n" })},
		"semicolons and commas": {text: zoo("date;rain_mm\n", func(d zooDay) string { return d.String() + ";" + comma(d.mm) + "\n" })},
		"tabs and commas":       {text: zoo("date\train_mm\n", func(d zooDay) string { return d.String() + "\t" + comma(d.mm) + "\n" })},
		"bars":                  {text: zoo("date|rain_mm\n", func(d zooDay) string { return d.String() + "|" + d.mm + "\n" })},
		"quoted commas":         {text: zoo("date,rain_mm\n", func(d zooDay) string { return d.String() + `,"` + comma(d.mm) + "\"\n" })},
		"bare decimal comma":    {text: zoo("date,rain_mm\n", func(d zooDay) string { return d.String() + "," + comma(d.mm) + "\n" }), refused: "3 fields where 2 were expected"},

		// dates
		"day first":   {text: zoo("date,rain_mm\n", func(d zooDay) string { return d.form("DD/MM/YYYY,") + d.mm + "\n" })},
		"month first": {text: zoo("date,rain_mm\n", func(d zooDay) string { return d.form("M/D/YYYY,") + d.mm + "\n" })},
		// what can be a month is taken for one
		"spreadsheet, mixed":       {text: zoo("date,rain_mm\n", either(zooDay.late, "D/M/YYYY,RAIN\n", "M/D/YYYY,RAIN\n")), refused: "a spreadsheet has taken the one for the other"},
		"spreadsheet, mixed forms": {text: zoo("date,rain_mm\n", either(zooDay.late, "D/M/YYYY,RAIN\n", "YYYY-DD-MM,RAIN\n")), refused: "a spreadsheet has taken the one for the other"},
		"spreadsheet, ISO":         {text: zoo("date,rain_mm\n", either(zooDay.late, "DATE,RAIN\n", "YYYY-DD-MM,RAIN\n")), refused: "a spreadsheet has taken the one for the other"},
		"sorted as text":           {text: "date,rain_mm\n" + inOrder(slices.Sort[[]string], zoo("", func(d zooDay) string { return d.form("M/D/YYYY,") + d.mm + "\n" })), refused: "the order of day and month cannot be trusted"},
		"last day first":           {text: "date,rain_mm\n" + inOrder(slices.Reverse[[]string], zoo("", func(d zooDay) string { return d.form("D/M/YYYY,") + d.mm + "\n" }))},
		"days of 31": {text: zoo("year,month,day,rain_mm\n", func(d zooDay) string {
			s := d.form("YYYY,M,D,") + d.mm + "\n"
			if y, m, day := d.YMD(); day == rainfall.DaysIn(y, m) {
				for day++; day <= 31; day++ {
					s += fmt.Sprintf("%d,%d,%d,\n", y, m, day)
				}
			}
			return s
		}), warned: []string{"no-day"}},
		"30 February with rain": {text: rows("date,rain_mm\n", mm) + "2002-02-30,1.0\n", refused: "there is no day"},

		// wet days, weeks, months
		"wet days alone": {text: zoo("date,rain_mm\n", either(zooDay.dry, "", "DATE,RAIN\n")), refused: "list wet days alone"},
		"months":         {text: zoo("date,rain_mm\n", either(func(d zooDay) bool { return d.day() == 1 }, "DATE,75.0\n", "")), refused: "the values stand 28 to 31 days apart: totals of weeks or months"},
		"weeks":          {text: zoo("date,rain_mm\n", either(func(d zooDay) bool { return d.of(7) }, "DATE,17.5\n", "")), refused: "the values stand 7 days apart: totals of weeks or months"},
		"year and month": {text: "year,month,rain_mm\n1990,1,50\n1990,2,40\n", refused: "these are the totals of months"},

		// stations
		"stations in id":           {text: zoo("id,date,rain_mm\n", func(d zooDay) string { return "A," + d.String() + "," + d.mm + "\nB," + d.String() + ",1.0\n" }), refused: "the file holds 2 stations (A, B)"},
		"stations in code, joined": {text: zoo("code,date,rain_mm\n", func(d zooDay) string { return "A," + d.String() + "," + d.mm + "\n" }) + "B,2002-01-01,1.0\nB,2002-01-02,1.0\n", refused: "the file holds 2 stations (A, B)"},
		"stations in gauge_no":     {text: zoo("gauge_no,date,rain_mm\n", func(d zooDay) string { return "1," + d.String() + "," + d.mm + "\n2," + d.String() + ",1.0\n" }), refused: "the file holds 2 stations (1, 2)"},
		"many stations":            {text: zoo("station,date,rain_mm\n", func(d zooDay) string { return fmt.Sprintf("G%04d,", d.i) + d.form("DATE,RAIN\n") }), refused: "the file holds 4,383 stations (G0000, G0001, G0002, G0003, G0004, G0005, G0006, G0007, G0008, G0009 and 4,373 more)"},
		"rows numbered in id":      {text: zoo("id,date,rain_mm\n", func(d zooDay) string { return fmt.Sprint(d.i+1, ",", d.String(), ",", d.mm, "\n") })},
		"quality in code":          {text: zoo("code,date,rain_mm\n", func(d zooDay) string { return []string{"a", "b"}[d.i%3/2] + "," + d.String() + "," + d.mm + "\n" }), warned: []string{"columns-unused"}},
		"one code":                 {text: zoo("code,date,rain_mm\n", func(d zooDay) string { return "7," + d.String() + "," + d.mm + "\n" })},

		// columns beside the rain
		"decimal comma beside a note":     {text: zoo("date,rain_mm,note\n", func(d zooDay) string { return d.String() + "," + comma(d.mm) + "\n" }), refused: "a decimal comma seems to split the value"},
		"one such row, blank name":        {text: rows("date,rain_mm,\n", bad(map[int]string{700: "12,7"}, func(d zooDay) string { return d.mm + "," })), refused: "a decimal comma seems to split the value"},
		"one such row, blank cell":        {text: rows("date,rain_mm,note\n", bad(map[int]string{700: "12,7,"}, func(d zooDay) string { return d.mm + "," })), refused: "4 fields where 3 were expected"},
		"whole tenths and oktas of cloud": {text: zoo("date,rain_0.1mm,cloud\n", func(d zooDay) string { return d.String() + "," + d.tenths + "," + fmt.Sprint(d.i*7%9) + "\n" })},
		"whole mm and a quality":          {text: zoo("date,rain_0.1mm,quality\n", func(d zooDay) string { return d.String() + "," + d.tenths + "," + fmt.Sprint(d.i%3) + "\n" }), warned: []string{"columns-unused"}},
		"a column too narrow":             {text: zoo("date,rain_mm\n", either(func(d zooDay) bool { return d.i == 700 }, "########,RAIN\n", "DATE,RAIN\n")), refused: "where a column is too narrow"},
		"tenths in the name":              {text: rows("date,rain_tenths_mm\n", func(d zooDay) string { return d.tenths })},
		"a factor in the name":            {text: rows("date,rain (mm) (x0.1)\n", func(d zooDay) string { return d.tenths }), refused: "holds x0.1, which is not read"},
		"an inch's hundredths":            {text: rows("date,rain_hundredths_in\n", inches), refused: "which is not read"},
		"soil beside rain":                {text: zoo("date,rain,soil\n", func(d zooDay) string { return d.String() + "," + d.in + ",1.5\n" }), refused: "unit of column"},
		"OK is no failure":                {text: zoo("date,rain_mm,quality_flag\n", func(d zooDay) string { return d.String() + "," + d.mm + ",OK\n" }), warned: []string{"columns-unused"}},
		"qflag of another kind":           {text: zoo("date,rain_mm,qflag\n", func(d zooDay) string { return d.String() + "," + d.mm + ",0\n" }), warned: []string{"columns-unused"}},
		"a code below a greater value":    {text: rows("date,rain_mm\n", bad(map[int]string{699: "1200"}, coded("999.9", mm))), missing: n100, refused: "spread one"},
		"blank for dry":                   {text: rows("date,rain_mm\n", either(zooDay.dry, "", "RAIN")), refused: "list wet days alone"},
		"wet days and a few zeros":        {text: zoo("date,rain_mm\n", either(func(d zooDay) bool { return d.dry() && !d.of(30) }, "", "DATE,RAIN\n")), refused: "list wet days alone"},
		"weeks, some lost": {text: zoo("date,rain_mm\n", func(d zooDay) string {
			return either(func(d zooDay) bool { return d.of(7) && !d.of(91) }, fmt.Sprintf("DATE,%d.5\n", d.i%5), "")(d)
		}), refused: "totals of weeks or months"},
		"month ends": {text: zoo("date,rain_mm\n", either(func(d zooDay) bool { return zooDay{Date: d.Date + 1}.day() == 1 }, "DATE,75.0\n", "DATE,0.0\n")), refused: "all the rain stands on one day of the month"},
		"a running total": {text: func() string {
			sum := 0.0
			return zoo("date,rain_mm\n", func(d zooDay) string {
				if _, m, day := d.YMD(); m == 1 && day == 1 {
					sum = 0
				}
				sum += fallen[d.i] * 0.254
				return fmt.Sprintf("%v,%.1f\n", d, sum)
			})
		}(), refused: "a running total"},
		"rain of other kinds":        {text: rows("date,monthly rain (mm)\n", mm), refused: "no column is known by its name as the rain"},
		"rain of an hour":            {text: rows("date,rain_1h_mm\n", mm), refused: "no column is known by its name as the rain"},
		"rain of 24 hours":           {text: rows("date,rain_24h_mm\n", mm)},
		"next to nothing":            {text: rows("date,pr\n", func(d zooDay) string { return fmt.Sprint(fallen[d.i] * 3e-6) }), refused: "the values do not tell"},
		"from and to":                {text: zoo("from,to,rain_mm\n", func(d zooDay) string { return d.String() + "," + (d.Date + 3).String() + "," + d.mm + "\n" }), refused: "two columns of dates"},
		"point for thousands":        {text: zoo("date;rain_0.1mm\n", either(func(d zooDay) bool { return fallen[d.i] > 100 }, "DATE;1.107\n", "DATE;TENTHS\n")), refused: "one in thousands"},
		"units that disagree":        {text: "# unit: in\n" + rows("date,rain_mm\n", mm), refused: "the unit is mm by the name"},
		"a column of units":          {text: zoo("date,rain,unit\n", func(d zooDay) string { return d.String() + "," + d.in + ",in\n" })},
		"a column of other units":    {text: zoo("date,rain_mm,unit\n", func(d zooDay) string { return d.String() + "," + d.in + ",in\n" }), refused: "inches by column"},
		"two readings a day":         {text: zoo("date,obs,rain_mm\n", func(d zooDay) string { return d.form("DATE,06:00,RAIN\nDATE,18:00,RAIN\n") }), refused: "this is no daily record"},
		"stations of other names":    {text: zoo("village,date,rain_mm\n", func(d zooDay) string { return "A," + d.String() + "," + d.mm + "\n" }) + "B,2002-01-01,1.0\nB,2002-01-02,1.0\n", refused: "the file holds 2 stations (A, B)"},
		"one station, two spellings": {text: zoo("station,date,rain_mm\n", func(d zooDay) string { return []string{"Hill", "HILL"}[d.i%2] + "," + d.String() + "," + d.mm + "\n" })},
		"firsts of the month": {text: "date,rain_mm\n" + func() (s string) {
			for y := 1990; y < 2002; y++ {
				for m := 1; m <= 12; m++ {
					s += fmt.Sprintf("%d/1/%d,75.0\n", m, y)
				}
			}
			return s
		}(), refused: "every date is the first of a month"},
		"YEAR, MONTH, DATE":         {text: zoo("YEAR,MONTH,DATE,RAIN_mm\n", func(d zooDay) string { return d.form("YYYY,M,D,") + d.mm + "\n" })},
		"identifiers like dates":    {text: zoo("NUM_POSTE;AAAAMMJJ;RR\n", func(d zooDay) string { return "75114001;" + d.form("YYYYMMDD;") + d.mm + "\n" }), warned: []string{"unit-inferred"}},
		"temperatures in degrees":   {text: zoo("Date,Rain (mm),Temp (Degrees C)\n", func(d zooDay) string { return d.String() + "," + d.mm + ",15\n" })},
		"header behind a #":         {text: rows("#date,rain_mm\n", mm)},
		"metadata above":            {text: rows("Start date;1990-01-01\nEnd date;2001-12-31\ndate,rain_mm\n", mm), warned: []string{"titles"}},
		"a spreadsheet's numbers":   {text: zoo("date,rain_mm\n", func(d zooDay) string { return fmt.Sprint(32874+d.i) + "," + d.mm + "\n" }), refused: "a spreadsheet's number of a day"},
		"a total below":             {text: rows("date,rain_mm\n", mm) + "Total,900\n", refused: "\"Total\" is not a date"},
		"two columns of a name":     {text: zoo("date,rain_mm,rain_mm\n", func(d zooDay) string { return d.String() + ",0.0," + d.mm + "\n" }), opt: Options{Column: "rain_mm"}, refused: "2 columns are called"},
		"columns of a publisher's":  {text: zoo("SOUID,DATE,RR,Q_RR\n", func(d zooDay) string { return "1," + d.form("YYYYMMDD,") + d.mm + ",0\n" }), opt: Options{Columns: "-,date,rain_mm,-"}, warned: []string{"titles"}},
		"mm where tenths should be": {text: zoo("SOUID,DATE,RR,Q_RR\n", func(d zooDay) string { return "1," + d.form("YYYYMMDD,") + d.mm + ",0\n" }), refused: "is not a whole number"},
		"a quality column":          {text: zoo("date,rain_mm,quality\n", func(d zooDay) string { return d.String() + "," + d.mm + ",2\n" }), warned: []string{"columns-unused"}},
		"a blank one":               {text: zoo("date,rain_mm,quality\n", func(d zooDay) string { return d.String() + "," + d.mm + ",\n" })},
		"GHCN's flags":              {text: zoo("date,prcp_mm,mflag,qflag\n", either(func(d zooDay) bool { return every(100, d.i) }, "DATE,1500.0,,X\n", "DATE,RAIN,,\n")), missing: n100},
	}
}

// inOrder puts the lines of a text in another order.
func inOrder(order func([]string), s string) string {
	lines := strings.Split(strings.TrimSuffix(s, "\n"), "\n")
	order(lines)
	return strings.Join(lines, "\n") + "\n"
}

// Each file is read as the truth, or refused for the reason expected; and
// whoever then does as the hint says gets the truth or is refused again.
func TestFilesAsPeopleKeepThem(t *testing.T) {
	for name, c := range zooCases() {
		t.Run(name, func(t *testing.T) {
			r, err := Bytes("f", []byte(c.text), c.opt)
			if c.refused == "spread one" { // read, but for one great value
				require.NoError(t, err)
				assert.Equal(t, 1200.0, r.Depth[699])
				r.Depth[699] = fallen[699] * 0.254
				require.NoError(t, isTruth(r, c.missing))
				return
			}
			if c.refused == "spread" { // read, with one total shared out
				require.NoError(t, err)
				assert.Equal(t, []rainfall.Total{{Last: rainfall.Day(1990, 1, 1) + 1003, Days: 3, MM: r.Totals[0].MM}}, r.Totals)
				assert.InDelta(t, (fallen[1001]+fallen[1002]+fallen[1003])*0.254, r.Totals[0].MM, 0.051)
				return
			}
			if c.refused == "" {
				require.NoError(t, err)
				require.NoError(t, isTruth(r, c.missing))
				if c.opt.Column != "" {
					assert.NotContains(t, codes(r), "option-ignored")
				}
				for _, w := range c.warned {
					assert.Contains(t, codes(r), w)
				}
				return
			}
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.refused)
			assert.NotContains(t, err.Error(), "\n")
			followHints(t, c, err, 0)
		})
	}
}

var hintedFlag = regexp.MustCompile(`--(unit|column|columns|station|dates|absent|missing) ("[^"]+"|[^\s,;:]+(?:,[^\s,;:]+)*)`)

// followHints does what each flag of a hint says, one at a time.
func followHints(t *testing.T, c zooCase, err error, depth int) {
	hint := err.(*Error).Hint
	assert.NotContains(t, hint, "\n")
	for _, m := range hintedFlag.FindAllStringSubmatch(hint, -1) {
		o := c.opt
		value := strings.Trim(m[2], `"`)
		field := map[string]*string{"unit": &o.Unit, "column": &o.Column, "columns": &o.Columns, "station": &o.Station, "dates": &o.Dates, "absent": &o.Absent, "missing": &o.Missing}[m[1]]
		if *field == value || value == "NAME" || depth > 3 {
			continue
		}
		*field = value
		r, err := Bytes("f", []byte(c.text), o)
		if err != nil {
			followHints(t, zooCase{text: c.text, opt: o, missing: c.missing}, err, depth+1)
			continue
		}
		if wrong := isTruth(r, c.missing); wrong != nil {
			assert.True(t, toldAs(m[1], value, r), "after %s %s: %v", m[1], value, wrong)
		}
	}
}

// toldAs reports whether a record that is not the truth is what the hint said
// it would be, where it leaves the choice: an alternative named beside its
// meaning, or a unit that the record then says is hardly the right one.
func toldAs(flag, value string, r *rainfall.Record) bool {
	switch flag {
	case "unit":
		return slices.Contains(codes(r), "unit-doubtful")
	case "missing": // none keeps the number as rain
		return value == "none" || slices.Contains(codes(r), "missing-code")
	case "absent":
		return value == "missing"
	case "station":
		return r.Station == value
	}
	return false
}

// A great rain that is written like a code is rain.
func TestRainLikeACode(t *testing.T) {
	text := zoo("date,rain_mm\n", either(func(d zooDay) bool { return d.i == 700 }, "DATE,99.9\n", "DATE,RAIN\n"))
	r := mustRead(t, text, Options{})
	assert.Equal(t, 99.9, r.Depth[700])
	assert.Empty(t, r.Findings)
}
