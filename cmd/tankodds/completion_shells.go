package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// zshScript prints a function for zsh's own completion system.
func zshScript(w io.Writer, c completions) {
	fmt.Fprintf(w, "#compdef tankodds\n# zsh completion of tankodds %s\n_tankodds() {\n    local -a commands\n    commands=(\n", version)
	for _, cmd := range c.commands {
		fmt.Fprintf(w, "        %s\n", quoted(strings.ReplaceAll(cmd.name, ":", "\\:")+":"+cmd.short))
	}
	fmt.Fprint(w, `    )
    if (( CURRENT == 2 )); then
        _describe -t commands command commands
        _arguments '--help[list the commands]' '--version[say which version this is]'
        return
    fi
    local command=$words[2]
    shift words
    (( CURRENT-- ))
    case $command in
`)
	for _, cmd := range c.commands {
		fmt.Fprintf(w, "    (%s)\n        _arguments \\\n            '--help[what the command does]'", cmd.name)
		for _, f := range cmd.flags {
			spec := "--" + f.name
			if !f.bool {
				spec = "*" + spec + "="
			}
			spec += "[" + zshText(f.what) + "]"
			if !f.bool {
				spec += ":" + f.name + ":" + zshTakes(f.value)
			}
			fmt.Fprintf(w, " \\\n            %s", quoted(spec))
		}
		if !cmd.args.empty() {
			fmt.Fprintf(w, " \\\n            %s", quoted("*:argument:"+zshTakes(cmd.args)))
		}
		fmt.Fprint(w, " ;;\n")
	}
	fmt.Fprint(w, "    esac\n}\nif [[ $funcstack[1] == _tankodds ]]; then\n    _tankodds \"$@\"\nelse\n    compdef _tankodds tankodds\nfi\n")
}

func zshTakes(t taking) string {
	switch {
	case len(t.words) > 0:
		return "(" + strings.Join(t.words, " ") + ")"
	case slices.Contains(t.files, ""):
		return "_files"
	case len(t.files) > 0:
		return "_files -g \"*(" + strings.Join(t.files, "|") + ")\""
	case t.dirs:
		return "_files -/"
	}
	return ""
}

// zshText makes text safe between the brackets of a specification.
func zshText(s string) string {
	return strings.NewReplacer("\\", "\\\\", "[", "\\[", "]", "\\]", ":", "\\:").Replace(s)
}

// quoted puts a word between single quotes, as all three shells read them.
func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", "'\\''") + "'" }

// fishScript prints fish's complete commands.
func fishScript(w io.Writer, c completions) {
	fmt.Fprintf(w, `# fish completion of tankodds %s
function __tankodds_first
    test (count (commandline -opc)) -eq 1
end
function __tankodds_at
    set -l words (commandline -opc)
    test (count $words) -gt 1; and test $words[2] = $argv[1]
end
complete -c tankodds -f
complete -c tankodds -n __tankodds_first -l help -d 'list the commands'
complete -c tankodds -n __tankodds_first -l version -d 'say which version this is'
`, version)
	for _, cmd := range c.commands {
		fmt.Fprintf(w, "complete -c tankodds -n __tankodds_first -a %s -d %s\n", cmd.name, quoted(cmd.short))
	}
	for _, cmd := range c.commands {
		at := quoted("__tankodds_at " + cmd.name)
		fmt.Fprintf(w, "complete -c tankodds -n %s -l help -d 'what the command does'\n", at)
		if take := fishTakes(cmd.args); take != "" {
			fmt.Fprintf(w, "complete -c tankodds -n %s %s\n", at, take)
		}
		for _, f := range cmd.flags {
			line := fmt.Sprintf("complete -c tankodds -n %s -l %s -d %s", at, f.name, quoted(f.what))
			switch take := fishTakes(f.value); {
			case f.bool:
			case take == "":
				line += " -x"
			default:
				line += " -r " + take
			}
			fmt.Fprintln(w, line)
		}
	}
}

func fishTakes(t taking) string {
	switch {
	case len(t.words) > 0:
		return "-f -a " + quoted(strings.Join(t.words, " "))
	case slices.Contains(t.files, ""):
		return "-F"
	case len(t.files) > 0:
		var all []string
		for _, end := range t.files {
			all = append(all, "(__fish_complete_suffix "+end+")")
		}
		return "-f -a " + quoted(strings.Join(all, " "))
	case t.dirs:
		return "-f -a '(__fish_complete_directories)'"
	}
	return ""
}
