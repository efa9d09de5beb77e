package site

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"tankodds/rainfall/read"
)

// slips are what the reader of YAML says of a site file, by how that begins, and the
// same for people, with what would mend it.
var slips = []struct{ said, text, hint string }{
	{"did not find expected ',' or '}'", "a brace { is opened, here or above, and not closed, or a comma is missing", "write as in {area: 140 m2, surface: metal}"},
	{"did not find expected ',' or ']'", "a bracket [ is opened, here or above, and not closed, or a comma is missing", "write as in [mon, wed]"},
	{"found character that cannot start any token", "a value or a line begins with a character that has no place there, such as a tab, @ or %", "set lines in with blanks, not tabs, and put such a value in quotation marks"},
	{"found a tab character", "a line is set in with a tab", "set it in with blanks"},
	{"mapping values are not allowed in this context", "a second colon stands on the line, or it is set in too far", "put a value that holds a colon in quotation marks"},
	{"could not find expected ':'", "a line has no colon behind its key", "write a key, a colon, a blank and the value, as in area: 140 m2"},
	{"did not find expected key", "lines of the block that begins here are not set in alike", "set lines that belong together in by as many blanks"},
	{"did not find expected '-' indicator", "entries of the list that begins here are not set in alike", `begin each entry with "- ", set in by as many blanks`},
	{"did not find expected alphabetic or numeric character", "a value begins with & or *, which stand for other values", "put it in quotation marks"},
	{"unknown anchor", "a value begins with *, which stands for a value named elsewhere, and none is", "put it in quotation marks"},
	{"found unexpected end of stream", "a quotation mark is opened, here or above, and not closed", "close it"},
	{"found unknown escape character", `a backslash in quotation marks " stands before a letter that it cannot`, "write / in paths, or take single quotation marks"},
	{"exceeded max depth", "lists stand within lists, too deep to be meant", "tankodds new writes a site file to compare with"},
	{"control characters are not allowed", "this is not plain text: it holds control characters", plainText},
}

const plainText = "save it as plain text, in UTF-8; tankodds new writes a site file to compare with"

// notYAML is an error of the reader of YAML in plain words.
func (p *Plan) notYAML(data []byte, err error) error {
	m := yamlLine.FindStringSubmatch(OneLine(err.Error()))
	out := &read.Error{
		File: p.File, Line: 1, // the reader leaves the first out
		Text: "this is not written as a site file is: keys and values, as in name: Tarn Lane", Hint: "tankodds new writes a site file to compare with",
	}
	if n, err := strconv.Atoi(m[1]); err == nil {
		out.Line = n
	}
	for _, s := range slips {
		if strings.HasPrefix(m[2], s.said) {
			out.Text, out.Hint = s.text, s.hint
		}
	}
	if name := anchorIn.FindStringSubmatch(m[2]); name != nil {
		out.Line = lineAt(data, bytes.Index(data, []byte("*"+name[1])))
	}
	if at := bytes.IndexFunc(data, func(r rune) bool { return r < ' ' && !strings.ContainsRune("\t\n\r", r) }); at >= 0 {
		out.Line = lineAt(data, at)
	}
	return out
}

// lineAt is the line of a byte.
func lineAt(data []byte, at int) int { return 1 + bytes.Count(data[:max(at, 0)], []byte("\n")) }

// notUTF8 refuses letters in another coding, but for UTF-16, which YAML may be in too.
func (p *Plan) notUTF8(data []byte) error {
	if utf8.Valid(data) || bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		return nil
	}
	at := 0
	for at < len(data) {
		r, n := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && n == 1 {
			break
		}
		at += n
	}
	return &read.Error{File: p.File, Line: lineAt(data, at), Text: "the line holds a letter that is not in UTF-8", Hint: plainText}
}

// yamlLine takes an error of the reader of YAML apart, and anchorIn finds the name
// that it misses.
var (
	yamlLine = regexp.MustCompile(`^(?:yaml: )?(?:line (\d+): )?(.*)$`)
	anchorIn = regexp.MustCompile(`^unknown anchor '(.*)' referenced`)
)
