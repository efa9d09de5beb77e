package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// packAll writes the archives and their sums.
func (r *release) packAll() error {
	beside, err := r.beside()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(r.out, 0o777); err != nil {
		return err
	}
	for _, p := range r.platforms {
		program := r.program(r.first(), p)
		b, err := os.ReadFile(program)
		if err != nil {
			return err
		}
		folder := "tankodds-" + r.version + "-" + strings.ReplaceAll(p, "/", "-")
		files := append(slices.Clone(beside), packed{filepath.Base(program), b, true})
		if !r.withoutSBOM {
			bom, err := r.bom(program)
			if err != nil {
				return err
			}
			files = append(files, packed{"tankodds.cdx.json", bom, false})
			if err := r.write(folder+".cdx.json", bom); err != nil {
				return err
			}
		}
		name := folder + ".tar.gz"
		if strings.HasPrefix(p, "windows/") {
			name = folder + ".zip"
		}
		archive, err := pack(name, folder, files, r.when)
		if err != nil {
			return err
		}
		if err := r.write(name, archive); err != nil {
			return err
		}
	}
	slices.SortFunc(r.sums, func(a, b string) int { return strings.Compare(a[sha256.Size*2:], b[sha256.Size*2:]) })
	if err := os.WriteFile(filepath.Join(r.out, "SHA256SUMS"), []byte(strings.Join(r.sums, "")), 0o666); err != nil {
		return err
	}
	fmt.Printf("tankodds %s, commit %s, %d files in %s\n", r.version, r.commit, len(r.sums)+1, r.out)
	return nil
}

// beside is what every archive holds beside the program. What the program itself
// prints is printed by one for this machine, from the same checkout.
func (r *release) beside() ([]packed, error) {
	here := filepath.Join(r.temp, "here"+exe(runtime.GOOS))
	if err := build(r.first(), runtime.GOOS+"/"+runtime.GOARCH, here, ""); err != nil {
		return nil, err
	}
	said, err := output(here, "--version")
	if err != nil {
		return nil, err
	}
	first, rest, _ := strings.Cut(said, "\n")
	r.version = strings.TrimPrefix(first, "tankodds ")
	if !strings.Contains(rest, r.commit+"\n") {
		return nil, fmt.Errorf("the program does not know its commit:\n%s", said)
	}
	tags, err := output("git", "tag", "--points-at", r.commit)
	if err != nil {
		return nil, err
	}
	if !slices.Contains(strings.Fields(tags), "v"+r.version) {
		fmt.Printf("the commit is not tagged v%s\n", r.version)
	}
	var files []packed
	for _, name := range []string{"README.md", "LICENSE", noticeFile} {
		text, err := os.ReadFile(filepath.Join(r.first(), filepath.FromSlash(name)))
		switch {
		case name == "LICENSE" && os.IsNotExist(err):
			fmt.Println("the repository has no LICENSE, so the archives have none")
			continue
		case err != nil:
			return nil, err
		}
		files = append(files, packed{filepath.Base(name), text, false})
	}
	for name, args := range map[string][]string{
		"tankodds.1": {"man"}, "completions/tankodds.bash": {"completion", "bash"},
		"completions/_tankodds": {"completion", "zsh"}, "completions/tankodds.fish": {"completion", "fish"},
	} {
		text, err := exec.Command(here, args...).Output()
		if err != nil {
			return nil, fmt.Errorf("tankodds %s: %w", strings.Join(args, " "), err)
		}
		files = append(files, packed{name, text, false})
	}
	return files, nil
}

// write writes a file of the release and notes its sum as sha256sum does.
func (r *release) write(name string, b []byte) error {
	r.sums = append(r.sums, sum(b)+"  "+name+"\n")
	return os.WriteFile(filepath.Join(r.out, name), b, 0o666)
}

func sum(b []byte) string {
	s := sha256.Sum256(b)
	return hex.EncodeToString(s[:])
}
