package main

import (
	"embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"text/template"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/near"
	"tankodds/rainfall/read"
	"tankodds/report"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// topic is a text that help tells beside the commands.
type topic struct {
	name, short string
	whole       bool // a text of others, kept as it is, and no part of the manual page
}

// topics lists them in the order help shows; each is a file of its name. Its
// first line is the title. Lines without indent are prose, a line alone
// without a stop a heading; indented lines stay as they are.
var topics = []topic{
	{name: "method", short: "how a size is found, with the formulas and their papers"},
	{name: "measures", short: "what the numbers mean"},
	{name: "formats", short: "the files of daily rain that are read, and what of them"},
	{name: "results", short: "the keys of --json, their units and meanings"},
	{name: "meter", short: "readings of a meter at a tank, held against the model"},
	{name: "neighbours", short: "records of gauges near by, which sharpen a short one"},
	{name: "uses", short: "how much water people, animals and gardens take"},
	{name: "limits", short: "what the parts of a site can tell, and what they cost"},
	{name: "site", short: "the site file: every key, its unit and its default"},
	{name: "cautions", short: "before anything is built"},
	{name: "notice", short: "the licences of the modules and fonts in this program", whole: true},
}

//go:embed topics/*.txt
var topicFiles embed.FS

// notice is written by "go run ./scripts/release notice".
//
//go:embed NOTICE
var notice string

// facts are what a topic takes from the program instead of repeating it.
var facts = template.FuncMap{
	"count":        func(n int) string { return units.Fixed(float64(n), 0) },
	"percent":      units.Percent,
	"years":        func() int { return sim.DefaultYears },
	"yearstoshow":  sim.YearsToShow,
	"fewyears":     func() int { return sim.FewYears },
	"traceyears":   func() int { return sim.TraceYears },
	"runin":        func() int { return sim.RunIn },
	"daysperyear":  func() int { return rainfall.DaysPerYear },
	"horizon":      func() int { return sim.DefaultHorizon },
	"shiftsmatter": func() int { return sim.ShiftsMatter },
	"meterdraws":   func() int { return sim.MeterDraws },
	"meterleast":   func() int { return sim.LeastIntervals },
	"leastfactor":  func() string { return units.Significant(sim.LeastFactor(), 2) },
	"mostfactor":   func() string { return units.Significant(sim.MostFactor(), 2) },
	"maxdaily":     func() int { return read.MaxDaily },
	"level":        func() float64 { return sim.DefaultLevel },
	"generators":   generatorsText,
	"surfaces":     surfacesText,
	"keys":         keysText,
	"format":       formatName,
	"sitekeys":     func() string { return site.Keys(topicWidth) },
	"nearown":      func() int { return near.LeastOwn },
	"nearyears":    func() int { return near.LeastYears },
	"nearcommon":   func() int { return near.LeastCommon },
	"nearalike":    func() float64 { return rainfall.LeastAlike },
	"nearwet":      func() float64 { return near.MostWet },
	"nearh":        func() float64 { return near.MostH },
	"slowyears":    func() string { return words.Whole(site.SlowYears) },
}

// topicWidth is what a topic's lines keep to, so that a manual page may set
// them in.
const topicWidth = 73

// text returns the topic's text.
func (t topic) text() (string, error) {
	if t.whole {
		return notice, nil
	}
	b, err := topicFiles.ReadFile("topics/" + t.name + ".txt")
	if err != nil {
		return "", err
	}
	page, err := template.New(t.name).Funcs(facts).Parse(string(b))
	if err != nil {
		return "", err
	}
	var out strings.Builder
	err = page.Execute(&out, nil)
	return out.String(), err
}

func findTopic(name string) (topic, bool) {
	i := slices.IndexFunc(topics, func(t topic) bool { return t.name == name })
	if i < 0 {
		return topic{}, false
	}
	return topics[i], true
}

// generatorsText lists the generators with their papers, the default first.
func generatorsText() string {
	var b strings.Builder
	for i, g := range gen.All() {
		text := g.What
		if i == 0 {
			text += " (the default)"
		}
		fmt.Fprintf(&b, "  %-11s %s\n", g.Name, words.Hang(14, topicWidth, text))
		fmt.Fprintf(&b, "              %s\n", words.Hang(14, topicWidth, "["+g.Source+"]"))
	}
	return b.String()
}

// surfacesText lists the surfaces with their coefficients and sources.
func surfacesText() string {
	var b strings.Builder
	for _, s := range sim.Surfaces() {
		fmt.Fprintf(&b, "  %-15s %s  %s\n", s.Name, strconv.FormatFloat(s.Runoff, 'f', 2, 64), words.Hang(24, topicWidth, s.Source))
	}
	return b.String()
}

// keysText lists the keys of what --json prints.
func keysText() string {
	var b strings.Builder
	for _, d := range report.Documents() {
		fmt.Fprintf(&b, "\n%s\n\n  %s\n\n", d.Schema, d.What)
		for _, k := range d.Keys {
			depth := strings.Count(k.Path, ".")
			key := strings.Repeat("  ", depth) + k.Path[strings.LastIndexByte(k.Path, '.')+1:]
			doc := k.Doc
			if strings.HasPrefix(k.Unit, "L") || strings.HasPrefix(k.Unit, "m") { // the others are said there
				doc = k.Unit + ": " + doc
			}
			if k.Like != "" {
				doc = strings.TrimSpace(doc + " (keys as of " + k.Like + ")")
			}
			if len(key) > 24 { // a line of its own
				fmt.Fprintf(&b, "  %s\n", key)
				key = ""
			}
			fmt.Fprintf(&b, "  %-24s  %s\n", key, words.Hang(28, topicWidth, doc))
		}
	}
	return strings.TrimPrefix(b.String(), "\n")
}

// formatName returns a format's name, and fails where none is so called: the
// text then tells of a format that there is no more.
func formatName(name string) (string, error) {
	if !slices.Contains(read.Formats(), name) {
		return "", fmt.Errorf("no format is called %q", name)
	}
	return name, nil
}
