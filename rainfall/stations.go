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
	rows, name, err := t.in.rowsNamed(cells)
	if err != nil {
		return nil, "", err
	}
	if at := slices.Index(cells, ""); at >= 0 && name != "" {
		return nil, "", t.in.fail(t.line[at], "the station is blank, and other lines name one", "write it, or remove the line")
	}
	return rows, name, nil
}

// rowsNamed does so for a name a row. A blank is the row of no station; where
// all are blank the file does not name its station, and all rows are its.
func (in *input) rowsNamed(cells []string) ([]int, string, error) {
	var names []string
	seen := map[string]bool{}
	for _, c := range cells {
		if !seen[c] && c != "" {
			seen[c] = true
			names = append(names, c)
		}
	}
	want := ""
	if len(names) > 0 {
		if err := in.oneStation(names); err != nil {
			return nil, "", err
		}
		if want = in.opt.Station; want == "" {
			want = names[0]
		}
	}
	var rows []int
	for i, c := range cells {
		if c == want {
			rows = append(rows, i)
		}
	}
	return rows, want, nil
}
