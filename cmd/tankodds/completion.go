package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"tankodds/report/site"
	"tankodds/report/words"
)

var completionCommand = command{
	name:  "completion",
	args:  "bash|zsh|fish",
	short: "print what makes a shell complete commands, flags and values",
	long: `
Prints a script for the shell named. It completes commands, topics of help,
flags, the values of those that take one of a few, and files where a file
belongs. To have it in every shell:

  bash  tankodds completion bash > \
            ~/.local/share/bash-completion/completions/tankodds
  zsh   tankodds completion zsh > _tankodds
            in one of the folders of $fpath
  fish  tankodds completion fish > \
            ~/.config/fish/completions/tankodds.fish`,
	example: "tankodds completion bash",
	maxArgs: 1,
}

// The function reads the table of commands, in which it stands itself.
func init() { completionCommand.run = runCompletion }

// shells are those that a script can be printed for.
var shells = map[string]func(io.Writer, completions){
	"bash": bashScript,
	"zsh":  zshScript,
	"fish": fishScript,
}

func runCompletion(_ context.Context, c *call) error {
	if len(c.args) == 0 {
		return misuse("tankodds completion bash, zsh or fish", "no shell is named")
	}
	script, ok := shells[c.args[0]]
	if !ok {
		return misuse("tankodds completion bash, zsh or fish", "no completion for the shell %q", c.args[0])
	}
	script(c.stdout, complete())
	return nil
}

// taking is what an argument or a flag's value is.
type taking struct {
	words []string // one of these
	files []string // or a file that ends in one of these, "" for any
	dirs  bool     // or a folder
}

// completions is what can be typed, from the table of commands.
type completions struct {
	commands []completed
	flags    []completedFlag // every flag of any command, once
}

type completed struct {
	name, short string
	args        taking
	flags       []completedFlag
}

type completedFlag struct {
	name, what string
	bool       bool
	value      taking
}

// complete reads the table of commands; help, which is none, comes last.
func complete() completions {
	var out completions
	seen := map[string]bool{}
	var names []string
	for _, c := range commands {
		fs, _ := c.flagSet()
		one := completed{name: c.name, short: c.short, args: argsOf(c.args)}
		fs.VisitAll(func(f *pflag.Flag) {
			flag := completedFlag{f.Name, brief(f), f.Value.Type() == "bool", flagTakes(site.Takes(f.Name, c.takes))}
			one.flags = append(one.flags, flag)
			if !seen[f.Name] {
				seen[f.Name] = true
				out.flags = append(out.flags, flag)
			}
		})
		out.commands = append(out.commands, one)
		names = append(names, c.name)
	}
	for _, t := range topics {
		names = append(names, t.name)
	}
	out.commands = append(out.commands, completed{name: "help", short: "tell of a command or a topic", args: taking{words: names}})
	return out
}

// brief is the beginning of a flag's usage, enough for a menu.
func brief(f *pflag.Flag) string {
	_, usage := pflag.UnquoteUsage(f)
	if i := strings.IndexAny(usage, ",;:("); i > 0 {
		usage = usage[:i]
	}
	return strings.TrimSpace(usage)
}

// argsOf says what a command's arguments are, as its synopsis names them.
func argsOf(synopsis string) taking {
	var t taking
	for _, word := range strings.Fields(strings.Trim(strings.NewReplacer("[", "", "]", "", "…", "", "...", "").Replace(synopsis), " ")) {
		switch {
		case word == "DIR":
			t.dirs = true
		case strings.HasSuffix(word, ".yaml"):
			t.files = append(t.files, ".yaml", ".yml")
		case strings.HasSuffix(word, ".json"):
			t.files = append(t.files, ".json")
		case strings.HasPrefix(word, "FILE"):
			t.files = []string{""}
			return t
		case strings.Contains(word, "|"):
			t.words = strings.Split(word, "|")
		}
	}
	return t
}

// flagTakes says what a parameter's value may be; nothing where it is a
// quantity, a number or a name.
func flagTakes(p *site.Parameter) taking {
	t := taking{dirs: p.Folders}
	if !p.IsSwitch() {
		t.words = p.Words
	}
	if p.Files {
		t.files = []string{""}
	}
	return t
}

func (t taking) empty() bool { return len(t.words) == 0 && len(t.files) == 0 && !t.dirs }

// wordLines breaks words into lines, so that a script can be read.
func wordLines(indent string, list []string) string {
	return words.Hang(len(indent), 76, strings.Join(list, " "))
}

// bashScript works in bash 3.2 and later. "=" parts words in bash, so that
// --rule=y arrives as three.
func bashScript(w io.Writer, c completions) {
	var names []string
	for _, cmd := range c.commands {
		names = append(names, cmd.name)
	}
	fmt.Fprintf(w, `# bash completion of tankodds %s
_tankodds_words() {
    COMPREPLY=($(compgen -W "$1" -- "$cur"))
}
_tankodds_files() {
    local IFS=$'\n' end
    compopt -o filenames 2>/dev/null
    COMPREPLY=($(compgen -d -- "$cur"))
    for end in "$@"; do
        COMPREPLY+=($(compgen -f -X "!*$end" -- "$cur"))
    done
}
_tankodds() {
    local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]}
    COMPREPLY=()
    if [[ $COMP_CWORD == 1 ]]; then
        _tankodds_words "%s"
        return
    fi
    if [[ $cur == "=" ]]; then
        cur=
    elif [[ $prev == "=" ]]; then
        prev=${COMP_WORDS[COMP_CWORD-2]}
    fi
    case $prev in
`, version, wordLines(strings.Repeat(" ", 25), append(names, "--help", "--version")))
	var free []string
	for _, f := range c.flags {
		switch {
		case f.bool:
		case f.value.empty():
			free = append(free, "--"+f.name)
		default:
			fmt.Fprintf(w, "    --%s)\n        %s\n        return ;;\n", f.name, bashTakes(f.value))
		}
	}
	if len(free) > 0 {
		fmt.Fprintf(w, "    %s)\n        return ;;\n", strings.ReplaceAll(words.Hang(4, 74, strings.Join(free, " | ")), "\n", "\\\n"))
	}
	fmt.Fprint(w, "    esac\n    case ${COMP_WORDS[1]} in\n")
	for _, cmd := range c.commands {
		flags := []string{"--help"}
		for _, f := range cmd.flags {
			flags = append(flags, "--"+f.name)
		}
		fmt.Fprintf(w, "    %s)\n        if [[ $cur == -* ]]; then\n            _tankodds_words \"%s\"\n", cmd.name, wordLines(strings.Repeat(" ", 29), flags))
		if !cmd.args.empty() {
			fmt.Fprintf(w, "        else\n            %s\n", bashTakes(cmd.args))
		}
		fmt.Fprint(w, "        fi ;;\n")
	}
	fmt.Fprint(w, "    esac\n}\ncomplete -F _tankodds tankodds\n")
}

func bashTakes(t taking) string {
	switch {
	case len(t.words) > 0:
		return "_tankodds_words \"" + wordLines(strings.Repeat(" ", 29), t.words) + "\""
	case slices.Contains(t.files, ""):
		return `_tankodds_files ""`
	}
	return strings.TrimSpace("_tankodds_files " + strings.Join(t.files, " "))
}
