package read

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// mostListed is how many of a file's stations an error lists.
const mostListed = 10

// oneStation returns which of a file's stations (in any order, none twice) is
// meant, if that leaves no doubt. line is the first of another than the first, 0 where
// not known, and hint is added to what would mend it.
func (in *input) oneStation(names []string, line int, hint string) string {
	slices.Sort(names)
	var shown []string
	for _, n := range names[:min(len(names), mostListed)] {
		shown = append(shown, clipped(n))
	}
	list := strings.Join(shown, ", ")
	if more := len(names) - mostListed; more > 0 {
		list += fmt.Sprintf(" and %s more", thousands(more))
	}
	switch want := in.opt.Station; {
	case want == "" && len(names) > 1:
		in.fail(line, fmt.Sprintf("the file holds %s stations (%s)", thousands(len(names)), list), fmt.Sprintf("choose one: --station %s", quoted(names[0]))+hint)
	case want != "" && !slices.Contains(names, want):
		in.fail(0, fmt.Sprintf("no rain of station %s in the file; it holds %s", quoted(want), list), "--station takes a name as the file writes it"+hint)
	}
	return cmp.Or(in.opt.Station, names[0])
}

// clipped shortens a cell for an error.
func clipped(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// quoted puts a name that has spaces between quotation marks.
func quoted(s string) string {
	if strings.ContainsAny(s, " \t") {
		return `"` + s + `"`
	}
	return s
}

// quotedAlways puts a name between quotation marks, shortened.
func quotedAlways(s string) string { return `"` + clipped(s) + `"` }

// maxStations is how many stations of a file are told apart.
const maxStations = 1 << 18

// sameNames writes names that differ in letter case, blanks or leading zeros as
// the first of them was written.
func sameNames() func(string) string {
	first := map[string]string{}
	return func(s string) string {
		key := strings.ToLower(strings.Join(strings.Fields(s), " "))
		if isDigits(key) {
			key = strings.TrimLeft(key, "0")
		}
		if was, ok := first[key]; ok {
			return was
		}
		if len(first) <= maxStations {
			first[strings.Clone(key)] = strings.Clone(s)
		}
		return s
	}
}

// stations tells a table's rows apart by their stations as they stream by.
type stations struct {
	t     *table
	seen  map[string]bool
	raw   string // the last cell looked at, and the name that it stands for
	name  string
	last  string // the last name met
	blank int    // the line of the first row whose station is blank
	other int    // that of the first whose station is not the first one's
}

func (t *table) newStations() *stations {
	if t.ident == nil {
		t.ident = func(s string) string { return s }
	}
	t.in.opt.Station = t.ident(t.in.opt.Station)
	return &stations{t: t, seen: map[string]bool{}}
}

// wants reports whether a row is to be kept: one of the station asked for or,
// where none is, of the only one so far. Of several, the names alone are
// wanted, for an error.
func (s *stations) wants(row []string, line int) bool {
	if s.t.station < 0 {
		return true
	}
	want, raw := s.t.in.opt.Station, row[s.t.station]
	if raw != s.raw || raw == "" { // most rows are of the station of the one before
		s.raw = strings.Clone(raw)
		s.name = s.t.ident(strings.TrimSpace(s.raw))
	}
	name := s.name
	if name == "" {
		if s.blank == 0 {
			s.blank = line
		}
		return want == ""
	}
	if name != s.last {
		s.last = name
		if s.seen[s.last] = true; len(s.seen) == 2 && s.other == 0 {
			s.other = line
		}
		if len(s.seen) > maxStations {
			s.t.in.fail(line, fmt.Sprintf("the column %q holds more than %s names: these are no stations", s.t.header[s.t.station], thousands(maxStations)), "give the file of one station")
		}
	}
	return name == want || want == "" && len(s.seen) == 1
}

// one returns the station whose rows were kept, "" where the file names none.
func (s *stations) one() string {
	if len(s.seen) == 0 {
		return ""
	}
	id := s.t.in.oneStation(slices.Collect(maps.Keys(s.seen)), s.other, "")
	if s.blank > 0 {
		s.t.in.fail(s.blank, "the station is blank, and other lines name one", "write it, or remove the line")
	}
	return id
}
