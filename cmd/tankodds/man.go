package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"unicode"

	"github.com/spf13/pflag"

	"tankodds/report/words"
)

var manCommand = command{
	name:  "man",
	short: "print the manual page, all of help in one",
	long: `
Prints a manual page in roff, made from the commands, their flags and the
topics of help. To read it: tankodds man | man -l -. To keep it, write it to
~/.local/share/man/man1/tankodds.1.`,
	example: "tankodds man",
}

// The function reads the table of commands, in which it stands itself.
func init() { manCommand.run = runMan }

func runMan(_ context.Context, c *call) error {
	m := &manual{w: c.stdout}
	m.macro("TH", "TANKODDS", "1", "", "tankodds "+version, "")
	m.section("NAME")
	m.fill("tankodds - sizes a roof-water tank from a daily rain record")
	m.section("SYNOPSIS")
	for _, cmd := range commands {
		m.macro("br")
		m.fill("tankodds " + strings.TrimSpace(cmd.name+" "+cmd.args) + optional(cmd))
	}
	m.section("DESCRIPTION")
	m.fill("Builds thousands of plausible rain years from the daily record of a gauge, runs every tank size through them, and says which size meets a target, how sure that is, and where more storage stops paying.")
	m.section("COMMANDS")
	for _, cmd := range commands {
		m.command(cmd)
	}
	m.section("FLAGS")
	m.flags()
	for _, t := range topics {
		if t.whole {
			continue
		}
		text, err := t.text()
		if err != nil {
			return err
		}
		m.topic(text)
	}
	m.section("EXIT STATUS")
	for _, e := range exitCodes {
		m.macro("TP")
		m.fill(fmt.Sprint(e.code))
		m.fill(e.means)
	}
	return nil
}

func optional(cmd *command) string {
	if fs, _ := cmd.flagSet(); fs.HasFlags() {
		return " [flags]"
	}
	return ""
}

// exitCodes says what each exit code means.
var exitCodes = []struct {
	code  int
	means string
}{
	{exitDone, "done; also where no size meets the target: that is an answer"},
	{exitFailed, "could not run"},
	{exitUsage, "wrong usage"},
	{exitDisagrees, "recheck found something that differs, is missing or was not compared"},
	{exitInterrupted, "interrupted"},
}

// manual writes roff with the macros of man(7).
type manual struct{ w io.Writer }

func (m *manual) macro(name string, args ...string) {
	line := "." + name
	for _, a := range args {
		line += " \"" + strings.ReplaceAll(escape(a), "\"", "\\(dq") + "\""
	}
	fmt.Fprintln(m.w, line)
}

func (m *manual) section(title string) { m.macro("SH", strings.ToUpper(title)) }

// fill writes text to be wrapped.
func (m *manual) fill(text string) {
	for _, l := range strings.Split(words.Hang(0, 76, escape(text)), "\n") {
		fmt.Fprintln(m.w, guard(l))
	}
}

// kept writes lines as they are.
func (m *manual) kept(lines []string) {
	m.macro("nf")
	for _, l := range lines {
		fmt.Fprintln(m.w, guard(escape(l)))
	}
	m.macro("fi")
}

// escape makes text safe from roff: its own signs, and those that it would
// print as others.
func escape(s string) string {
	return strings.NewReplacer(`\`, `\e`, "-", `\-`, "'", `\(aq`, "`", `\(ga`, "^", `\(ha`, "~", `\(ti`).Replace(s)
}

// guard keeps a line from being taken for a macro.
func guard(s string) string {
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		return `\&` + s
	}
	return s
}

func (m *manual) command(cmd *command) {
	m.macro("SS", strings.TrimSpace("tankodds "+cmd.name+" "+cmd.args))
	m.text(strings.TrimSpace(cmd.long))
	var names []string
	fs, _ := cmd.flagSet()
	fs.VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
	if len(names) > 0 {
		m.macro("PP")
		m.fill("Flags: " + strings.Join(names, ", ") + ".")
	}
	m.macro("PP")
	m.fill("Example:")
	m.macro("PP")
	m.kept(strings.Split("  "+strings.ReplaceAll(cmd.example, "\n", "\n  "), "\n"))
}

// flags lists every flag once, in the order of its first command.
func (m *manual) flags() {
	seen := map[string]bool{}
	for _, cmd := range commands {
		fs, _ := cmd.flagSet()
		fs.VisitAll(func(f *pflag.Flag) {
			if seen[f.Name] {
				return
			}
			seen[f.Name] = true
			value, usage := pflag.UnquoteUsage(f)
			if f.Value.Type() == "bool" {
				value = ""
			}
			m.macro("TP")
			m.fill(strings.TrimSpace("--" + f.Name + " " + value))
			m.fill(usage)
		})
	}
}

// topic writes a topic as a section: its first line is the title.
func (m *manual) topic(text string) {
	title, body, _ := strings.Cut(text, "\n")
	m.section(title)
	m.text(strings.TrimSpace(strings.TrimPrefix(body, "\n")))
}

// text writes blocks parted by blank lines: those that hold an indented line
// stay as they are, a line alone without a stop is a heading, the rest is
// filled.
func (m *manual) text(text string) {
	for _, block := range strings.Split(text, "\n\n") {
		lines := strings.Split(strings.Trim(block, "\n"), "\n")
		indented := false
		for _, l := range lines {
			indented = indented || strings.HasPrefix(l, " ")
		}
		last := []rune(lines[len(lines)-1])
		switch {
		case len(last) == 0:
		case indented:
			m.macro("PP")
			m.kept(lines)
		case len(lines) == 1 && (unicode.IsLetter(last[len(last)-1]) || last[len(last)-1] == ')'):
			m.macro("SS", lines[0])
		default:
			m.macro("PP")
			m.fill(strings.Join(lines, " "))
		}
	}
}
