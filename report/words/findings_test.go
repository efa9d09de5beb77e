package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/report/units"
)

// below visits the files of the rooms below the report, but for tests.
func below(t *testing.T, visit func(path string)) {
	t.Helper()
	for _, room := range []string{"rainfall", "sim"} {
		require.NoError(t, filepath.WalkDir(filepath.Join("..", "..", room), func(path string, _ os.DirEntry, err error) error {
			if err == nil && strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go") {
				visit(path)
			}
			return err
		}))
	}
}

// A finding is made where its code is written.
var made = regexp.MustCompile(`(?:\btell\(r, |\bofUnit\(r, |\bCode: +)"([\w-]+)"`)

// Every kind of finding that is made has a gravity and words, and there is no
// gravity and no word of any other.
func TestEveryFindingHasGravityAndWords(t *testing.T) {
	used := map[string]bool{}
	below(t, func(path string) {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		for _, m := range made.FindAllSubmatch(text, -1) {
			used[string(m[1])] = true
		}
	})
	codes := slices.Sorted(maps.Keys(used))
	worded := slices.Sorted(maps.Keys(phrases))
	worded = slices.Sorted(slices.Values(slices.AppendSeq(worded, maps.Keys(told))))
	assert.Equal(t, codes, rainfall.Codes(), "gravity.go")
	assert.Equal(t, codes, worded, "words")
}

// What a reader of a file tells, in words.
func TestWordsOfReading(t *testing.T) {
	day := rainfall.Day(1999, 12, 30)
	n := func(n float64, more ...rainfall.Value) []rainfall.Value {
		return append(more, rainfall.InCount.Of("count", n), rainfall.InShare.Of("share", 0.2))
	}
	for _, c := range []struct {
		f    rainfall.Finding
		want string
	}{
		{rainfall.Finding{Code: "absent-zero", From: day, Days: 2, Values: n(1)}, "1 day without a value was taken as dry, as asked; the longest run of them is 2 days from 1999-12-30"},
		{rainfall.Finding{Code: "columns-unused", Texts: []string{"a", "b"}}, "the columns beside the rain were not used (a, b); they may say that a value failed a check or is a total over several days"},
		{rainfall.Finding{Code: "doubtful", Values: n(1), Texts: []string{"unfinished"}}, "1 value is kept though the bureau has not finished checking it (20 % of the record)"},
		{rainfall.Finding{Code: "doubtful", Values: n(3), Texts: []string{"estimated"}}, "3 values are kept though the publisher calls them estimated, uncertain or not reviewed (20 % of the record)"},
		{rainfall.Finding{Code: "doubtful", Values: n(2), Texts: []string{"form-only"}}, "2 values are kept though the publisher has checked only the form of them (quality level 1) (20 % of the record)"},
		{rainfall.Finding{Code: "doubtful", Values: n(1), Texts: []string{"suspect"}}, "1 value is kept though the publisher's checks mark it as suspect (20 % of the record)"},
		{rainfall.Finding{Code: "doubtful", Values: n(1), Texts: []string{"part-day"}}, "1 value is kept though the reports behind it cover only a part of the day (20 % of the record)"},
		{rainfall.Finding{Code: "duplicate", Values: n(1)}, "1 day is given twice with the same value; counted once"},
		{rainfall.Finding{Code: "flag", Values: n(2)}, "2 values have a flag that is not in the publisher's legend; kept as doubtful"},
		{rainfall.Finding{Code: "indicator", Values: n(1), Texts: []string{"2 (1)"}}, "1 value has an indicator other than 0: 2 (1); the file does not say what the codes mean; the values were kept"},
		{rainfall.Finding{Code: "missing-code", Values: n(4), Texts: []string{"-999", "-99.9"}}, "4 values are codes for a missing value (-999, -99.9); taken as missing"},
		{rainfall.Finding{Code: "modelled", Texts: []string{"NASA POWER"}}, "these are values of a modelled grid cell (NASA POWER), not of a gauge; compare them with a gauge nearby before relying on them"},
		{rainfall.Finding{Code: "no-day", Values: n(1234)}, "1,234 lines were skipped: the calendar has no such day, and the line has no value"},
		{rainfall.Finding{Code: "option-ignored", Texts: []string{"KNMI", "column", "rain"}}, "this is a publisher's format (KNMI), which fixes its own columns and codes; --column rain was ignored"},
		{rainfall.Finding{Code: "presumed", Values: n(1)}, "1 day is zero because the publisher took a missing value as zero (20 % of the record)"},
		{rainfall.Finding{Code: "rain-only"}, "the file has rain_sum and no precipitation_sum: snow is left out"},
		{rainfall.Finding{Code: "skipped", Values: n(1)}, "1 day of the record has no value and lies in a year that is not usable; it was skipped, and the tank kept its level"},
		{rainfall.Finding{Code: "skipped", Values: n(2)}, "2 days of the record have no value and lie in years that are not usable; they were skipped, and the tank kept its level"},
		{rainfall.Finding{Code: "station-ignored", Texts: []string{"", "A1"}}, "the file names no station; --station A1 was ignored"},
		{rainfall.Finding{Code: "station-ignored", Texts: []string{"B2", "A1"}}, "the file holds B2; --station A1 was ignored"},
		{rainfall.Finding{Code: "titles", Values: n(1)}, "1 line was skipped above the table"},
		{rainfall.Finding{Code: "total-long", Values: n(2, rainfall.InCount.Of("days", 30))}, "2 totals do not say how many days are covered, and more than 30 days before are missing; left out"},
		{rainfall.Finding{Code: "total-lost", Values: n(1)}, "1 total does not agree with the values of single days; left out"},
		{rainfall.Finding{Code: "total-span", Values: n(1)}, "1 total does not say how many days are covered; taken as covering the missing days before"},
		{rainfall.Finding{Code: "two-digit-years", From: day, Days: 3, Values: []rainfall.Value{rainfall.InCount.Of("pivot", 40)}},
			"the years have two digits; the last day was read as 2000-01-01 (a last year from 40 to 99 is in the 1900s, a lower one in the 2000s), and the first day then is 1999-12-30"},
		{rainfall.Finding{Code: "uncertain", Values: n(1)}, "1 day is missing: rain fell or may have fallen, and no total follows (flags C, L)"},
		{rainfall.Finding{Code: "unit-change", Values: []rainfall.Value{rainfall.InFile.Of("low", 0.123), rainfall.InFile.Of("high", 31)}}, "the usual wet day is 0.12 in one quarter of the file and 31 in another: does the unit change?"},
		{rainfall.Finding{Code: "unit-inferred", Values: []rainfall.Value{rainfall.InUnit.Of("read_as", 0.1), rainfall.InShare.Of("from_inches", 0.2), rainfall.InDepth.Of("year_in_inches", 20000), rainfall.InDepth.Of("wet_day_in_inches", 120)}},
			"no unit is stated; read as tenths of a mm: in inches it would rain 20,000 mm a year, and 120 mm on a usual wet day"},
		{rainfall.Finding{Code: "unit-inferred", Values: []rainfall.Value{rainfall.InUnit.Of("read_as", 1), rainfall.InShare.Of("from_inches", 0.99)}},
			"no unit is stated; read as mm: the values are hundredths of an inch turned into mm"},
		{rainfall.Finding{Code: "unit-inferred", Values: []rainfall.Value{rainfall.InUnit.Of("read_as", 25.4), rainfall.InShare.Of("from_inches", 0.2), rainfall.InDepth.Of("year_in_inches", 900), rainfall.InDepth.Of("wet_day_in_inches", 8)}},
			"no unit is stated; read as inches: in inches it would rain 900 mm a year, and 8 mm on a usual wet day"},
		{rainfall.Finding{Code: "unit-ignored", Texts: []string{"mm", "in"}}, "the file itself says that it holds mm; --unit in was ignored (to change the unit, change the column's name or the comment that states it)"},
	} {
		assert.Equal(t, c.want, Finding(c.f, units.SI))
	}
}

func TestWordsOfRejectedYears(t *testing.T) {
	day := rainfall.Day(2007, 8, 1)
	for want, r := range map[string]rainfall.Rejected{
		"the record begins on 2007-08-01":                        {Why: rainfall.Begins, Day: day},
		"the record ends on 2007-08-01":                          {Why: rainfall.Ends, Day: day},
		"no day has a value":                                     {Why: rainfall.Empty, Day: day, Days: 365},
		"Aug lacks 11 days":                                      {Why: rainfall.Misses, Day: day, Days: 11},
		"Aug lacks 5 days in a row; 1 more month lacks too many": {Why: rainfall.Gap, Day: day, Days: 5, More: 1},
		"Aug lacks 5 days in a row; 3 more months lack too many": {Why: rainfall.Gap, Day: day, Days: 5, More: 3},
	} {
		assert.Equal(t, want, WhyNot(r))
	}
}

func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}

// isErrorOrSource finds what may hold a sentence: an error, and what says where
// something was taken from.
func isErrorOrSource(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.CallExpr:
		return slices.Contains([]string{"Errorf", "New", "Need", "panic"}, nameOf(n.Fun))
	case *ast.KeyValueExpr:
		return slices.Contains([]string{"What", "Source", "Rule"}, nameOf(n.Key))
	case *ast.GenDecl:
		return n.Tok == token.CONST || n.Tok == token.IMPORT
	case *ast.Field: // its tag
		return true
	}
	return false
}

// Rain and tanks are data: no sentence is made below the report. What a file's
// reader tells holds names and codes alone, its other texts are errors; the
// sources of the runoff of surfaces stand in a table.
func TestNoSentenceBelowTheReport(t *testing.T) {
	below(t, func(path string) {
		if filepath.Base(path) == "surface.go" {
			return
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		words := func(in ast.Node, most int) {
			ast.Inspect(in, func(n ast.Node) bool {
				if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
					assert.LessOrEqual(t, strings.Count(lit.Value, " "), most, "%s: a sentence, which belongs into report/words: %s", path, lit.Value)
				}
				return !isErrorOrSource(n)
			})
		}
		if file.Name.Name != "read" {
			words(file, 5)
			return
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok && slices.Contains([]string{"tell", "ofUnit", "doubtful"}, nameOf(call.Fun)) {
				words(call, 0)
			}
			return true
		})
	})
}
