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

// warm writes a record's temperatures: highest/lowest of each day, – missing,
// and its latitude.
func warm(r *rainfall.Record) string {
	if r.Max == nil && r.Min == nil {
		return fmt.Sprintf("none, %g", r.Latitude)
	}
	one := func(x float64) string {
		if math.IsNaN(x) {
			return "–"
		}
		return fmt.Sprintf("%.10g", x)
	}
	var b strings.Builder
	for i := range r.Max {
		b.WriteString(one(r.Max[i]) + "/" + one(r.Min[i]) + " ")
	}
	return fmt.Sprintf("%s, %g", strings.TrimSpace(b.String()), r.Latitude)
}

// heatSample is a file with temperatures. It is written by hand to the
// description of its format, values and station invented: 50 °F is 10 °C, 41 °F
// is 5 °C.
type heatSample struct {
	name string
	opt  Options
	text string
	want string
}

func heatSamples() []heatSample {
	access := `"STATION","DATE","LATITUDE","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n"
	order := `"STATION","NAME","LATITUDE","DATE","PRCP","TMAX","TMAX_ATTRIBUTES","TMIN"` + "\n"
	year := func(head string, warmest, coldest float64, form string) string {
		b := strings.Builder{}
		b.WriteString(head)
		for i := range 365 {
			x := (1 - math.Cos(2*math.Pi*float64(i)/365)) / 2 // winter 0, summer 1
			fmt.Fprintf(&b, "%v,%d.%d,"+form+"\n", rainfall.Day(2001, 1, 1)+rainfall.Date(i), i*i%13*(i%3/2), i%7*(i%3/2), coldest+x*(warmest-coldest), coldest-5)
		}
		return b.String()
	}
	return []heatSample{
		{"GHCN-Daily station file: tenths; a value that failed a check and a day outside the record's rain are none", Options{},
			dlyLine("XX000000001", 2001, 1, "TMAX", "-100", "222", "300/ I", "-9999", "9999") + dlyLine("XX000000001", 2001, 1, "TMIN", "-200", "-50", "90", "80") +
				dlyLine("XX000000001", 2001, 1, "PRCP", "-9999", "13", "0", "20", "1"), "22.2/-5 –/9 –/8 –/–, NaN"},
		{"GHCN-Daily CSV: temperatures stand before the rain by which the station is known", Options{},
			"XX000000002,20010101,TMAX,99,,,7,0700\nXX000000001,20001231,TMAX,122,,X,7,0700\nXX000000001,20010101,TMAX,300,,X,7,0700\nXX000000001,20010101,TMAX,-9999,,,7,0700\nXX000000001,20010101,TMAX,122,,,7,0700\nXX000000001,20010101,TMIN,-12,,,7,0700\nXX000000001,20010101,PRCP,5,,,7,0700\n" +
				"XX000000001,20010102,TMAX,130,,X,7,0700\nXX000000001,20010102,PRCP,0,,,7,0700\nXX000000001,20010102,TMIN,10,,,7,0700\n", "12.2/-1.2 –/1, NaN"},
		{"GHCN-Daily CSV: a station chosen", Options{Station: "XX000000001"},
			"XX000000002,20010101,TMAX,99,,,7,0700\nXX000000002,20010101,PRCP,99,,,7,0700\nXX000000001,20010101,TMAX,122,,,7,0700\nXX000000001,20010101,PRCP,5,,,7,0700\n", "12.2/–, NaN"},
		{"NCEI daily summaries: the archive", Options{},
			access + `"XX000000001","2001-01-01","-36.5","NOWHERE","    0",",,7","  222",",,7","  -50",",,7"` + "\n" +
				`"XX000000001","2001-01-02","-36.5","NOWHERE","   13",",,7","  300",",I,7","",""` + "\n" +
				`"XX000000001","2001-01-04","-36.5","NOWHERE","   13",",,7"," 9999",",,7","  -11",",,7"` + "\n", "22.2/-5 –/– –/– –/-1.1, -36.5"},
		{"NCEI daily summaries: an order in inches", Options{Unit: "in"},
			order + `"XX000000001","NOWHERE","36.5","2001-01-01","0.05","50",",,7","41"` + "\n" + `"XX000000001","NOWHERE","36.5","2001-01-02","0.00","104",",D,7","23"` + "\n", "10/5 –/-5, 36.5"},
		{"NCEI daily summaries: an order in millimetres", Options{Unit: "mm"},
			order + `"XX000000001","NOWHERE","36.5","2001-01-01","0.5","10.6",",,7","-4.0"` + "\n" + `"XX000000001","NOWHERE","36.5","2001-01-02","0.0","-9999",",,7",""` + "\n", "10.6/-4 –/–, 36.5"},
		{"NCEI daily summaries: an older order, each element's flags in the columns after it", Options{Unit: "mm"},
			"STATION,STATION_NAME,LATITUDE,DATE,PRCP,Measurement Flag,Quality Flag,TMAX,Measurement Flag,Quality Flag,TMIN,Measurement Flag,Quality Flag\n" +
				"XX000000001,NOWHERE,36.5,20010101,0.5,,,10.6,,,1.0,,\nXX000000001,NOWHERE,36.5,20010102,0.2,,,10.6,,I,2.0,H,\n", "10.6/1 –/2, 36.5"},
		{"NCEI global summary of the day: °F, stars, 9999.9", Options{},
			"STATION,DATE,LATITUDE,LONGITUDE,NAME,TEMP,DEWP,WDSP,MAX,MAX_ATTRIBUTES,MIN,MIN_ATTRIBUTES,PRCP,PRCP_ATTRIBUTES,FRSHTT\n" +
				"99000199999,2001-01-01,60.5,2.5,NOWHERE,41.2,30.1,5.0,  50.0,*,  41.0, ,0.05,G,000000\n99000199999,2001-01-02,60.5,2.5,NOWHERE,41.2,30.1,5.0,9999.9, ,  -4.0*, ,0.00,G,000000\n", "10/5 –/-20, 60.5"},
		{"NCEI global summary of the day: no position", Options{},
			"STATION,DATE,LATITUDE,LONGITUDE,TEMP,DEWP,WDSP,MAX,MIN,PRCP,FRSHTT\n99000199999,2001-01-01,+00.000,+000.000,41.2,30.1,5.0,50.0,41.0,0.05G,000000\n", "10/5, NaN"},
		{"NCEI global summary of the day: a copy in millimetres", Options{Unit: "mm"},
			"STNID,YEARMODA,LATITUDE,TEMP,DEWP,WDSP,MAX,MIN,PRCP,FRSHTT\n990001,20010101,60.5,4.2,3.1,5.0,10.5,-5.0,1.5,000000\n", "10.5/-5, 60.5"},
		{"NCEI past weather: °F", Options{},
			`"NOWHERE, XX (XX000000001)"` + "\nDate,TAVG (Degrees Fahrenheit),TMAX (Degrees Fahrenheit),TMIN (Degrees Fahrenheit),PRCP (Inches)\n2001-01-01,,50,41,0.00\n2001-01-02,,51.8,-99,0.05\n2001-01-03,,M,14,T\n2001-01-04,,-99.9,999.9,0.00\n", "10/5 11/– –/-10 –/–, NaN"},
		{"NCEI past weather: °C", Options{},
			`"NOWHERE, XX (XX000000001)"` + "\nDate,TMIN (Degrees Celsius),TMAX (Degrees Celsius),PRCP (mm)\n2001-01-01,4.5,10.1,0.0\n2001-01-02,-99,99.9,0.5\n", "10.1/4.5 –/–, NaN"},
		{"DWD daily observations: the climate product", Options{},
			"STATIONS_ID;MESS_DATUM;QN_4; RSK;RSKF; TMK; TXK; TNK;eor\n99902;20210714;    3; 148.0;   6;  15.9;  17.0;  14.1;eor\n99902;20210715;    3;   0.4;   6;  15.9;-999;   -1.0;eor\n", "17/14.1 –/-1, NaN"},
		{"KNMI daily values: tenths, a station of several", Options{Station: "999"},
			"# STN         LON(east)   LAT(north)  ALT(m)      NAME\n# 998         5.180       52.100      1.90        Carrow\n# 999         5.520       52.458      -3.70       Tarn Lane\n# STN,YYYYMMDD,   TN,   TX,   RH\n" +
				"  998,20200101,    1,    2,   10\n  999,20200101,  -12,   34,   20\n  998,20200102,    1,    2,   11\n  999,20200102,     ,    5,   21\n", "3.4/-1.2 0.5/–, 52.458"},
		{"Met Éireann", Options{}, metEireannSample, "9.7/6.8 9.9/7.9 11.2/8.9 9.2/2.7, 53"},
		{"Met Éireann: a copy without a preamble", Options{}, metEireannShortSample, "9.7/6.8 9.7/6.8 9.9/7.9, NaN"},
		{"Environment Canada daily CSV: flags", Options{},
			"\ufeff" + strings.Replace(envCanadaHead, `"Max Temp Flag"`, `"Max Temp Flag","Min Temp (°C)","Min Temp Flag"`, 1) +
				strings.ReplaceAll(envCanadaRow("2015-01-01", "1.6", ""), `"-2.2",""`, `"-2.2","E","-8.0",""`) +
				strings.ReplaceAll(envCanadaRow("2015-01-02", "1.6", ""), `"-2.2",""`, `"","M","0.0","Y"`), "-2.2/-8 –/–, 44.88"},
		{"Environment Canada daily CSV: the older form", Options{}, strings.Replace(envCanadaOldSample, "\"Province\"", "\"Latitude\",\"44.88\"\n\"Province\"", 1), "-2.2/– 1.3/–, 44.88"},
		{"NASA POWER daily point", Options{},
			strings.Replace(nasaHead, "-END", "T2M_MAX                 MERRA-2 Temperature at 2 Meters Maximum (C) \n-END", 1) + "YEAR,MO,DY,T2M_MAX,T2M_MIN,PRECTOTCORR\n2019,12,30,20.12,-9.99,0.25\n2019,12,31,-999,9.5,0.3\n", "20.12/-9.99 –/9.5, 12.3456"},
		{"NASA POWER daily point: kelvins", Options{},
			strings.Replace(nasaHead, "-END", "T2M_MAX                 MERRA-2 Temperature at 2 Meters Maximum (K) \n-END", 1) + "YEAR,MO,DY,T2M_MAX,PRECTOTCORR\n2019,12,30,293.15,0.25\n", "20/–, 12.3456"},
		{"Open-Meteo daily: °F", Options{},
			strings.NewReplacer("rain_sum (mm)", "temperature_2m_max (°F),temperature_2m_min (°C)", ",0.10,", ",50.0,-5.5,", ",0.00,0.00,", ",NaN,0.0,0.00,", ",0.00,4.20", ",14.0,,4.20", ",NaN,NaN", ",NaN,NaN,NaN").Replace(openMeteoSample),
			"10/-5.5 –/0 -10/–, 12.34567"},
		{"Open-Meteo daily: the model whose rain is taken, a location of several", Options{Station: "1", Column: "precipitation_sum_b (mm)"},
			"location_id,latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation\n0,10.5,1.0,38.0,0,GMT,GMT\n1,-20.25,1.0,38.0,0,GMT,GMT\n\n" +
				"location_id,time,precipitation_sum_a (mm),precipitation_sum_b (mm),temperature_2m_max_a (°C),temperature_2m_max_b (°C),temperature_2m_min (°C)\n0,2020-01-01,1.0,2.0,3.0,4.0,5.0\n1,2020-01-01,1.5,2.5,13.5,14.5,5.5\n",
			"14.5/5.5, -20.25"},
		{"plain table: units in the names, latitude in a comment", Options{}, "# latitude: -33.9\ndate,rain_mm,tmax_f,Tmin (°C)\n2001-01-01,1,50,-1.5\n2001-01-02,0,na,2\n", "10/-1.5 –/2, -33.9"},
		{"plain table: a day given twice, no such latitude, one unit stated for both", Options{}, "# latitude: 339\ndate,rain_mm,tmax_f,tmin\n2001-01-01,1.0,50,\n2001-01-01,1.0,59,41\n2001-01-02,0.0,60,41\n", "10/5 15.55555556/5, NaN"},
		{"plain table: decimal commas, a column of latitudes", Options{}, "date;rain_mm;Max Temp (C);lat\n2001-01-01;1,2;-0,5;52,5\n2001-01-02;0,0;30,5;52,5\n", "-0.5/– 30.5/–, 52.5"},
		{"plain table: columns named by the option", Options{Columns: "date,tmaxC,tminC,rain_mm"}, "2001-01-01,20.5,10.5,1\n2001-01-02,21,11,0\n", "20.5/10.5 21/11, NaN"},
		{"plain table: °C by its warmest days", Options{Unit: "mm"}, year("date,rain,temp_max,temp_min\n", 31, 2, "%.1f,%.1f"), ""},
		{"plain table: °F by its warmest days", Options{Unit: "mm"}, year("date,rain,temp_max,temp_min\n", 88, 35, "%.0f,%.0f"), ""},
	}
}

func TestTemperatures(t *testing.T) {
	for _, c := range heatSamples() {
		format, _, _ := strings.Cut(c.name, ":")
		plain, err := Bytes("f", []byte(c.text), c.opt)
		require.NoError(t, err, c.name)
		assert.Contains(t, plain.Format, format)
		assert.Nil(t, plain.Max, "not asked for: %s", c.name)
		assert.Nil(t, plain.Min, "not asked for: %s", c.name)
		c.opt.Temperatures = true
		r, err := Bytes("f", []byte(c.text), c.opt)
		require.NoError(t, err, c.name)
		same(t, r.Position, plain.Position, c.name)
		if c.want != "" {
			assert.Equal(t, c.want, warm(r), c.name)
		}
		assert.Equal(t, described(plain), described(r), "the rain is the same: %s", c.name)
	}
	for _, name := range []string{"°C by its warmest days", "°F by its warmest days"} {
		for _, c := range heatSamples() {
			if strings.HasSuffix(c.name, name) {
				c.opt.Temperatures = true
				r, err := Bytes("f", []byte(c.text), c.opt)
				require.NoError(t, err)
				summer, winter := r.Max[182], r.Max[0]
				assert.InDelta(t, 31, summer, 0.2, name) // 88 °F is 31.1 °C
				assert.InDelta(t, 2, winter, 0.4, name)  // 35 °F is 1.7 °C
			}
		}
	}
}

// A value beyond any day's is missing, and alone does not say that the unit is
// another.
func TestTemperaturesBeyondAny(t *testing.T) {
	var b strings.Builder
	b.WriteString("date,rain_mm,tmax_c,tmin_c\n")
	for i := range 300 {
		high, low := "30", "10"
		switch i {
		case 100:
			high, low = "60.1", "-90.1"
		case 101:
			high, low = "60", "-90"
		}
		fmt.Fprintf(&b, "%v,%d.0,%s,%s\n", rainfall.Day(2001, 1, 1)+rainfall.Date(i), i*i%13*(i%3/2), high, low)
	}
	r := mustRead(t, b.String(), Options{Temperatures: true})
	assert.True(t, math.IsNaN(r.Max[100]) && math.IsNaN(r.Min[100]))
	assert.Equal(t, []float64{60, -90, 30, 10}, []float64{r.Max[101], r.Min[101], r.Max[102], r.Min[102]})
}

func TestNoTemperaturesInTheFile(t *testing.T) {
	for _, text := range []string{bomSample, ecadSample, dwdSample, nasaDOYSample[:strings.Index(nasaDOYSample, "Location")] + nasaDOYSample[strings.Index(nasaDOYSample, "elevation"):], samplePlain} {
		r := mustRead(t, text, Options{Temperatures: true})
		assert.Equal(t, "none, NaN", warm(r), r.Format)
	}
}

// What is wrong with a temperature is said, with its line.
func TestTemperatureErrors(t *testing.T) {
	var hot strings.Builder
	hot.WriteString("date,rain_mm,tmax_c,tmin_c\n")
	for i := range 40 {
		fmt.Fprintf(&hot, "%v,%d,%d,40\n", rainfall.Day(2001, 7, 1)+rainfall.Date(i), i%3, 58+i%6)
	}
	for _, c := range []struct{ text, want, hint string }{
		{"date,rain_mm,tmax_c\n2001-01-01,1.0,warm\n", `f:2: tmax_c "warm" is not a temperature`, "leave the cell blank"},
		{"date,rain_mm,tmax,tmin\n2001-01-01,1.0,50,40\n", `f:1: the unit of the temperatures in column "tmax" is not stated`, "tmax_c and tmin_c"},
		{"date,rain_mm,tmin\n2001-01-01,1.0,50\n", `f:1: the unit of the temperatures in column "tmin" is not stated`, "tmax_c and tmin_c"},
		{hot.String(), "f:1: 19 of 40 temperatures would be above 60 °C: they are in another unit", "tmax_f"},
		{"# STN,YYYYMMDD,   TX,   RH\n  998,20200101, 10.5,   10\n", `f:2: TX "10.5" is not a whole number`, "download"},
		{dlyLine("XX000000001", 2001, 1, "TMAX", "1.5") + sampleDly, "f:1: value \"  1.5\" of day 1 is not a whole number", "download"},
		{"\"X\"\nDate,TMAX (Degrees),PRCP (mm)\n2001-01-01,4,1\n", "f:2: the unit of column \"TMAX (Degrees)\" is not known here", "Degrees Celsius"},
		{strings.Replace(nasaHead, "-END", "T2M_MAX  MERRA-2 (R) \n-END", 1) + "YEAR,MO,DY,T2M_MAX,PRECTOTCORR\n2019,12,30,293.15,0.25\n", "f:10: T2M_MAX is in R, not C", "SI"},
		{strings.Replace(openMeteoSample, "rain_sum (mm)", "temperature_2m_max (R)", 1), `f:4: column "temperature_2m_max (R)" is in "R", not °C or °F`, "°C"},
	} {
		_, err := Bytes("f", []byte(c.text), Options{Temperatures: true})
		var e *Error
		require.ErrorAs(t, err, &e, c.want)
		assert.True(t, strings.HasPrefix(e.Error(), c.want), "%v, not %s", e, c.want)
		assert.Contains(t, e.Hint, c.hint)
	}
}

func TestHeatNames(t *testing.T) {
	for name, want := range map[string]string{
		"tmax": "tmax", "TMAX (°C)": "tmax °C", "Max Temp [F]": "maxtemp °F", "temp_max_c": "tempmax °C", "tmaxF": "tmax °F", "tn_k": "tn K",
		"Maximum temperature (Degree C)": "maximumtemperature °C", "tmin_degC": "tmin °C", "Tmax (0.1 °C)": "tmax 0.1 °C", "wind": "wind", "c": "c",
	} {
		bare, unit := parseHeatName(name)
		assert.Equal(t, want, strings.TrimSpace(bare+" "+unit.name), name)
	}
}

func TestSinceCutsTemperatures(t *testing.T) {
	r := mustRead(t, "date,rain_mm,tmax_c,tmin_c\n2000-12-30,1.5,5,1\n2000-12-31,1.5,6,2\n2001-01-01,1.5,7,3\n2001-01-02,1.5,8,4\n", Options{Temperatures: true})
	cut, err := Since(r, 2001)
	require.NoError(t, err)
	assert.Equal(t, "7/3 8/4, NaN", warm(cut))
}

// COMP: what an independent script found in real files, in the days of the
// record's rain: days with a highest and with a lowest temperature, with both,
// and their means.
func TestTemperatureTruths(t *testing.T) {
	for _, c := range []struct {
		file                string
		opt                 Options
		highs, lows, both   int
		high, low, latitude float64
	}{
		{"ghcn-dly/USW00094728.dly", Options{}, 55145, 55147, 55145, 16.355479, 8.175019, math.NaN()},
		{"ncei-access/USW00053908.csv", Options{}, 8898, 8896, 8895, 22.948033, 9.947246, 36.04243},
		{"ncei-past-weather/Phoenix_Weather.csv", Options{}, 31873, 31850, 31847, 30.225217, 15.700401, math.NaN()},
		{"cdo-export/death_valley_2021_full.csv", Options{Unit: "in"}, 364, 365, 364, 34.210928, 19.528158, math.NaN()},
		{"cdo-export/sitka_weather_2021_full.csv", Options{Unit: "in"}, 364, 365, 364, 9.818376, 4.993912, math.NaN()},
		{"knmi/etmgeg_269.txt", Options{}, 12736, 12736, 12736, 14.306438, 6.276759, math.NaN()},
		{"met-eireann/dly532.csv", Options{}, 30589, 30589, 30589, 13.089225, 6.166638, math.NaN()},
		{"nasa-power/POWER_Point_Daily_20000101_20241231_032d93N_072d86E_LST.csv", Options{}, 9132, 9132, 9132, 30.239178, 17.170139, 32.9348},
		{"open-meteo/open-meteo-52.55N13.41E38m.csv", Options{}, 3653, 3653, 3653, 14.790461, 6.938604, 52.54833},
	} {
		t.Run(c.file, func(t *testing.T) {
			c.opt.Temperatures = true
			r, err := File(dataFile(t, c.file), c.opt)
			require.NoError(t, err)
			count := func(of []float64) (n int, mean float64) {
				require.Len(t, of, len(r.Depth))
				for _, x := range of {
					if !math.IsNaN(x) {
						mean, n = mean+x, n+1
					}
				}
				return n, mean / float64(n)
			}
			highs, high := count(r.Max)
			lows, low := count(r.Min)
			both := 0
			for i := range r.Max {
				both += one(!math.IsNaN(r.Max[i] + r.Min[i]))
			}
			assert.Equal(t, []int{c.highs, c.lows, c.both}, []int{highs, lows, both})
			assert.InDelta(t, c.high, high, 1e-6)
			assert.InDelta(t, c.low, low, 1e-6)
			assert.Equal(t, fmt.Sprint(c.latitude), fmt.Sprint(r.Latitude))
		})
	}
	r, err := File(dataFile(t, "ghcn-dly/USC00010008.dly"), Options{Temperatures: true})
	require.NoError(t, err)
	assert.Equal(t, "none, NaN", warm(r), "a station of rain alone")
}
