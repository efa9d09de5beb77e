package read

import "strings"

// The files here are written by hand to the descriptions of their publishers;
// values and stations are invented.

const bomHeader = "Product code,Bureau of Meteorology station number,Year,Month,Day,Rainfall amount (millimetres),Period over which rainfall was measured (days),Quality\n"

const bomSample = bomHeader +
	"IDCJAC0009,099901,2019,01,01,,,\n" + // before the first value
	"IDCJAC0009,099901,2019,01,02,,,\n" + // covered by the total of the 4th
	"IDCJAC0009,099901,2019,01,03,,,\n" +
	"IDCJAC0009,099901,2019,01,04,12.6,3,Y\n" +
	"IDCJAC0009,099901,2019,01,05,0.0,1,Y\n" +
	"IDCJAC0009,099901,2019,01,06,3.2,,\n" + // period blank beside an amount: one day
	"IDCJAC0009,099901,2019,01,07,,,\n" + // missing, not dry
	"IDCJAC0009,099901,2019,01,08,5.4,1,N\n"

const dwdHeader = "STATIONS_ID;MESS_DATUM;QN_6;  RS; RSF;SH_TAG;NSH_TAG;eor\n"

const dwdSample = dwdHeader +
	"      99901;19780228;    1;   2.2;   1;   0;-999;eor\n" +
	"      99901;19780301;    5;   0.0;   0;   0;-999;eor\n" +
	"      99901;19780302;    5;   0.0;   8;   0;-999;eor\n" + // a form without an amount: trace
	"      99901;19780303;    5;  -999;-999;   0;-999;eor\n" +
	"      99901;19780306;   10;  10.5;   4;-999;-999;eor\n" // two days have no row

// The climate product has more columns: RSK is judged by the quality column
// of its own group, QN_4, not by that of the wind, QN_3.
const dwdClimateSample = `STATIONS_ID;MESS_DATUM;QN_3;  FX;  FM;QN_4; RSK;RSKF; SDK;SHK_TAG;  NM; VPM;  PM; TMK; UPM; TXK; TNK; TGK;eor
      99902;20210714;    1;  12.1;   4.1;    3; 148.0;   6;   0.0;   0;   7.9;  16.0; 989.10;  15.9;  88.0;  17.0;  14.1;  13.9;eor
      99902;20210715;   10;-999;-999;    1;   0.4;   6;   1.0;   0;   7.9;  16.0; 989.10;  15.9;  88.0;  17.0;  14.1;  13.9;eor
`

const ecadHead = `EUROPEAN CLIMATE ASSESSMENT & DATASET (ECA&D), file created on 01-02-2023
THESE DATA CAN BE USED FREELY PROVIDED THAT THE FOLLOWING SOURCE IS ACKNOWLEDGED:

FILE FORMAT (MISSING VALUE CODE IS -9999):

01-06 SOUID: Source identifier
08-15 DATE : Date YYYYMMDD
17-21 RR   : precipitation amount in 0.1 mm
23-27 Q_RR : Quality code for RR (0='valid'; 1='suspect'; 9='missing')

This is the blended series of station NOWHERELAND, CARROW (STAID: 99901).
Blended and updated with sources: 990001 990002

`

const ecadSample = ecadHead + ` SOUID,    DATE,   RR, Q_RR
990001,20200227,-9999,    9
990001,20200228,   12,    0
990001,20200229,    0,    0
990001,20200301,-9999,    9
990001,20200302,  905,    1
990002,20200303,    7,    0
`

const envCanadaHead = `"Longitude (x)","Latitude (y)","Station Name","Climate ID","Date/Time","Year","Month","Day","Data Quality","Max Temp (°C)","Max Temp Flag","Total Rain (mm)","Total Rain Flag","Total Snow (cm)","Total Snow Flag","Total Precip (mm)","Total Precip Flag"` + "\n"

func envCanadaRow(date, amount, flag string) string {
	p := strings.Split(date, "-")
	return `"-63.51","44.88","CARROW A","8209999","` + date + `","` + p[0] + `","` + p[1] + `","` + p[2] + `","","-2.2","","","M","","M","` + amount + `","` + flag + `"` + "\n"
}

var envCanadaSample = "\ufeff" + envCanadaHead +
	envCanadaRow("2015-01-01", "1.6", "") +
	envCanadaRow("2015-01-02", "0.0", "T") +
	envCanadaRow("2015-01-03", "0.0", "C") +
	envCanadaRow("2015-01-04", "0.0", "L") +
	envCanadaRow("2015-01-05", "9.0", "A") +
	envCanadaRow("2015-01-06", "0.0", "") +
	envCanadaRow("2015-01-07", "2.4", "E") +
	envCanadaRow("2015-01-08", "", "M") +
	envCanadaRow("2015-01-09", "0.0", "L") + // no total follows
	envCanadaRow("2015-01-10", "0.2", "") +
	envCanadaRow("2015-01-11", "0.0", "C") +
	envCanadaRow("2015-01-12", "6.0", "F") +
	envCanadaRow("2015-01-13", "", "")

// The older download names the station in a head of its own; a dagger under
// Data Quality is a value without final review.
const envCanadaOldSample = `"Station Name","CARROW A"
"Province","NOVA SCOTIA"
"Climate Identifier","8209998"

"Legend"
"A","Accumulated"
"C","Precipitation occurred, amount uncertain"

"Date/Time","Year","Month","Day","Data Quality","Max Temp (°C)","Total Precip (mm)","Total Precip Flag"
"2015-01-01","2015","01","01","†","-2.2","1.6",""
"2015-01-02","2015","01","02","","1.3","0.4",""
`

const nasaHead = `-BEGIN HEADER-
NASA/POWER Source Native Resolution Daily Data 
Dates (month/day/year): 12/30/2019 through 01/02/2020 in LST
Location: latitude  12.3456   longitude -65.4321 
elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 448.45 meters
The value for missing source data that cannot be computed or is outside of the sources availability range: -999 
parameter(s): 
T2M                     MERRA-2 Temperature at 2 Meters (C) 
PRECTOTCORR             MERRA-2 Precipitation Corrected (mm/day) 
-END HEADER-
`

const nasaSample = nasaHead + `YEAR,MO,DY,T2M,PRECTOTCORR
2019,12,30,20.1,0.25
2019,12,31,20.1,-999.0
2020,1,1,-999.0,0.0
2020,1,2,20.1,12.5
`

const nasaDOYSample = nasaHead + `YEAR,DOY,PRECTOTCORR
2019,364,0.25
2019,365,-999
2020,1,0.0
2020,2,12.5
`

const openMeteoSample = `latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation
12.34567,-65.43210,38.0,0,GMT,GMT

time,weather_code (wmo code),rain_sum (mm),precipitation_sum (mm),precipitation_hours (h)
2019-12-30,51,0.10,0.30,2.0
2019-12-31,0,0.00,0.00,0.0
2020-01-01,73,0.00,4.20,9.0
2020-01-02,0,NaN,NaN,NaN
`

const knmiSample = `BRON: KONINKLIJK NEDERLANDS METEOROLOGISCH INSTITUUT (KNMI)
Opmerking: door stationsverplaatsingen en veranderingen in waarneemmethodieken zijn deze tijdreeksen mogelijk inhomogeen!

YYYYMMDD  = Datum (YYYY=jaar MM=maand DD=dag) / Date (YYYY=year MM=month DD=day)
DR        = Duur van de neerslag (in 0.1 uur) / Precipitation duration (in 0.1 hour)
RH        = Etmaalsom van de neerslag (in 0.1 mm) (-1 voor <0.05 mm) / Daily precipitation amount (in 0.1 mm) (-1 for <0.05 mm)

# STN,YYYYMMDD,   DR,   RH,  RHX

  999,19991229,     ,     ,     
  999,19991230,   12,   34,   10
  999,19991231,    0,    0,    0
  999,20000101,    1,   -1,   -1
  999,20000102,     ,     ,     
  999,20000103,    9,    7,    7
`

// A file of several stations, whose head is commented out and names them.
const knmiSeveralSample = `# DATA IS PROVIDED BY KNMI
# STN         LON(east)   LAT(north)  ALT(m)      NAME
# 998         5.180       52.100      1.90        Carrow
# 999         5.520       52.458      -3.70       Tarn Lane
# RH        : Daily precipitation amount (in 0.1 mm) (-1 for <0.05 mm)
# STN,YYYYMMDD,   RH
  998,20200101,   10
  999,20200101,   20
  998,20200102,   11
  999,20200102,   21
`

const metEireannSample = `Station Name: CARROW HILL
Station Height: 71 M
Latitude:53.000  ,Longitude: -6.000


date:  -  00 to 00 utc
rain:  -  Precipitation Amount (mm)
maxtp: -  Maximum Air Temperature (C)
mintp: -  Minimum  Air Temperature (C)
gmin:  -  09utc Grass Minimum Temperature (C)
ind:   -  Indicator (i)

date,ind,maxtp,ind,mintp,igmin,gmin,ind,rain,cbl,wdsp
30-dec-1941,0,9.7,0,6.8,0,4.7, , ,1020.3,17.2
31-dec-1941,0,9.7,0,6.8,0,4.7,0,0.0,1020.3,17.2
01-jan-1942,0,9.9,0,7.9,0,6.7,2,0.0,1016.2,15.2
02-jan-1942,0,11.2,0,8.9,0,7.2, , ,1006.8,14.0
03-jan-1942,0,9.2,0,2.7,0,3.4,0,3.5,1001.5,17.0
`

// A spreadsheet's copy without preamble and indicators, the years cut to two
// digits.
const metEireannShortSample = "date,maxtp,mintp,gmin,rain,cbl,wdsp\r\n" +
	"30-Dec-99,9.7,6.8,4.7,1.5,1020.3,17.2\r\n" +
	"31-Dec-99,9.7,6.8,4.7, ,1020.3,17.2\r\n" +
	"01-Jan-00,9.9,7.9,6.7,0.1,1016.2,15.2\r\n"
