package read

import (
	"fmt"
	"strings"

	"tankodds/rainfall"
)

// century writes a file of 1920–2019: the head, then row for every day.
func century(head string, row func(d rainfall.Date, tenths int) string) string {
	var b strings.Builder
	b.WriteString(head)
	for d := rainfall.Day(1920, 1, 1); d <= rainfall.Day(2019, 12, 31); d++ {
		b.WriteString(row(d, max(0, (int(d)+40000)*7919%1009-700)))
	}
	return b.String()
}

// worldBenches lists files of a century; the rows are as wide and as padded as
// the publishers'.
func worldBenches() []readBench {
	ymd := func(d rainfall.Date) string { return strings.ReplaceAll(d.String(), "-", "") }
	cut := func(sample, before string) string { return sample[:strings.Index(sample, before)] }
	blanks := strings.Repeat(",     ", 36)
	century := func(head string, row func(d rainfall.Date, tenths int) string) func() string {
		return func() string { return century(head, row) }
	}
	return []readBench{
		{"BoM", century(bomHeader, func(d rainfall.Date, v int) string {
			return fmt.Sprintf("IDCJAC0009,099901,%s,%d.%d,1,Y\n", strings.ReplaceAll(d.String(), "-", ","), v/10, v%10)
		}), Options{}},
		{"ECAD", century(cut(ecadSample, "990001,2020"), func(d rainfall.Date, v int) string {
			return fmt.Sprintf("990001,%s,%5d,%5d\n", ymd(d), v, 0)
		}), Options{}},
		{"DWD", century(dwdHeader, func(d rainfall.Date, v int) string {
			return fmt.Sprintf("      99901;%s;%5d;%4d.%d;   1;   0;-999;eor\n", ymd(d), 9, v/10, v%10)
		}), Options{}},
		{"KNMI", century("# STN,YYYYMMDD,   RH"+strings.Repeat(",   XX", 38)+"\n", func(d rainfall.Date, v int) string {
			return fmt.Sprintf("  999,%s,%5d,   12,   34%s\n", ymd(d), v, blanks)
		}), Options{}},
		{"MetEireann", century("date,ind,maxtp,ind,mintp,igmin,gmin,ind,rain,cbl,wdsp,ind,hm,ind,ddhm,ind,hg,soil\n", func(d rainfall.Date, v int) string {
			y, m, day := d.YMD()
			return fmt.Sprintf("%02d-%s-%d,0,9.7,0,6.8,0,4.7,0,%d.%d,1020.3,17.2,0,24,0,210,0,31, \n", day, strings.ToLower(m.String()[:3]), y, v/10, v%10)
		}), Options{}},
		{"EnvCanada", century(envCanadaHead, func(d rainfall.Date, v int) string {
			return envCanadaRow(d.String(), fmt.Sprintf("%d.%d", v/10, v%10), "")
		}), Options{}},
		{"NASAPower", century(nasaHead+"YEAR,MO,DY,PRECTOTCORR"+strings.Repeat(",X", 18)+"\n", func(d rainfall.Date, v int) string {
			y, m, day := d.YMD()
			return fmt.Sprintf("%d,%d,%d,%d.%d%s\n", y, m, day, v/10, v%10, strings.Repeat(",-999.0", 18))
		}), Options{}},
		{"OpenMeteo", century(cut(openMeteoSample, "2019-12-30"), func(d rainfall.Date, v int) string {
			return fmt.Sprintf("%v,51,0.00,%d.%d0,2.0\n", d, v/10, v%10)
		}), Options{}},
	}
}
