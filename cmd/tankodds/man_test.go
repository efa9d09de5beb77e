package main

import (
	"bytes"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
)

func manPage(t *testing.T) string {
	t.Helper()
	return done(t, "man")
}

// The source holds only macros of man(7) that are known, and all that help
// tells.
func TestManSource(t *testing.T) {
	page := manPage(t)
	assert.True(t, strings.HasPrefix(page, ".TH \"TANKODDS\" \"1\" \"\" \"tankodds "+version+"\""))
	open := false
	for line := range strings.Lines(page) {
		line = strings.TrimSuffix(line, "\n")
		if strings.HasPrefix(line, ".") {
			m := regexp.MustCompile(`^\.(TH|SH|SS|PP|TP|br|nf|fi)( "|$)`).FindString(line)
			assert.NotEmpty(t, m, line)
			if line == ".nf" || line == ".fi" {
				assert.Equal(t, line == ".fi", open, line)
				open = line == ".nf"
			}
		}
		assert.False(t, strings.HasPrefix(line, "'"), line)
		assert.NotRegexp(t, `\\[^e\-(&]`, line) // no escape but our own
	}
	assert.False(t, open)
	for _, s := range []string{"NAME", "SYNOPSIS", "DESCRIPTION", "COMMANDS", "FLAGS", "THE SITE FILE", "EXIT STATUS"} {
		assert.Contains(t, page, "\n.SH \""+s+"\"\n")
	}
	for _, c := range commands {
		assert.Contains(t, page, escape(strings.TrimSpace(".SS \"tankodds "+c.name+" "+c.args)))
		fs, _ := c.flagSet()
		fs.VisitAll(func(f *pflag.Flag) {
			assert.Equal(t, 1, strings.Count(page, "\n.TP\n"+escape("--"+f.Name))-others(page, f.Name), f.Name)
		})
	}
}

// others counts the flags whose name goes on where this one ends.
func others(page, name string) int {
	return len(regexp.MustCompile(`\n\.TP\n`+regexp.QuoteMeta(escape("--"+name))+`[a-z\\]`).FindAllString(page, -1))
}

// groff sets the page without a warning, and what it prints holds every line
// of every topic.
func TestManSet(t *testing.T) {
	groff, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("groff is not installed")
	}
	cmd := exec.Command(groff, "-man", "-ww", "-K", "utf8", "-T", "utf8", "-P-c", "-P-b", "-P-u", "-rLL=80n")
	cmd.Stdin = strings.NewReader(manPage(t))
	cmd.Env = append(os.Environ(), "LC_ALL=C.UTF-8")
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil || strings.Contains(errs.String(), "cannot") {
		t.Skipf("groff cannot set manual pages here: %s", errs.String())
	}
	assert.Empty(t, errs.String())
	flat := func(s string) string {
		// Words may be broken at the end of a line.
		s = regexp.MustCompile(`[‐-]\s*\n\s*`).ReplaceAllString(s, "")
		return strings.NewReplacer("‐", "", "-", "", "−", "").Replace(strings.Join(strings.Fields(s), ""))
	}
	page := flat(out.String())
	fits(t, out.String())
	for _, x := range topics {
		if x.whole {
			continue
		}
		text := helpOn(t, x.name)
		_, body, _ := strings.Cut(text, "\n")
		for _, block := range strings.Split(body, "\n\n") {
			assert.Contains(t, page, flat(block), x.name)
		}
	}
}
