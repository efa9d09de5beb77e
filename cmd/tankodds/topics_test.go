package main

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/sim"
)

// helpOn returns what help prints of a topic.
func helpOn(t *testing.T, topic string) string {
	t.Helper()
	return done(t, "help", topic)
}

// Every topic fits a terminal, and still does set in by a manual page.
func TestTopicsFit(t *testing.T) {
	_, overview, _ := typed(t)
	for _, x := range topics {
		text := helpOn(t, x.name)
		assert.Contains(t, overview, "\n  "+x.name)
		assert.Contains(t, overview, x.short)
		if x.whole {
			continue // its lines are as their authors broke them
		}
		assert.NotContains(t, text, "{{")
		assert.NotContains(t, text, "<no value>")
		assert.NotContains(t, text, "\n\n\n")
		for line := range strings.Lines(text) {
			line = strings.TrimSuffix(line, "\n")
			assert.LessOrEqual(t, len([]rune(line)), topicWidth, "%s: %s", x.name, line)
			assert.Equal(t, strings.TrimRight(line, " "), line)
		}
	}
	fits(t, overview)
	files, err := topicFiles.ReadDir("topics")
	require.NoError(t, err)
	assert.Len(t, files, len(topics)-1) // all but the notice
}

// The notice names every module of the program in the version that is built in;
// "go run ./scripts/release notice -check" holds the texts too.
func TestNotice(t *testing.T) {
	text := helpOn(t, "notice")
	b, err := os.ReadFile("../../go.mod")
	require.NoError(t, err)
	modules := regexp.MustCompile(`(?m)^\t(\S+ v\S+)`).FindAllStringSubmatch(string(b), -1)
	require.Greater(t, len(modules), 10)
	for _, m := range modules {
		if !strings.HasPrefix(m[1], "github.com/stretchr/testify ") { // of tests alone
			assert.Contains(t, text, "\n"+m[1]+"\n    text", "go run ./scripts/release notice writes it anew")
		}
	}
	for _, licence := range []string{"Copyright 2009 The Go Authors", "SIL OPEN FONT LICENSE", "Apache License", "The FreeType Project LICENSE",
		"Creative Commons Attribution 4.0", "Bigelow & Holmes", "Kurt Jung", "©2013 The Gonum Authors"} {
		assert.Contains(t, text, licence)
	}
	assert.NotContains(t, text, "GNU GENERAL PUBLIC LICENSE\n")
	assert.NotContains(t, manPage(t), "Kurt Jung")
}

// A command that a topic names is one, and so is a flag.
func TestTopicsNameWhatThereIs(t *testing.T) {
	flags := map[string]bool{"help": true, "version": true}
	for _, f := range complete().flags {
		flags[f.name] = true
	}
	for _, x := range topics {
		if x.whole {
			continue
		}
		text := helpOn(t, x.name)
		for _, m := range regexp.MustCompile(`tankodds ([a-z]+)`).FindAllStringSubmatch(text, -1) {
			if m[1] != "help" {
				_, err := findCommand(m[1])
				assert.NoError(t, err, "%s: %s", x.name, m[0])
			}
		}
		for _, m := range regexp.MustCompile(`--([a-z][a-z-]*)`).FindAllStringSubmatch(text, -1) {
			assert.True(t, flags[m[1]], "%s: %s", x.name, m[0])
		}
	}
}

func TestTopicFormats(t *testing.T) {
	text := helpOn(t, "formats")
	for _, name := range read.Formats() {
		assert.Contains(t, text, "\n\n"+name+"\n  ", name)
	}
	for _, flag := range []string{"unit", "station", "column", "dates", "since"} {
		assert.Contains(t, text, "\n  --"+flag+" ")
	}
	_, err := formatName("no such format")
	assert.Error(t, err)
	_, err = read.Bytes("own.csv", []byte(example(text, "Of your own")), read.Options{})
	assert.NoError(t, err)
}

// example returns the deepest-set lines of a section.
func example(text, section string) string {
	_, text, _ = strings.Cut(text, "\n"+section+"\n")
	var out strings.Builder
	for line := range strings.Lines(text) {
		if cut, ok := strings.CutPrefix(line, "    "); ok {
			out.WriteString(cut)
		}
	}
	return out.String()
}

func TestTopicMethod(t *testing.T) {
	text := helpOn(t, "method")
	flat := strings.Join(strings.Fields(text), " ")
	for _, g := range gen.All() {
		assert.Contains(t, text, "\n  "+g.Name+" ")
		assert.Contains(t, flat, g.What)
		assert.Contains(t, flat, "["+g.Source+"]")
	}
	for _, s := range sim.Surfaces() {
		assert.Contains(t, text, "\n  "+s.Name+" ")
		assert.Contains(t, flat, s.Source)
	}
	for _, r := range []sim.Rule{sim.YAS, sim.YBS} {
		assert.Contains(t, text, "\n  "+r.String()+", ")
	}
	assert.Contains(t, flat, "makes 100,000 rain years")
	assert.Contains(t, flat, "which takes 16 years for 90 %")
	assert.Equal(t, 16, sim.YearsToShow(0.9))
}

func TestTopicMeasures(t *testing.T) {
	text := helpOn(t, "measures")
	for m := sim.Annual; m <= sim.Volume; m++ {
		assert.Regexp(t, `\n  `+m.String()+` +\S`, text)
	}
	for _, word := range []string{"short days a year", "longest dry run", "supplied", "spill share", "demand fraction", "storage fraction",
		"resilience", "vulnerability", "band", "safe size", "listed", "Mann–Kendall", "Pettitt"} {
		assert.Contains(t, text, "\n  "+word+" ")
	}
}

// The cautions are those that every sheet must carry.
func TestTopicCautions(t *testing.T) {
	text := strings.Join(strings.Fields(helpOn(t, "cautions")), " ")
	for _, say := range []string{"not drinking water", "Label every outlet", "backflow protection", "mosquitoes", "foundations and neighbours", "1 kg for each litre",
		"level, bearing base", "Never enter a tank", "Lock lids against children", "licensed electrician", "lead flashing", "treated shingles", "asbestos",
		"authority having jurisdiction", "estimates from past rain", "climate may change"} {
		assert.Contains(t, text, say)
	}
}

func TestHelpOnNothing(t *testing.T) {
	for _, c := range []struct{ args, stderr string }{
		{"help format", "tankodds: no command or topic is called \"format\"\nhint: did you mean tankodds help formats\n"},
		{"formats", "tankodds: formats is no command but a topic of help\nhint: tankodds help formats tells of it\n"},
		{"help repaly", "tankodds: no command is called \"repaly\"\nhint: did you mean tankodds replay\n"},
	} {
		stderr := refused(t, exitUsage, strings.Fields(c.args)...)
		assert.Equal(t, c.stderr, stderr)
	}
}
