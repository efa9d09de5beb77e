package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// How many records the table shows, and how many that could not be answered for.
const (
	mostRows   = 40
	mostFailed = 5
	fewRecords = 4 // of which all is told that they rest on
)

// Sheet returns one table and what it rests on.
func (z *Comparison) Sheet() (*sheet.Sheet, error) {
	s := z.Study
	out := &sheet.Sheet{Title: z.Title, Brief: true,
		Under: []string{words.Site(z.Units, s.Roofs, s.Uses, s.Rule), "target: " + words.Goal(s)}}
	if !s.Stress.None() {
		out.Under = append(out.Under, "stressed, which is a question and no forecast: "+words.Stress(s.Stress))
	}
	out.Add("records", sheet.Block{Table: z.table()})
	if len(z.Stations) > 1 || z.LeftOut > 0 {
		out.Add("counts", sheet.Block{Text: z.counts()})
	}
	if z.Groups != nil {
		out.Add("groups", sheet.Block{Table: z.grouped()})
	}
	if differ := z.differ(); differ != nil {
		out.Add("differ", differ...)
	}
	if z.Region != nil {
		out.Add("region", sheet.Block{Text: z.regional()})
	}
	if failed := z.failed(); len(failed) > 0 {
		out.Add("failed", sheet.Block{List: failed})
	}
	if len(z.Stations) > fewRecords {
		out.Add("rests", sheet.Block{Text: z.rests()})
	} else {
		n := 0
		err := z.eachShown(z.answeredAt, func(_ int, x *Row) error {
			n++
			rests := []sheet.Block{{Text: x.Basis}}
			if len(x.Told) > 0 {
				rests = append(rests, mind(x.Told))
			}
			out.Add(fmt.Sprintf("rests-%d", n), rests...)
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	out.Add("caution", closing(nil)...)
	return out, nil
}

// table has a row a record, the first of many.
func (z *Comparison) table() *sheet.Table {
	var shown []Station
	for _, x := range z.Stations {
		if x.answered() {
			shown = append(shown, x)
		}
	}
	all := len(shown)
	shown = shown[:min(all, mostRows)]
	var depths []float64
	for _, x := range shown {
		depths = append(depths, x.Annual)
	}
	depth, size := z.Units.DepthColumn(depths...), z.sizeColumn()
	t := &sheet.Table{Name: "records",
		Columns: []sheet.Column{{Title: "Record", Words: true}, {Title: "Usable", Unit: "years"}, {Title: "Rain a year", Unit: depth.Unit},
			{Title: "Tank for the target", Unit: size.Unit}, {Title: "Band", Unit: size.Unit}, {Title: "Safe size", Unit: size.Unit}, {Title: "Stops paying", Unit: size.Unit}},
		Notes: []string{notEnough(z.Study)},
	}
	if z.Study.Costs != nil {
		t.Columns[len(t.Columns)-1].Title = "Worth most"
		t.Notes = append(t.Notes, "Worth most: of the sizes with a price; where none pays for itself, the one that loses least.")
	}
	if slices.ContainsFunc(shown, func(x Station) bool { return x.Grade == sim.Indicated.String() }) {
		t.Notes = append(t.Notes, "≈ what the record points to; it is too short to show the target, and less may be reached.")
	}
	if more := all - len(shown); more > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s more in answers.csv.", words.Plural(more, "record")))
	}
	names := labels(shown, 22)
	for i, x := range shown {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{names[i], fmt.Sprint(x.Usable), depth.Cell(x.Annual),
			about(x, size.Cell(x.Tank)), bandCell(size, x.Low, x.High), size.Cell(x.Safe), size.Cell(x.Stop)}})
	}
	return t
}

// sizeColumn prints sizes in one unit in every table of the sheet.
func (z *Comparison) sizeColumn() units.Column {
	var sizes []float64
	for _, x := range z.Stations {
		sizes = append(sizes, x.Tank, x.High, x.Safe)
	}
	return z.Units.VolumeColumn(sizes...)
}

// about marks the size of a record that is too short to show the target.
func about(x Station, cell string) string {
	if x.Grade == sim.Indicated.String() {
		return "≈" + cell
	}
	return cell
}

// counts says how many records there are, by the grade of their answer.
func (z *Comparison) counts() string {
	n := map[string]int{}
	for _, x := range z.Stations {
		n[x.Grade]++
	}
	var parts []string
	for _, g := range []struct{ grade, text string }{
		{sim.Shown.String(), "long enough to show the target"}, {sim.Indicated.String(), "long enough for a size but not to show the target"},
		{sim.TooShort.String(), "too short for any size"}, {sim.OutOfReach.String(), "with the target out of reach"}, {"", "not answered for"},
	} {
		if n[g.grade] > 0 {
			parts = append(parts, fmt.Sprintf("%s %s", words.Whole(n[g.grade]), g.text))
		}
	}
	out := fmt.Sprintf("%s: %s.", words.Plural(len(z.Stations), "record"), words.Join(parts, "and"))
	if n := z.unplaced(); n > 0 {
		out += fmt.Sprintf(" Of %s neither the list of stations nor the file says where %s.", words.Plural(n, "record"), map[bool]string{true: "it is", false: "they are"}[n == 1])
	}
	if z.LeftOut > 0 {
		out += fmt.Sprintf(" %s left out by --where.", words.UpperFirst(words.Plural(z.LeftOut, "more record")+map[bool]string{true: " is", false: " are"}[z.LeftOut == 1]))
	}
	return out
}

// unplaced counts the records of unknown position where a list of stations was given:
// their ids may be written otherwise there.
func (z *Comparison) unplaced() (n int) {
	for i := range z.Stations {
		if x := &z.Stations[i]; z.listed && x.answered() && math.IsNaN(x.Latitude) && len(x.Listed) == 0 {
			n++
		}
	}
	return n
}

// failed lists the first records that could not be answered for.
func (z *Comparison) failed() (out []sheet.Item) {
	n := 0
	for _, x := range z.Stations {
		if x.answered() {
			continue
		}
		if n++; n <= mostFailed {
			out = append(out, sheet.Item{Lead: "Left out:", Text: brieflyWhy(x.Reason) + "."})
		}
	}
	if n > mostFailed {
		out = append(out, sheet.Item{Lead: "Left out:", Text: fmt.Sprintf("and %s more; answers.csv says why of each.", words.Whole(n-mostFailed))})
	}
	return out
}

// brieflyWhy is the first part of why a record could not be answered for.
func brieflyWhy(reason string) string {
	first, _, _ := strings.Cut(reason, ";")
	return strings.TrimSuffix(first, ".")
}

// rests says what the rows rest on.
func (z *Comparison) rests() string {
	minds := 0
	for _, x := range z.Stations {
		if x.Minds > 0 {
			minds++
		}
	}
	s := z.Study
	out := fmt.Sprintf("Each row rests on its own record and %s synthetic years of it, seed %d; all are asked about the same sizes.", units.Fixed(float64(s.Years), 0), s.Seed)
	if minds > 0 {
		out += fmt.Sprintf(" There is something to mind of %s: provenance.txt in the folder of --out says what each rests on, and tankodds record FILE what one is worth.", words.Plural(minds, "record"))
	}
	return out
}

// labels name records so that no two look alike, in n characters at most: by name,
// where two have one with the station or the file behind it, cut in the middle.
func labels(all []Station, n int) []string {
	out := make([]string, len(all))
	name := func(x Station, more bool) string {
		base := x.Place
		if base == "" {
			base = x.Station
		}
		if base == "" {
			return baseName(x.File)
		}
		if more && x.Station != "" && base != x.Station {
			return base + " " + x.Station
		}
		if more {
			return base + " " + baseName(x.File)
		}
		return base
	}
	for i, x := range all {
		out[i] = ends(name(x, false), n)
	}
	count := map[string]int{}
	for _, name := range out {
		count[name]++
	}
	for i, x := range all {
		if count[out[i]] > 1 {
			out[i] = ends(name(x, true), n)
		}
	}
	seen := map[string]int{}
	for i := range out {
		if seen[out[i]]++; seen[out[i]] > 1 {
			end := fmt.Sprintf(" (%d)", seen[out[i]])
			out[i] = ends(out[i], n-len(end)) + end
		}
	}
	return out
}

// clip shortens a name to n characters.
func clip(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "…"
}

// ends shortens a name to n characters by taking out its middle: its ends tell it
// from others.
func ends(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	head := (n - 1) * 2 / 3
	return string(r[:head]) + "…" + string(r[len(r)-(n-1-head):])
}
