package main

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// noticeFile is embedded in the program, as people get that alone too.
const noticeFile = "cmd/tankodds/NOTICE"

const noticeHead = `The licences of what tankodds is made of

The program tankodds holds the modules, fonts and parts of Go listed here, in
the versions named. Their licences ask that these texts go with it. A text that
several share stands once. Where a licence is a choice, the one chosen is here.

Portions of this software are copyright © The FreeType Project
(www.freetype.org). All rights reserved.
`

// part is a module that the program holds, or Go itself.
type part struct {
	name    string // with its version
	dir     string
	folders map[string]bool // of the packages linked
}

// Licence files are known by name, in the folder of a linked package or one above
// it, and in the folders where modules keep those of others.
var (
	licenceFile   = regexp.MustCompile(`(?i)^(licen[cs]es?|copying|notice|patents)([.-].*)?$`)
	licenceFolder = []string{"licenses", "THIRD_PARTY_LICENSES"}
)

// beside are licences that stand elsewhere, and passed over those that are one of
// two to choose from or a pointer to a file that is here.
var (
	beside = map[string][]string{
		"golang.org/x/image": {"font/gofont/ttfs/README"},
	}
	passedOver = map[string][]string{
		"github.com/golang/freetype": {"licenses/gpl.txt"},
		"github.com/ajstarks/svgo":   {"LICENSE-link.txt"},
	}
)

// writeNotice writes the notice, or with check holds the file against it.
func writeNotice(path string, check bool) error {
	parts, err := partsOf("./cmd/tankodds")
	if err != nil {
		return err
	}
	text, err := notice(parts)
	if err != nil {
		return err
	}
	if !check {
		return os.WriteFile(path, []byte(text), 0o666)
	}
	there, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if string(there) != text {
		return fmt.Errorf("%s is not up to date: go run ./scripts/release notice writes it anew", path)
	}
	fmt.Printf("%s is up to date: %d parts\n", path, len(parts))
	return nil
}

// partsOf lists the modules that the program holds on any of the platforms, in the
// order of their names, after Go itself.
func partsOf(pkg string) ([]*part, error) {
	root, err := output("go", "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	modules := map[string]*part{}
	for _, p := range platforms {
		system, processor, _ := strings.Cut(p, "/")
		cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}\t{{$.Dir}}{{end}}{{end}}", pkg)
		cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+system, "GOARCH="+processor)
		cmd.Stderr = os.Stderr
		listed, err := cmd.Output()
		if err != nil {
			return nil, fmt.Errorf("go list: %w", err)
		}
		for line := range strings.Lines(string(listed)) {
			cells := strings.Split(strings.TrimSpace(line), "\t")
			if len(cells) != 4 {
				continue
			}
			m := modules[cells[0]]
			if m == nil {
				m = &part{name: cells[0] + " " + cells[1], dir: cells[2], folders: map[string]bool{}}
				modules[cells[0]] = m
			}
			m.folders[cells[3]] = true
		}
	}
	out := []*part{{name: "Go, its library and run time", dir: root}}
	for _, m := range modules {
		out = append(out, m)
	}
	slices.SortFunc(out[1:], func(a, b *part) int { return cmp.Compare(a.name, b.name) })
	return out, nil
}

// licences lists the licence files of a part, relative to its folder.
func (p *part) licences() ([]string, error) {
	module, _, _ := strings.Cut(p.name, " ")
	found := slices.Clone(beside[module])
	folders := map[string]bool{p.dir: true}
	for f := range p.folders {
		for ; f != p.dir && len(f) > len(p.dir); f = filepath.Dir(f) {
			folders[f] = true
		}
	}
	for _, name := range licenceFolder {
		folders[filepath.Join(p.dir, name)] = true
	}
	for f := range folders {
		entries, err := os.ReadDir(f)
		if err != nil && !os.IsNotExist(err) {
			return nil, err
		}
		whole := slices.Contains(licenceFolder, filepath.Base(f))
		for _, e := range entries {
			if e.IsDir() || !whole && !licenceFile.MatchString(e.Name()) {
				continue
			}
			name, err := filepath.Rel(p.dir, filepath.Join(f, e.Name()))
			if err != nil {
				return nil, err
			}
			found = append(found, filepath.ToSlash(name))
		}
	}
	found = slices.DeleteFunc(found, func(n string) bool { return slices.Contains(passedOver[module], n) })
	slices.Sort(found)
	if len(found) == 0 {
		return nil, fmt.Errorf("%s: no licence found in %s; name its file in scripts/release/notice.go", p.name, p.dir)
	}
	return found, nil
}

// notice is the whole text: which part is under which texts, and the texts.
func notice(parts []*part) (string, error) {
	var texts, list []string
	of := map[string][]string{} // text → its files
	for _, p := range parts {
		files, err := p.licences()
		if err != nil {
			return "", err
		}
		var numbers []string
		for _, f := range files {
			b, err := os.ReadFile(filepath.Join(p.dir, filepath.FromSlash(f)))
			if err != nil {
				return "", err
			}
			text := plainText(b)
			if of[text] == nil {
				texts = append(texts, text)
			}
			module, _, _ := strings.Cut(p.name, " ")
			of[text] = append(of[text], strings.TrimSuffix(module, ",")+": "+f)
			numbers = append(numbers, fmt.Sprint(slices.Index(texts, text)+1))
		}
		list = append(list, p.name+"\n    texts "+strings.Join(numbers, ", "))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n", noticeHead, strings.Join(list, "\n"))
	for i, text := range texts {
		fmt.Fprintf(&b, "\n%s\nText %d\n", strings.Repeat("=", 72), i+1)
		for _, f := range of[text] {
			fmt.Fprintf(&b, "    %s\n", f)
		}
		fmt.Fprintf(&b, "%s\n\n%s", strings.Repeat("-", 72), text)
	}
	return b.String(), nil
}

// plainText leaves of a text its words and lines: line ends as here, no spaces at
// the end of a line, no form feeds, one line end at the end.
func plainText(b []byte) string {
	b = bytes.ReplaceAll(b, []byte("\r\n"), []byte("\n"))
	b = bytes.TrimPrefix(b, []byte("\ufeff"))
	b = bytes.ReplaceAll(b, []byte("\f"), nil)
	lines := strings.Split(string(b), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(strings.ReplaceAll(l, "\t", "    "), " ")
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n") + "\n"
}

// output runs a command and returns what it prints, without the last line end.
func output(name string, args ...string) (string, error) { return outputIn("", name, args...) }

func outputIn(dir, name string, args ...string) (string, error) {
	cmd := exec.Command(name, args...)
	cmd.Dir, cmd.Stderr = dir, os.Stderr
	b, err := cmd.Output()
	if err != nil {
		return "", fmt.Errorf("%s: %w", strings.Join(cmd.Args, " "), err)
	}
	return strings.TrimSuffix(string(b), "\n"), nil
}
