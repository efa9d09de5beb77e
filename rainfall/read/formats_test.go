package read

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// described writes a record on a few lines: what it is, its days with the marks
// of each (T trace, S share of a total, F failed, D doubtful, P presumed; – is
// missing), its totals, and what was told of it.
func described(r *rainfall.Record) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %s, %s, from %v:", r.Station, r.Place, r.Unit, r.First)
	for i, x := range r.Depth {
		b.WriteByte(' ')
		if math.IsNaN(x) {
			b.WriteString("–")
		} else {
			fmt.Fprintf(&b, "%.12g", x)
		}
		for k, letter := range "TSFDP" {
			if r.Mark[i]&(1<<k) != 0 {
				b.WriteRune(letter)
			}
		}
	}
	for _, t := range r.Totals {
		fmt.Fprintf(&b, "; %g over %d to %v", t.MM, t.Days, t.Last)
	}
	for _, f := range r.Findings {
		fmt.Fprintf(&b, "; %s", toldOf(f))
	}
	return b.String()
}

// What each publisher's files hold, in the forms in which people keep them.
func TestFormats(t *testing.T) {
	ecadJoined := strings.ReplaceAll(strings.Replace(ecadSample, " SOUID,    DATE", "STAID, SOUID,    DATE", 1), "\n99000", "\n 99901,99000")
	for _, c := range []struct {
		name, text string
		opt        Options
		want       string
	}{
		{"BoM: a total over three days; the blank days before it are no part of the record", bomSample, Options{},
			"099901, , mm, from 2019-01-02: 4.2S 4.2S 4.2S 0 3.2 – 5.4D; 12.6 over 3 to 2019-01-04; doubtful count=1 share=0.1429 unfinished"},
		{"BoM: byte-order mark, CRLF, unpadded station", "\ufeff" + strings.ReplaceAll(strings.ReplaceAll(bomSample, "099901", "99901"), "\n", "\r\n"), Options{},
			"099901, , mm, from 2019-01-02: 4.2S 4.2S 4.2S 0 3.2 – 5.4D; 12.6 over 3 to 2019-01-04; doubtful count=1 share=0.1429 unfinished"},
		{"BoM: the days of a total without rows, at the head of the file too", bomHeader + "IDCJAC0009,099901,2020,03,02,9.0,3,N\nIDCJAC0009,099901,2020,03,03,1.0,1,Y\n", Options{},
			"099901, , mm, from 2020-02-29: 3SD 3SD 3SD 1; 9 over 3 to 2020-03-02; doubtful count=3 share=0.75 unfinished"},
		{"BoM: a total over two days", bomHeader + "IDCJAC0009,099901,2020,03,01,1.0,1,Y\nIDCJAC0009,099901,2020,03,03,9.0,2,Y\n", Options{},
			"099901, , mm, from 2020-03-01: 1 4.5S 4.5S; 9 over 2 to 2020-03-03"},
		{"DWD: a form without an amount is a trace; two days have no row", dwdSample, Options{},
			"99901, , mm, from 1978-02-28: 2.2D 0 0T – – – 10.5; doubtful count=1 share=0.1429 form-only"},
		{"DWD: the climate product", dwdClimateSample, Options{},
			"99902, , mm, from 2021-07-14: 148 0.4D; doubtful count=1 share=0.5 form-only"},
		// The historical and the recent file overlap; joined, the shared days
		// count once and the second header is passed over.
		{"DWD: joined", dwdSample + dwdSample[:strings.Index(dwdSample, "\n")+1] + "      99901;19780306;   10;  10.5;   4;-999;-999;eor\n      99901;19780307;    3;   1.0;   6;-999;-999;eor\n", Options{},
			"99901, , mm, from 1978-02-28: 2.2D 0 0T – – – 10.5 1; duplicate count=1; doubtful count=1 share=0.125 form-only"},
		{"ECA&D", ecadSample, Options{},
			"99901, NOWHERELAND, CARROW, 0.1 mm, from 2020-02-28: 1.2 0 – 90.5D 0.7; doubtful count=1 share=0.2 suspect"},
		{"ECA&D: the number of columns is the header's to say", ecadJoined, Options{},
			"99901, NOWHERELAND, CARROW, 0.1 mm, from 2020-02-28: 1.2 0 – 90.5D 0.7; doubtful count=1 share=0.2 suspect"},
		{"ECA&D: one source", strings.Replace(ecadSample, "This is the blended series of station NOWHERELAND, CARROW (STAID: 99901).", "This is the original series of station NOWHERELAND, CARROW (SOUID: 990001).", 1), Options{},
			"990001, NOWHERELAND, CARROW, 0.1 mm, from 2020-02-28: 1.2 0 – 90.5D 0.7; doubtful count=1 share=0.2 suspect"},
		{"ECA&D: a suspect value that is no rain is missing, and one of quality 9", ecadSample + "990002,20200304,  -31,    1\n990002,20200305,99999,    1\n990002,20200306,   50,    9\n990002,20200307,    3,    0\n", Options{},
			"99901, NOWHERELAND, CARROW, 0.1 mm, from 2020-02-28: 1.2 0 – 90.5D 0.7 –F –F – 0.3; doubtful count=1 share=0.1111 suspect"},
		{"Environment Canada", envCanadaSample, Options{},
			"8209999, CARROW A, mm, from 2015-01-01: 1.6 0T 3S 3S 3S 0 2.4D – – 0.2 3SD 3SD; 9 over 3 to 2015-01-05; 6 over 2 to 2015-01-12; uncertain count=1; doubtful count=3 share=0.25 estimated"},
		{"Environment Canada: a total with no C or L before it covers the missing days before it, or its own alone",
			envCanadaHead + envCanadaRow("2015-01-01", "1.0", "") + envCanadaRow("2015-01-02", "", "M") + envCanadaRow("2015-01-03", "5.0", "A") + envCanadaRow("2015-01-04", "7.0", "A"), Options{},
			"8209999, CARROW A, mm, from 2015-01-01: 1 2.5S 2.5S 7; 5 over 2 to 2015-01-03; total-span count=1"},
		{"Environment Canada: an estimated total whose days are not stated", envCanadaHead + envCanadaRow("2015-01-01", "1.0", "") + envCanadaRow("2015-01-03", "5.0", "F"), Options{},
			"8209999, CARROW A, mm, from 2015-01-01: 1 2.5SD 2.5SD; 5 over 2 to 2015-01-03; total-span count=1; doubtful count=2 share=0.6667 estimated"},
		{"Environment Canada: C beside an amount is uncertain, and kept", envCanadaHead + envCanadaRow("2015-01-01", "1.0", "C") + envCanadaRow("2015-01-02", "0.0", ""), Options{},
			"8209999, CARROW A, mm, from 2015-01-01: 1D 0; doubtful count=1 share=0.5 estimated"},
		{"Environment Canada: years joined, headers and marks passed over", envCanadaHead + envCanadaRow("2015-12-31", "1.0", "") + "\ufeff" + envCanadaHead + envCanadaRow("2016-01-01", "4.0", ""), Options{},
			"8209999, CARROW A, mm, from 2015-12-31: 1 4"},
		{"Environment Canada: the older form", envCanadaOldSample, Options{},
			"8209998, CARROW A, mm, from 2015-01-01: 1.6D 0.4; doubtful count=1 share=0.5 estimated"},
		{"NASA POWER", nasaSample, Options{},
			", grid cell at 12.3456, -65.4321, mm, from 2019-12-30: 0.25 – 0 12.5; modelled NASA POWER"},
		{"NASA POWER: by day of the year", nasaDOYSample, Options{},
			", grid cell at 12.3456, -65.4321, mm, from 2019-12-30: 0.25 – 0 12.5; modelled NASA POWER"},
		{"Open-Meteo: precipitation, not rain alone; the last NaN cut off", openMeteoSample, Options{},
			", grid cell at 12.34567, -65.43210, mm, from 2019-12-30: 0.3 0 4.2; modelled Open-Meteo"},
		{"Open-Meteo: inches", strings.ReplaceAll(openMeteoSample, "_sum (mm)", "_sum (inch)"), Options{},
			", grid cell at 12.34567, -65.43210, in, from 2019-12-30: 7.62 0 106.68; modelled Open-Meteo"},
		{"Open-Meteo: rain alone", strings.Replace(openMeteoSample, "precipitation_sum (mm)", "snowfall_sum (cm)", 1), Options{},
			", grid cell at 12.34567, -65.43210, mm, from 2019-12-30: 0.1 0 0; modelled Open-Meteo; rain-only"},
		{"Open-Meteo: a model chosen", strings.Replace(openMeteoSample, "rain_sum (mm),precipitation_sum (mm)", "precipitation_sum_era5 (mm),precipitation_sum_era5_land (mm)", 1), Options{Column: "precipitation_sum_era5_land (mm)"},
			", grid cell at 12.34567, -65.43210, mm, from 2019-12-30: 0.3 0 4.2; modelled Open-Meteo"},
		{"KNMI: etmgeg does not name the place", knmiSample, Options{},
			"999, , 0.1 mm, from 1999-12-30: 3.4 0 0T – 0.7"},
		{"KNMI: a station chosen", knmiSeveralSample, Options{Station: "999"},
			"999, Tarn Lane, 0.1 mm, from 2020-01-01: 2 2.1"},
		{"Met Éireann", metEireannSample, Options{},
			", CARROW HILL, mm, from 1941-12-31: 0 0 – 3.5; indicator count=1 2 (1)"},
		{"Met Éireann: years of two digits", metEireannShortSample, Options{},
			", , mm, from 1999-12-30: 1.5 – 0.1; two-digit-years pivot=40"},
	} {
		r, err := Bytes("record.txt", []byte(c.text), c.opt)
		require.NoError(t, err, c.name)
		publisher, _, _ := strings.Cut(c.name, ":")
		assert.Contains(t, r.Format, publisher)
		assert.Equal(t, strings.HasPrefix(c.name, "NASA") || strings.HasPrefix(c.name, "Open"), r.Modelled, c.name)
		assert.Equal(t, c.want, described(r), c.name)
	}
	// After a hole too long to be of an estimated total it is left out, and no
	// day of it is doubtful.
	r := mustRead(t, envCanadaHead+envCanadaRow("2015-01-01", "1.0", "")+envCanadaRow("2015-01-03", "5.0", "F")+envCanadaRow("2015-06-01", "8.0", "F")+envCanadaRow("2015-06-02", "0.0", ""), Options{})
	assert.True(t, math.IsNaN(r.Depth[len(r.Depth)-2]))
	assert.Equal(t, 2, r.Count(rainfall.Doubtful))
}

// The century is followed through the file: only the last year's is set by a
// rule.
func TestFollowCentury(t *testing.T) {
	for _, c := range []struct{ short, want []int }{
		{[]int{42, 43, 99, 0, 1, 25}, []int{1942, 1943, 1999, 2000, 2001, 2025}},
		{[]int{42, 42, 68}, []int{1942, 1942, 1968}},          // closed before 2000
		{[]int{10, 25}, []int{2010, 2025}},                    // begun after
		{[]int{85, 3}, []int{1985, 2003}},                     // a long hole over the turn
		{[]int{90, 99, 0, 50}, []int{1890, 1899, 1900, 1950}}, // an older record
		{[]int{90, 0, 60, 99, 0, 20}, []int{1890, 1900, 1960, 1999, 2000, 2020}},
		{[]int{41}, []int{1941}},
	} {
		years := append([]int(nil), c.short...)
		assert.Equal(t, -1, followCentury(years), "%v", c.short)
		assert.Equal(t, c.want, years)
	}
	assert.Equal(t, 2, followCentury([]int{42, 43, 42}), "out of order is no turn of the century")
}

// What is wrong with a publisher's file is said, with its line.
func TestFormatErrors(t *testing.T) {
	irish := strings.SplitAfter(metEireannShortSample, "\r\n")[0]
	row := func(date, rain string) string { return fmt.Sprintf("%s,9.7,6.8,4.7,%s,1020.3,17.2\r\n", date, rain) }
	swap := func(text, from, to string) string { return strings.Replace(text, from, to, 1) }
	rain := "rain_sum (mm),precipitation_sum (mm)"
	for _, c := range []struct{ text, want string }{
		{bomHeader + "IDCJAC0009,099901,2019,02,29,1.0,1,Y\n", `:2: there is no day "2019-02-29"`},
		{bomHeader + "IDCJAC0009,099901,2019,02,28,1.0,0,Y\n", `:2: period "0" is no number of days from 1 to 366`},
		{bomHeader + "IDCJAC0009,099901,2019,02,28,wet,1,Y\n", `:2: rainfall "wet" is not a number`},
		{bomHeader + "IDCJAC0009,099901,2019,02,28,-1,1,Y\n", `:2: rain of -1 mm is below zero`},
		{bomHeader + "IDCJAC0009,099901,2019,02,28,1,1,Y\nIDCJAC0009,099902,2019,02,28,1,1,Y\n", ":3: the file holds 2 stations"},
		{"Product code,Bureau of Meteorology station number,Year,Month,Day,Maximum temperature (Degree C)\nIDCJAC0010,099901,2019,01,01,30.1\n", "IDCJAC0009"},
		{dwdHeader + "99901;1978022800;1;2.2;1;0;-999;eor\n", `:2: "1978022800" is an hour or a minute, not a day`},
		{dwdHeader + "99901;19780230;1;2.2;1;0;-999;eor\n", `:2: there is no day "19780230"`},
		{dwdHeader + "99901;19780228;1;2.2\n", ":2: 4 fields where 8 were expected"},
		{"STATIONS_ID;MESS_DATUM;QN_9;TT_TU;RF_TU;eor\n99901;1978022800;1;2.2;1;eor\n", `:1: no column "RS"`},
		{ecadSample + "990002,20200304,   31,    4\n", `:21: quality code "4" is not 0, 1 or 9`},
		{ecadSample + "990002,20200230,   31,    0\n", `:21: there is no day "20200230"`},
		{ecadSample + "990002,20200304,  -31,    0\n", `:21: rain of -3.1 mm is below zero`},
		{ecadSample + "990002,20200303,    8,    0\n", `:21: 2020-03-03 is 0.8 mm here and 0.7 mm on line 20`},
		{strings.NewReplacer("   RR, Q_RR", "   TG, Q_TG").Replace(ecadSample), ":14: the series holds TG, not RR"},
		{envCanadaHead + envCanadaRow("2015-02-30", "1.0", ""), `:2: there is no day "2015-02-30"`},
		{envCanadaHead + envCanadaRow("2015-02-28", "-1.0", "C"), ":2: rain of -1 mm is below zero"},
		{envCanadaHead + envCanadaRow("2015-02-28", "1.0", "") + strings.ReplaceAll(envCanadaRow("2015-02-28", "1.0", ""), "8209999", "8209998"), "the file holds 2 stations"},
		{"\"Date/Time\",\"Year\",\"Month\",\"Total Precip (mm)\",\"Total Precip Flag\"\n\"2015-01\",\"2015\",\"01\",\"90.1\",\"\"\n", "download the daily values"},
		{swap(nasaDOYSample, "2020,2,12.5", "2020,367,12.5"), `:15: day "367" of the year 2020 is not from 1 to 366`},
		{swap(nasaDOYSample, "2019,365,-999", "2019,366,1.0"), `:13: day "366" of the year 2019 is not from 1 to 365`},
		{swap(nasaDOYSample, "2020,2,12.5", "2020,2,"), ":15: PRECTOTCORR"},
		{swap(nasaDOYSample, "2020,2,12.5", "2020,2,-998"), ":15: rain of -998 mm is below zero"},
		{swap(nasaDOYSample, "YEAR,DOY,PRECTOTCORR", "Y,D,P"), "no table with a column YEAR"},
		{swap(nasaDOYSample, "YEAR,DOY,PRECTOTCORR", "YEAR,DOY,T2M"), `:11: no column "PRECTOTCORR"`},
		{swap(nasaDOYSample, "YEAR,DOY,", "YEAR,MO,"), ":11: no columns YEAR, MO, DY or YEAR, DOY"},
		{swap(nasaDOYSample, "(mm/day)", "(in/day)"), ":9: PRECTOTCORR is in in/day, not mm/day"},
		{swap(nasaSample, "YEAR,MO,DY,T2M", "YEAR,MO,DY,HR"), ":11: the values are of hours"},
		{swap(openMeteoSample, rain, "precipitation_sum_era5 (mm),precipitation_sum_era5_land (mm)"), ":4: several columns of precipitation: precipitation_sum_era5 (mm), precipitation_sum_era5_land (mm)"},
		{swap(openMeteoSample, "2020-01-01,73", "2020-13-01,73"), `:7: there is no day "2020-13-01"`},
		{swap(openMeteoSample, "4.20,9.0", "x,9.0"), `:7: precipitation "x" is not a number`},
		{swap(openMeteoSample, rain, "rain_sum,precipitation_sum"), ":4: no column precipitation_sum with its unit"},
		{swap(openMeteoSample, "precipitation_sum (mm)", "precipitation_sum (kg)"), `:4: precipitation is in "kg", not mm or inch`},
		{swap(openMeteoSample, rain, "snowfall_sum (cm),showers_sum (mm)"), ": no table with the columns time and precipitation_sum"},
		{knmiSeveralSample, ":8: the file holds 2 stations"},
		{"# STN,YYYYMMDD,   HH,   RH\n  998,20200101,    1,   10\n", ":1: the values are of hours"},
		{"# STN,YYYYMMDD,   TG\n  998,20200101,   10\n", `:1: no column "RH"`},
		{"# STN,YYYYMMDD,   RH\n  998,20200101,   -2\n", ":2: rain of -0.2 mm is below zero"},
		{irish + row("30-Feb-1999", "1"), `:2: date "30-Feb-1999" is no day of the year 1999`},
		{irish + row("29-Feb-99", "1"), `:2: date "29-Feb-99" is no day of the year 1999`},
		{irish + row("01-Jan-99", "1") + row("01-Jun-98", "1"), ":3: the year goes from 99 to 98"},
		{irish + row("01-Jan-99", "1") + row("02-Jan-1999", "1"), ":3: a year of two digits and a year of four"},
		{irish + row("01-Jan-99", "1") + row("02-Abc-99", "1"), `:3: "Abc" is no month`},
		{irish + row("01-Jan-99", "1") + row("1999-01-02", "1"), `:3: date "1999-01-02" is no day of the form 01-jan-1942`},
		{irish + row("01-jan-1999 01:00", "1"), ":2: the values are of hours"},
		{irish + row("01-Jan-99", "x"), `:2: rain "x" is not a number`},
	} {
		_, err := Bytes("record.txt", []byte(c.text), Options{})
		var e *Error
		require.ErrorAs(t, err, &e)
		assert.Equal(t, "record.txt", e.File)
		if strings.HasPrefix(c.want, ":") {
			assert.True(t, strings.HasPrefix(e.Error(), "record.txt"+c.want), "%v, not %s", e, c.want)
		} else {
			assert.Contains(t, e.Error()+" "+e.Hint, c.want)
		}
	}
}
