package rainfall

import (
	"fmt"
	"slices"
	"strings"
)

// oneStation checks that a file of the given stations (in any order, none
// twice) leaves no doubt about which is meant.
func (in *input) oneStation(names []string) error {
	slices.Sort(names)
	list := strings.Join(names[:min(len(names), 3)], ", ")
	if len(names) > 3 {
		list += ", …"
	}
	switch want := in.opt.Station; {
	case want == "" && len(names) > 1:
		return in.fail(0, fmt.Sprintf("the file holds %d stations (%s)", len(names), list), fmt.Sprintf("choose one: --station %s", quoted(names[0])))
	case want != "" && !slices.Contains(names, want):
		return in.fail(0, fmt.Sprintf("no rain of station %s in the file; it holds %s", quoted(want), list), "--station takes a name as the file writes it")
	}
	return nil
}

// quoted puts a name that has spaces between quotation marks.
func quoted(s string) string {
	if strings.ContainsAny(s, " \t") {
		return `"` + s + `"`
	}
	return s
}

// rowsOf returns the numbers of the rows of the one station meant, all where
// a file has no column of stations (at < 0), and the station's name.
func (t *table) rowsOf(at int) ([]int, string, error) {
	cells := t.column(at)
	var names []string
	seen := map[string]bool{}
	for _, c := range cells {
		if !seen[c] && c != "" {
			seen[c] = true
			names = append(names, c)
		}
	}
	if at < 0 || len(names) == 0 {
		rows := make([]int, len(cells))
		for i := range rows {
			rows[i] = i
		}
		return rows, "", nil
	}
	if err := t.in.oneStation(names); err != nil {
		return nil, "", err
	}
	want := t.in.opt.Station
	if want == "" {
		want = names[0]
	}
	var rows []int
	for i, c := range cells {
		if c == "" {
			return nil, "", t.in.fail(t.line[i], "the station is blank, and other lines name one", "write it, or remove the line")
		}
		if c == want {
			rows = append(rows, i)
		}
	}
	return rows, want, nil
}
