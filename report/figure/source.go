package figure

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// sourceLine says what a figure of a study rests on: record, years,
// generator, seed.
func sourceLine(r *sim.Result, rec *rainfall.Summary) string {
	return join(recordLine(rec), simulatedLine(r, r.Simulated))
}

// seasonLine is sourceLine of what is read from fewer of the simulated years.
func seasonLine(r *sim.Result, rec *rainfall.Summary) string {
	return join(recordLine(rec), simulatedLine(r, r.Season.Years))
}

// placeName names a record in a title; of one known by its file alone, no
// more than the file's own name.
func placeName(rec *rainfall.Summary) string { return fileName(rec.Name()) }

// fileName drops the folders from a name that is a file's.
func fileName(name string) string {
	if filepath.Ext(name) != "" && !strings.Contains(name, " ") {
		name = filepath.Base(name)
	}
	return clean(name)
}

// recordLine names a record, its span and its usable years; "" for none.
func recordLine(rec *rainfall.Summary) string {
	if rec == nil {
		return ""
	}
	s := "Record: " + placeName(rec)
	if rec.Station != "" && rec.Station != rec.Name() {
		s += " (" + clean(rec.Station) + ")"
	}
	y0, _, _ := rec.First.YMD()
	y1, _, _ := rec.Last.YMD()
	return s + fmt.Sprintf(", %d–%d, %s from %v.", y0, y1, words.Plural(rec.UsableN, "usable water year"), rec.Start)
}

func simulatedLine(r *sim.Result, years int) string {
	s := fmt.Sprintf("Simulated: %s synthetic years", units.Fixed(float64(years), 0))
	if r.Generator != "" {
		s += fmt.Sprintf(", generator “%s”", r.Generator)
	}
	return s + fmt.Sprintf(", seed %d.", r.Study.Seed)
}

// bandLine says what the soft band is.
func bandLine(s *sim.Study) string {
	from := "of the simulation alone; the record’s length is not in it"
	if s.RecordError {
		from = "from the length of the record"
	}
	return fmt.Sprintf("Band: %s interval %s.", percent(s.Level), from)
}

// startOf is the month in which a water year begins: January where it is none.
func startOf(r *sim.Result) time.Month {
	if r.WaterYear >= 1 && r.WaterYear <= 12 {
		return r.WaterYear
	}
	return time.January
}

// tankName words a nominal size: "11,400 L tank".
func tankName(s scale, litres float64) string { return s.show(litres) + " tank" }

// aTank is tankName with its article.
func aTank(s scale, litres float64) string { return units.An(tankName(s, litres)) }

// roofName words a total roof area.
func roofName(u units.System, m2 float64) string { return areaScale(u).show(m2) + " of roof" }

// join puts sentences together.
func join(sentences ...string) string {
	return strings.Join(slices.DeleteFunc(sentences, func(s string) bool { return s == "" }), " ")
}
