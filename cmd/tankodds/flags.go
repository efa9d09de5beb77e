package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"
)

// flagsText lists the flags in two columns of 80.
func flagsText(fs *pflag.FlagSet) string {
	const indent, width = 24, 79
	var b strings.Builder
	fs.VisitAll(func(f *pflag.Flag) {
		value, usage := pflag.UnquoteUsage(f)
		if f.Value.Type() == "bool" {
			value = ""
		}
		left := strings.TrimSpace("--" + f.Name + " " + value)
		line := fmt.Sprintf("  %-*s", indent-2, left)
		for i, word := range strings.Fields(usage) {
			if i > 0 && len(line)+1+len(word) > width {
				b.WriteString(line + "\n")
				line = strings.Repeat(" ", indent)
			} else if i > 0 {
				line += " "
			}
			line += word
		}
		b.WriteString(line + "\n")
	})
	return b.String()
}
