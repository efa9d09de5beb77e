package read

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// benchYears is the length of the records that the benchmarks read: the .dly
// reader's promise is for 150 years.
const benchYears = 150

// eachBenchDay calls f with the days of so many years from 1870 on and a rain in tenths of a
// millimetre, a multiple of 0.254 mm where it rains: one day in three.
func eachBenchDay(years int, f func(d rainfall.Date, tenths int)) {
	rng := rand.New(rand.NewPCG(1, 2))
	for d := rainfall.Day(1870, 1, 1); d < rainfall.Day(1870+years, 1, 1); d++ {
		tenths := 0
		if rng.IntN(3) == 0 {
			tenths = int(rng.ExpFloat64()*30) * 254 / 100
		}
		f(d, tenths)
	}
}

func benchDly(years int) string {
	var b strings.Builder
	var days []string
	eachBenchDay(years, func(d rainfall.Date, tenths int) {
		days = append(days, fmt.Sprint(tenths))
		if y, m, _ := d.YMD(); len(days) == rainfall.DaysIn(y, m) {
			for _, e := range []string{"TMAX", "TMIN", "PRCP", "SNOW", "SNWD"} {
				b.WriteString(dlyLine("XX000000001", y, int(m), e, days...))
			}
			days = days[:0]
		}
	})
	return b.String()
}

// benchCSV writes the head, then a row for every day.
func benchCSV(head, row string) func(years int) string {
	return func(years int) string {
		var b strings.Builder
		b.WriteString(head)
		eachBenchDay(years, func(d rainfall.Date, tenths int) {
			y, m, day := d.YMD()
			b.WriteString(strings.NewReplacer("ISO", d.String(), "YMD", fmt.Sprintf("%04d%02d%02d", y, int(m), day),
				"DMY", fmt.Sprintf("%02d/%02d/%04d", day, int(m), y), "Y,M,D", fmt.Sprintf("%d,%d,%d", y, int(m), day),
				"IRISH", fmt.Sprintf("%02d-%s-%d", day, strings.ToLower(m.String()[:3]), y),
				"PADDED", fmt.Sprintf("%5d", tenths), "TENTHS", fmt.Sprint(tenths),
				"MM", fmt.Sprintf("%.1f", float64(tenths)/10), "IN", fmt.Sprintf("%.2f", float64(tenths)/254)).Replace(row))
		})
		return b.String()
	}
}

const ghcnRows = "XX000000001,YMD,TMAX,12,,,7,0700\nXX000000001,YMD,PRCP,TENTHS,,,7,0700\nXX000000001,YMD,SNOW,0,,,7,0700\n"

// readBench is a file to be read by a benchmark.
type readBench struct {
	name string
	text func(years int) string
	opt  Options
}

// readBenches lists files of any number of years; the rows are as wide and as
// padded as the publishers'.
func readBenches() []readBench {
	cut := func(sample, before string) string { return sample[:strings.Index(sample, before)] }
	return []readBench{
		{"ghcn-dly", benchDly, Options{}},
		{"ghcn-csv", benchCSV("", ghcnRows), Options{}},
		{"ghcn-csv.gz", func(years int) string { return gz(benchCSV("", ghcnRows)(years)) }, Options{}},
		{"ncei-access", benchCSV(`"STATION","DATE","LATITUDE","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES"`+"\n", `"XX000000001","ISO","1.5","NOWHERE, XX","PADDED",",,7","  139",",,7"`+"\n"), Options{}},
		{"ncei-order", benchCSV(`"STATION","NAME","DATE","PRCP","TMAX","TMIN"`+"\n", `"XX000000001","NOWHERE, XX","ISO","IN","71","51"`+"\n"), Options{Unit: "in"}},
		{"gsod", benchCSV("STN,YEARMODA,TEMP,PRCP,FRSHTT\n", "990001,YMD,41.2,ING,010000\n"), Options{}},
		{"ncei-past", benchCSV("\"NOWHERE (XX)\"\nDate,TMAX (Degrees Fahrenheit),PRCP (Inches)\n", "ISO,71,IN\n"), Options{}},
		{"plain", benchCSV("date,rain_mm\n", "ISO,MM\n"), Options{}},
		{"plain-inferred", benchCSV("day,rainfall,note\n", "DMY,MM,x\n"), Options{}},
		{"BoM", benchCSV(bomHeader, "IDCJAC0009,099901,Y,M,D,MM,1,Y\n"), Options{}},
		{"ECAD", benchCSV(cut(ecadSample, "990001,2020"), "990001,YMD,PADDED,    0\n"), Options{}},
		{"DWD", benchCSV(dwdHeader, "      99901;YMD;    9;   MM;   1;   0;-999;eor\n"), Options{}},
		{"KNMI", benchCSV("# STN,YYYYMMDD,   RH"+strings.Repeat(",   XX", 38)+"\n", "  999,YMD,PADDED,   12,   34"+strings.Repeat(",     ", 36)+"\n"), Options{}},
		{"MetEireann", benchCSV("date,ind,maxtp,ind,mintp,igmin,gmin,ind,rain,cbl,wdsp,ind,hm,ind,ddhm,ind,hg,soil\n", "IRISH,0,9.7,0,6.8,0,4.7,0,MM,1020.3,17.2,0,24,0,210,0,31, \n"), Options{}},
		{"EnvCanada", benchCSV(envCanadaHead, `"-63.51","44.88","CARROW A","8209999","ISO",Y,M,D,"","-2.2","","","M","","M","MM",""`+"\n"), Options{}},
		{"NASAPower", benchCSV(nasaHead+"YEAR,MO,DY,PRECTOTCORR"+strings.Repeat(",X", 18)+"\n", "Y,M,D,MM"+strings.Repeat(",-999.0", 18)+"\n"), Options{}},
		{"OpenMeteo", benchCSV(cut(openMeteoSample, "2019-12-30"), "ISO,51,0.00,MM0,2.0\n"), Options{}},
	}
}

// BenchmarkRead reads benchYears years in each format.
func BenchmarkRead(b *testing.B) {
	for _, c := range readBenches() {
		b.Run(c.name, func(b *testing.B) {
			text := []byte(c.text(benchYears))
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				r, err := Bytes("f", text, c.opt)
				if err != nil || len(r.Depth) < 36500 {
					b.Fatal(err, r)
				}
			}
		})
	}
}

// Every format is measured.
func TestEveryFormatIsMeasured(t *testing.T) {
	measured := map[string]bool{}
	for _, c := range readBenches() {
		r, err := Bytes("f", []byte(c.text(5)), c.opt)
		require.NoError(t, err, c.name)
		measured[r.Format] = true
	}
	for _, f := range Formats() {
		assert.True(t, measured[f], f)
	}
}
