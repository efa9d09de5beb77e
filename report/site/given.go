package site

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"tankodds/report/words"
)

// given is what stands for a parameter: the texts of a flag, one for each time
// that it was typed, or a node of a site file.
type given struct {
	texts []string
	node  *yaml.Node
}

// fault is what is wrong with a value: the line, where it is known better than
// that of the whole value, and a remedy that the text does not hold.
type fault struct {
	line int
	text string
	hint string
}

func (f *fault) Error() string { return f.text }

// fail is an error about this value or part of one.
func (g given) fail(format string, args ...any) error {
	f := &fault{text: fmt.Sprintf(format, args...)}
	if g.node != nil {
		f.line = g.node.Line
	}
	return f
}

// mostValue is how many letters a value of any kind may have in a site file: a
// list of sizes is long.
const mostValue = 20_000

// text returns a single value.
func (g given) text() (string, error) {
	if g.node == nil {
		return g.texts[len(g.texts)-1], nil
	}
	n := resolve(g.node)
	if n.Kind != yaml.ScalarNode {
		return "", g.fail("it takes one value, not a list or keys")
	}
	if err := bounded(n.Value, mostValue); err != nil {
		return "", g.fail("%v", err)
	}
	return n.Value, nil
}

// list returns the entries of a list in a site file, and whether it is one.
// There may be so many at most.
func (g given) list(most int) ([]given, bool, error) {
	if g.node == nil {
		return nil, false, nil
	}
	n := resolve(g.node)
	if n.Kind != yaml.SequenceNode {
		return nil, false, nil
	}
	if len(n.Content) > most {
		return nil, true, g.fail("it has %s entries; it may have %s", words.Whole(len(n.Content)), words.Whole(most))
	}
	var out []given
	for _, item := range n.Content {
		out = append(out, given{node: item})
	}
	return out, true, nil
}

func (g given) notAList() error {
	return g.fail("it takes a list; begin each entry with \"- \" or write [one, two]")
}

// bounded refuses a text of too many letters.
func bounded(text string, most int) error {
	if long := utf8.RuneCountInString(text); long > most {
		return fmt.Errorf("it has %s letters; it may have %s", words.Whole(long), words.Whole(most))
	}
	return nil
}

// resolve follows an alias to what it stands for.
func resolve(n *yaml.Node) *yaml.Node {
	if n.Kind == yaml.AliasNode {
		return n.Alias
	}
	return n
}

// OneLine joins lines, so that a text is not longer than one.
func OneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
