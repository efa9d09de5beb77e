package site

import (
	"fmt"
	"path/filepath"
	"strings"

	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/report/words"
)

// rainRows are about the sheet and its record.
var rainRows = []*Parameter{
	{
		Key: "name", Doc: "`NAME` of the site", Without: "the record's name",
		field: func(a At) any { return &a.Name }, most: mostTitle,
	},
	{
		Key: "client", Doc: "`NAME` of whom the sheet is for",
		field: func(a At) any { return &a.Cover.Client }, most: mostTitle,
	},
	{
		Key: "author", Doc: "`NAME` of who prepared it",
		field: func(a At) any { return &a.Cover.Author }, most: mostTitle,
	},
	{
		Key: "note", Doc: "a `LINE` of your own for the sheet",
		field: func(a At) any { return &a.Cover.Note }, most: mostNote,
	},
	{
		Key: "location", Doc: "`PLACE` where the site is",
		field: func(a At) any { return &a.Cover.Location }, most: mostTitle,
	},
	{
		Key: "elevation", Doc: "`HEIGHT` of the site above the sea, in m or ft", Without: "unknown",
		field: func(a At) any { return &a.Cover.Elevation }, kind: units.Length, what: "an elevation",
	},

	{
		Flag: "tank", For: Replay, Doc: "`SIZE` of the tank, such as 5000L or 1500gal",
		field: func(a At) any { return &a.Study.Sizes }, kind: units.Volume, what: "a tank size", above0: true, read: readTank,
	},

	{
		Key: "rain.file", Flag: "rain", For: Size | Replay | Recheck, Must: true,
		Doc:   "`FILE` of daily rain, plain or .gz; - is standard input",
		field: func(a At) any { return &a.Record.File }, Files: true, read: readRecord,
	},
	{
		Key: "rain.unit", Flag: "unit", For: readers, Without: "the format's own",
		Doc:   "`UNIT` that the rain file holds, where it cannot be known: mm, in or 0.1mm",
		field: func(a At) any { return &a.Record.Unit }, orNone: true, Words: []string{"mm", "in", "0.1mm"}, read: readRainUnit,
	},
	{
		Key: "rain.station", Flag: "station", For: readers, Without: "the only one",
		Doc:   "`ID` of the station wanted, for a file with several",
		field: func(a At) any { return &a.Record.Station }, most: mostName,
	},
	{
		Key: "rain.column", Flag: "column", For: readers, Without: "the one named rain",
		Doc:   "`NAME` of the rain column, or its number, where its name does not say so",
		field: func(a At) any { return &a.Record.Column }, most: mostName,
	},
	{
		Key: "rain.columns", Flag: "columns", For: readers, Without: "read from the header",
		Doc:   "`NAMES` of all columns in order, for a file without a header: date,rain_mm or year,month,day,rain; - is one not wanted",
		field: func(a At) any { return &a.Record.Columns }, most: mostNote,
	},
	{
		Key: "rain.dates", Flag: "dates", For: readers, Without: "told from the dates",
		Doc:   "`ORDER` of day and month, where it cannot be told: dmy or mdy",
		field: func(a At) any { return &a.Record.Dates }, orNone: true, Words: []string{"dmy", "mdy"},
	},
	{
		Key: "rain.absent", Flag: "absent", For: readers, Without: "asked for where the file lists wet days alone",
		Doc:   "`WHAT` a day without a line was, for a file of wet days alone: zero (it was dry) or missing (it was not read)",
		field: func(a At) any { return &a.Record.Absent }, orNone: true, Words: []string{"zero", "missing"},
	},
	{
		Key: "rain.missing", Flag: "missing", For: readers, Without: "told from the values",
		Doc:   "`NUMBERS` that stand for a missing value, such as 99.99 or 99.99,-1; none for none",
		field: func(a At) any { return &a.Record.Missing }, limit: checkMissing,
	},
	{
		Key: "rain.water_year", Flag: "water-year", For: readers, Without: "the month in which stores are fullest",
		Doc:   "`MONTH` in which the water year begins, such as oct",
		field: func(a At) any { return &a.Record.WaterYear }, orNone: true, low: 1, high: 12, read: readMonth, Words: months,
	},
	{
		Key: "rain.since", Flag: "since", For: readers, Without: "all", Example: "1980",
		Doc:   "first `YEAR` of the record to use",
		field: func(a At) any { return &a.Record.Since }, orNone: true, low: read.FirstYear, high: read.LastYear,
	},
	{
		Key: "rain.fill_from", When: func(p *Plan) bool { return p.Record.Second != "" }, Name: "Missing days are taken from", Note: ", a second gauge", Without: "none; a few missing days are taken from other years", Example: "neighbour.csv",
		Doc:   "`FILE` of a second gauge near by from which missing days are taken, times the ratio of both gauges' rain",
		field: func(a At) any { return &a.Record.Second }, most: mostNote, Files: true, read: readSecond,
		say: func(a At, _ units.System) string { return filepath.Base(a.Record.Second) },
	},
	{
		Key: "rain.neighbours", Flag: "neighbour", For: Size, When: func(p *Plan) bool { return p.Record.Near != nil }, Name: "Records of neighbours, asked for what they lend", Without: "none", Example: "[hill.csv, mill.dly]",
		Doc:   "`FILE` of daily rain of a gauge near by, of one climate with the record, that sharpens a short one for a target of good years; repeat it for more; \"tankodds help neighbours\" tells what is borrowed, and when",
		field: func(a At) any { return &a.Record.Near }, Files: true, read: readNeighbours,
		say: func(a At, _ units.System) string {
			var names []string
			for _, n := range a.Record.Near {
				names = append(names, filepath.Base(n.File))
			}
			return strings.Join(names, ", ")
		},
	},
	{
		Key: "rain.scale", Name: "Rain of the site over that of the gauge", Without: "1", Example: "1.05", When: func(p *Plan) bool { return p.Record.Scale != 0 },
		Doc:   "long-term mean rain of the site over that of the gauge, a `FACTOR` from 0.5 to 2 by which the record is multiplied; worth stating where they differ by a tenth or more",
		field: func(a At) any { return &a.Record.Scale }, what: "a factor", orNone: true, read: readScale, limit: checkScale,
		say: func(a At, _ units.System) string {
			return strings.TrimSuffix(fmt.Sprintf("× %g, %s", a.Record.Scale, a.Record.ScaleFrom), ", ")
		},
	},
	{
		Key: "rain.scale_from", Doc: "where the scale comes from, a `TEXT` for the sheet", Without: "none", Example: "annual means of a rain map",
		field: func(a At) any { return &a.Record.ScaleFrom }, most: mostTitle,
	},
	{
		Key: "rain.et0", When: airy, Name: "Reference evapotranspiration, by the month", Without: "none", Example: "[20 mm, 25 mm, 50 mm, 80 mm, 110 mm, 130 mm, 140 mm, 120 mm, 80 mm, 45 mm, 25 mm, 15 mm]", US: "[0.8 in, 1 in, 2 in, 3.1 in, 4.3 in, 5.1 in, 5.5 in, 4.7 in, 3.1 in, 1.8 in, 1 in, 0.6 in]",
		Doc:   "twelve `DEPTHS` of reference evapotranspiration, January first, as weather services publish them; or temperatures, to reckon it from those of the record; for beds and open water",
		field: func(a At) any { return &a.Study.Air.Monthly }, read: readET0,
		say: func(a At, s units.System) string { return words.Air(s, a.Study.Air) },
	},
	{
		Key: "rain.latitude", Without: "the record's own", Example: "33.43", When: func(p *Plan) bool { return p.Record.Latitude != nil }, Name: "Latitude",
		Doc:   "`DEGREES` north of the equator, below 0 for south, where et0: temperatures needs it and the record has none",
		field: func(a At) any { return &a.Record.Latitude }, what: "a latitude", read: readLatitude,
		say: func(a At, _ units.System) string { return fmt.Sprintf("%g°", *a.Record.Latitude) },
	},
	{
		Key: "rain.et0_scale", Without: "1", Example: "1.1", When: func(p *Plan) bool { return p.Study.Air.Scale != 0 }, Name: "Evapotranspiration is multiplied by",
		Doc:   "`FACTOR` by which it is multiplied: reckoned from temperatures it is too low where wind is above 3 m/s and too high in humid air",
		field: func(a At) any { return &a.Study.Air.Scale }, what: "a factor", plain: true, read: readET0Scale,
	},
	{
		Flag: "demo", For: Synth | Backtest | Record, Doc: "read the invented record that the tool carries",
		field: func(a At) any { return &a.Record.Embedded }, Words: switchWords,
	},
}
