package read

import (
	"fmt"
	"strings"

	"tankodds/rainfall"
)

// dlyLine writes a line of a GHCN-Daily station file to its description: 31
// values of five characters, each with three flags; −9999 past the days given.
func dlyLine(station string, year, month int, element string, days ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-11s%04d%02d%s", station, year, month, element)
	for d := range 31 {
		v := "-9999"
		if d < len(days) {
			v = days[d]
		}
		value, flags := v, ""
		if at := strings.IndexByte(v, '/'); at >= 0 {
			value, flags = v[:at], v[at+1:]
		}
		fmt.Fprintf(&b, "%5s%-3s", value, flags)
	}
	return b.String() + "\n"
}

// The files here are written by hand to the descriptions of their formats;
// the stations do not exist.
var (
	sampleDly = dlyLine("XX000000001", 2001, 1, "TMAX", "12", "30") +
		dlyLine("XX000000001", 2001, 1, "PRCP", "0/P", "13", "5/ I", "0/T", "-9999", "-9999", "-9999", "20") +
		dlyLine("XX000000001", 2001, 1, "MDPR", "-9999", "-9999", "-9999", "-9999", "-9999", "-9999", "90") +
		dlyLine("XX000000001", 2001, 1, "DAPR", "-9999", "-9999", "-9999", "-9999", "-9999", "-9999", "3")

	sampleGHCNCSV = `XX000000001,20010101,TMAX,12,,,7,0700
XX000000001,20010101,PRCP,0,P,,7,0700
XX000000001,20010102,PRCP,13,,,7,0700
XX000000001,20010103,PRCP,5,,I,7,
XX000000001,20010104,PRCP,0,T,,7,
XX000000001,20010107,MDPR,90,,,7,
XX000000001,20010107,DAPR,3,,,7,
XX000000001,20010108,PRCP,20,,,7,
`
	sampleAccess = `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","MDPR","MDPR_ATTRIBUTES","DAPR","DAPR_ATTRIBUTES"
"XX000000001","2001-01-01","1.5","2.5","3.0","NOWHERE, XX","    0","P,,7",,,,
"XX000000001","2001-01-02","1.5","2.5","3.0","NOWHERE, XX","   13",",,7,0700",,,,
"XX000000001","2001-01-03","1.5","2.5","3.0","NOWHERE, XX","    5",",I,7",,,,
"XX000000001","2001-01-04","1.5","2.5","3.0","NOWHERE, XX","    0","T,,7",,,,
"XX000000001","2001-01-07","1.5","2.5","3.0","NOWHERE, XX",,,"   90",",,7","    3",",,7"
"XX000000001","2001-01-08","1.5","2.5","3.0","NOWHERE, XX","   20",",,7",,,,
`
	// the same rain, ordered in mm with its flags
	sampleOrder = `"STATION","NAME","DATE","DAPR","DAPR_ATTRIBUTES","MDPR","MDPR_ATTRIBUTES","PRCP","PRCP_ATTRIBUTES"
"XX000000001","NOWHERE, XX","2001-01-01",,,,,"0.0","P,,7"
"XX000000001","NOWHERE, XX","2001-01-02",,,,,"1.3",",,7,0700"
"XX000000001","NOWHERE, XX","2001-01-03",,,,,"0.5",",I,7"
"XX000000001","NOWHERE, XX","2001-01-04",,,,,"0.0","T,,7"
"XX000000001","NOWHERE, XX","2001-01-07","3",",,7","9.0",",,7",,
"XX000000001","NOWHERE, XX","2001-01-08",,,,,"2.0",",,7"
`
	sampleGSOD = `STN,WBAN,YEARMODA,TEMP,COUNT,DEWP,COUNT,PRCP,FRSHTT
990001,99999,20010101,41.2,24,30.1,24,0.00I,000000
990001,99999,20010102,41.2,24,30.1,24,0.05G,010000
990001,99999,20010103,41.2,24,30.1,24,99.99,000000
990001,99999,20010104,41.2,24,30.1,24,0.12A,010000
990001,99999,20010105,41.2,24,30.1,24,1.00D,010000
`
	samplePast = `"NOWHERE, XX (XX000000001)"
Date,TMAX (Degrees Fahrenheit),PRCP (Inches),SNOW (Inches)
2001-01-01,50,0.00,
2001-01-02,51,0.05,0.0
2001-01-03,52,,
2001-01-04,52,T,
2001-01-05,52,1.00,
`
	samplePlain = `# place: Nowhere (invented)
date,rain_mm
2001-01-01,0
2001-01-02,1.3
2001-01-03,
2001-01-04,T
2001-01-05,25.4
`
)

// samples has a file of each format here, by the format's name.
func samples() map[string]string {
	return map[string]string{
		ghcnDaily().name:       sampleDly,
		ghcnCSV().name:         sampleGHCNCSV,
		ncei().name:            sampleAccess,
		gsod().name:            sampleGSOD,
		nceiPastWeather().name: samplePast,
		plain().name:           samplePlain,
	}
}

// printed renders a record so that two can be compared though they hold NaN.
func printed(r *rainfall.Record) string { return fmt.Sprintf("%+v", *r) }
