package site

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseRainScale(t *testing.T) {
	all, err := parseRainScale("0.9")
	require.NoError(t, err)
	assert.Equal(t, [12]float64{.9, .9, .9, .9, .9, .9, .9, .9, .9, .9, .9, .9}, all)
	some, err := parseRainScale("nov-feb=1.1,jun=0.5")
	require.NoError(t, err)
	assert.Equal(t, [12]float64{1.1, 1.1, 1, 1, 1, .5, 1, 1, 1, 1, 1.1, 1.1}, some)
	year, err := parseRainScale("0.9,jun=0.5") // for the year, and then a month of it
	require.NoError(t, err)
	assert.Equal(t, [12]float64{.9, .9, .9, .9, .9, .5, .9, .9, .9, .9, .9, .9}, year)
	for text, want := range map[string]string{
		"1,1": "two factors without a month", "0.9,jun=0.5,0.8": "two factors without a month",
		"jun=0.8,jun=0.9": `"jun=0.8" and "jun=0.9" both name June`, "nov-feb=1.1,jan=0.9": `"nov-feb=1.1" and "jan=0.9" both name January`,
	} {
		_, err := parseRainScale(text)
		assert.ErrorContains(t, err, want)
	}
	for _, bad := range []string{"", "wet", "jun", "juno=0.8", "jun=", "jun-=0.8"} {
		_, err := parseRainScale(bad)
		assert.Error(t, err, bad)
	}
}

// Factors by month come from a file too, as a climate scenario gives them: the same
// as typed.
func TestRainScaleOfAFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "factors.csv")
	write := func(text string) error {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		a := everywhere()
		err := readRainScale(a, given{texts: []string{"@" + file}})
		if err == nil {
			typed := everywhere()
			require.NoError(t, readRainScale(typed, given{texts: []string{"0.9,jun-aug=0.7"}}))
			assert.Equal(t, typed.Study.Stress, a.Study.Stress)
		}
		return err
	}
	names := []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}
	factor := func(m int) string {
		if m >= 5 && m <= 7 {
			return "0.7"
		}
		return "0.9"
	}
	var words, numbers, tabs string
	for m, name := range names {
		words += name + "," + factor(m) + "\n"
		numbers += fmt.Sprintf("%d;%s\r\n", m+1, factor(m))
		tabs = fmt.Sprintf("%s\t%s\n", time.Month(m+1), factor(m)) + tabs // in any order
	}
	assert.NoError(t, write(words))
	assert.NoError(t, write("\ufeffmonth;factor\r\n"+numbers))
	assert.NoError(t, write("# a scenario, invented\nmonth\tchange\n"+tabs))
	for text, want := range map[string]string{
		"":                        "factors.csv has no factor for January",
		"jan,1\njan,2\n":          "factors.csv:2: January stands in line 1 too",
		"jan,1\nfeb\n":            "factors.csv:2: a line has a month and a factor",
		"jan,1\nsmarch,1\n":       `factors.csv:2: "smarch" is no month`,
		"jan,1\nfeb,much\n":       "factors.csv:2: ",
		"month,factor\njan,1,2\n": "factors.csv:2: a line has a month and a factor",
	} {
		assert.ErrorContains(t, write(text), want)
	}
	assert.ErrorContains(t, readRainScale(everywhere(), given{texts: []string{"@none.csv"}}), "none.csv cannot be read")
	for _, none := range []string{"0", "0.0", "jan-dec=0"} {
		assert.ErrorContains(t, readRainScale(everywhere(), given{texts: []string{none}}), "leaves none", none)
	}
	assert.NoError(t, readRainScale(everywhere(), given{texts: []string{"jan=0"}}))
}
