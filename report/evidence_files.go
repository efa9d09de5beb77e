package report

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tankodds/report/codec"
	"tankodds/report/words"
)

// FileDigest is a file that was written and the SHA-256 of its bytes,
// hexadecimal.
type FileDigest struct {
	Name   string `key:"name" doc:"without a folder"`
	SHA256 string `key:"sha256" doc:"of its bytes"`
}

// FileCheck is a file that evidence lists, and what lies beside it now.
type FileCheck struct {
	Name   string `key:"name" doc:"of a file written with the evidence"`
	State  State  `key:"result" doc:"same, changed, missing, unreadable, of other evidence"`
	Found  string `key:"sha256" doc:"of what lies there; empty where that was not read"`
	Wanted string `key:"sha256_in_evidence" doc:"what it was when it was written"`
	Why    string `key:"-"` // of a file that cannot be read
}

// State is what became of a record or a file.
type State string

const (
	Same     State = "same"
	Repacked State = "repacked" // a record of the same bytes, gzip undone or otherwise packed
	Changed  State = "changed"
	Missing  State = "missing"
	Unread   State = "unreadable"
	Other    State = "of other evidence" // a page that prints another digest
)

var wholeDigest = regexp.MustCompile("^[0-9a-f]{64}$")

// readFiles reads the list of files and says what is wrong with it.
func (e *Evidence) readFiles(list *codec.Node) {
	if list.Len() == 0 || list.Kind != codec.List {
		e.fault("the evidence lists no files, so none was compared", "tankodds size --out DIR writes evidence that lists them")
		return
	}
	wrong := func(format string, args ...any) { e.fault("in its list of files "+fmt.Sprintf(format, args...), "") }
	for i, n := range list.Items {
		name, sum := n.At("name"), n.At("sha256")
		switch {
		case len(n.Keys) != 2 || name == nil || sum == nil || name.Kind != codec.Text || sum.Kind != codec.Text:
			wrong("no. %d is not a name and a SHA-256", i+1)
		case !plainName(name.Text):
			wrong("%q is not the name of a file beside it", oneLine(name.Text))
		case !wholeDigest.MatchString(sum.Text):
			wrong("%s has no SHA-256 of 64 digits and small letters", oneLine(name.Text))
		case slices.ContainsFunc(e.Files, func(f FileDigest) bool { return f.Name == name.Text }):
			wrong("%s stands twice", oneLine(name.Text))
		default:
			e.Files = append(e.Files, FileDigest{name.Text, sum.Text})
		}
	}
}

// plainName reports whether a name stays in its folder, on any system.
func plainName(s string) bool {
	return s != "" && s != "." && s != ".." && !strings.ContainsAny(s, `/\:`) && !strings.ContainsFunc(s, unicode.IsControl)
}

// FilesToCheck are the files listed that are written with evidence, by the
// names given; others are not to be opened.
func (e *Evidence) FilesToCheck(written []string) []FileDigest {
	return slices.DeleteFunc(slices.Clone(e.Files), func(f FileDigest) bool { return !slices.Contains(written, f.Name) })
}

// fileReasons says which files were not found as they were written. A list
// that is empty was told of already.
func (c *Recheck) fileReasons() []Reason {
	var out []Reason
	say := func(names []string, one, many, hint string) {
		if n := len(names); n == 1 {
			out = append(out, Reason{fmt.Sprintf(one, oneLine(names[0])), hint})
		} else if n > 1 {
			out = append(out, Reason{fmt.Sprintf(many, someOf(names)), hint})
		}
	}
	say(c.filesIn(Changed), "%s is not the file that was written with this evidence", "%s are not the files that were written with this evidence", "")
	say(c.filesIn(Other), "%s prints the digest of other evidence", "%s print the digest of other evidence", "")
	for _, f := range c.Files {
		if f.State == Unread {
			out = append(out, Reason{fmt.Sprintf("%s cannot be compared: %s", oneLine(f.Name), f.Why), ""})
		}
	}
	say(c.filesIn(Missing), "not found beside it, so not compared: %s", "not found beside it, so not compared: %s",
		"put the files that size --out wrote into the folder of the evidence")
	var listed, unseen []string
	for _, f := range c.Evidence.Files {
		listed = append(listed, f.Name)
		seen := func(x FileCheck) bool { return x.Name == f.Name && x.Wanted == f.SHA256 }
		if slices.Contains(c.Written, f.Name) && !slices.ContainsFunc(c.Files, seen) {
			unseen = append(unseen, f.Name)
		}
	}
	say(unseen, "not compared: %s", "not compared: %s", "")
	if len(listed) > 0 {
		say(less(c.Written, listed), "its list of files lacks %s", "its list of files lacks %s", "")
	}
	say(less(listed, c.Written), "its list of files holds %s, which is not written with evidence", "its list of files holds %s, which are not written with evidence", "")
	return out
}

// less returns the names that are not among others.
func less(names, others []string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(s string) bool { return slices.Contains(others, s) })
}

// someOf names things, the first few of many.
func someOf(names []string) string {
	const most = 4
	said := make([]string, len(names))
	for i, n := range names {
		said[i] = oneLine(n)
	}
	if n := len(names); n > most {
		return fmt.Sprintf("%s and %d more", strings.Join(said[:most-1], ", "), n-most+1)
	}
	return words.Join(said, "and")
}
