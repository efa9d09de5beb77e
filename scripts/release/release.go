package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

// release is one run.
type release struct {
	out               string
	platforms         []string
	toolchain         string // the Go that builds, such as go1.26.10; "local" for that of the machine
	withoutSBOM, once bool

	temp, root, commit, version string
	when                        time.Time // of every file in an archive
	sums                        []string
}

func (r *release) run() (err error) {
	for _, p := range r.platforms {
		if !slices.Contains(platforms, p) {
			return fmt.Errorf("%s: not a machine that is built for; there are %s", p, strings.Join(platforms, ", "))
		}
	}
	if there, err := os.ReadDir(r.out); err == nil && len(there) > 0 {
		return fmt.Errorf("%s is not empty: empty it or choose another folder with -out", r.out)
	}
	if err := r.takeGo(); err != nil {
		return err
	}
	if r.temp, err = os.MkdirTemp("", "release-"); err != nil {
		return err
	}
	defer removeAll(r.temp)
	if err := r.checkOut(); err != nil {
		return err
	}
	if !r.withoutSBOM { // before the long work: can it be had?
		if err := fetchSBOM(); err != nil {
			return err
		}
	}
	if err := r.buildAll(); err != nil {
		return err
	}
	return r.packAll()
}

// takeGo makes the Go that builds that of every command after, fetched where it is not
// there, and notes its name.
func (r *release) takeGo() error {
	if err := os.Setenv("GOTOOLCHAIN", r.toolchain); err != nil {
		return err
	}
	name, err := output("go", "env", "GOVERSION")
	if err != nil {
		return fmt.Errorf("%s cannot be had: %w\nwith the Go of this machine: -go local", r.toolchain, err)
	}
	if r.toolchain != "local" && name != r.toolchain {
		return fmt.Errorf("the Go that builds is %s, and should be %s", name, r.toolchain)
	}
	r.toolchain = name
	return nil
}

// The two checkouts: other folders, of other lengths, one with a space.
func (r *release) first() string  { return filepath.Join(r.temp, "1") }
func (r *release) second() string { return filepath.Join(r.temp, "the second", "checkout") }

func (r *release) program(dir, platform string) string {
	name := "tankodds"
	if strings.HasPrefix(platform, "windows/") {
		name += ".exe"
	}
	return filepath.Join(dir, "out", strings.ReplaceAll(platform, "/", "-"), name)
}

// checkOut clones the commit twice and reads what it is.
func (r *release) checkOut() (err error) {
	if r.root, err = output("git", "rev-parse", "--show-toplevel"); err != nil {
		return fmt.Errorf("git is needed, and a repository: %w", err)
	}
	if r.commit, err = output("git", "rev-parse", "HEAD"); err != nil {
		return err
	}
	changed, err := output("git", "status", "--porcelain")
	if err != nil {
		return err
	}
	if changed != "" {
		fmt.Printf("changes that are not committed are left out: %d files\n", strings.Count(changed, "\n")+1)
	}
	for _, dir := range []string{r.first(), r.second()} {
		if _, err := output("git", "clone", "-q", "-c", "advice.detachedHead=false", "-c", "core.autocrlf=false", r.root, dir); err != nil {
			return err
		}
		if _, err := outputIn(dir, "git", "checkout", "-q", r.commit); err != nil {
			return err
		}
	}
	r.when, err = r.time()
	return err
}

// time is SOURCE_DATE_EPOCH, or that of the commit.
func (r *release) time() (time.Time, error) {
	text := os.Getenv("SOURCE_DATE_EPOCH")
	if text == "" {
		var err error
		if text, err = output("git", "log", "-1", "--format=%ct", r.commit); err != nil {
			return time.Time{}, err
		}
	}
	seconds, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return time.Time{}, fmt.Errorf("SOURCE_DATE_EPOCH=%s is no number of seconds since 1970", text)
	}
	return time.Unix(seconds, 0).UTC(), nil
}

// buildAll builds every program, twice unless once, and checks it. The second build
// has an empty cache, so that nothing of the first is in it.
func (r *release) buildAll() error {
	began := time.Now()
	var paths []string
	for _, of := range []string{"GOROOT", "GOMODCACHE", "GOCACHE"} {
		p, err := output("go", "env", of)
		if err != nil {
			return err
		}
		paths = append(paths, p)
	}
	paths = append(paths, r.temp, r.root)
	cache := filepath.Join(r.temp, "cache")
	for _, p := range r.platforms {
		one := r.program(r.first(), p)
		if err := build(r.first(), p, one, ""); err != nil {
			return err
		}
		if err := checkProgram(one, p, r.commit, r.toolchain, paths); err != nil {
			return err
		}
		if !r.once {
			two := r.program(r.second(), p)
			if err := build(r.second(), p, two, cache); err != nil {
				return err
			}
			if err := same(one, two); err != nil {
				return fmt.Errorf("%s: %w", p, err)
			}
		}
		info, err := os.Stat(one)
		if err != nil {
			return err
		}
		fmt.Printf("%-14s %5.1f MB%s\n", p, float64(info.Size())/1e6, map[bool]string{false: ", the same twice"}[r.once])
	}
	fmt.Printf("built by %s in %.0f s\n", r.toolchain, time.Since(began).Seconds())
	return nil
}

func exe(system string) string {
	if system == "windows" {
		return ".exe"
	}
	return ""
}

// removeAll removes a folder that may hold a cache, parts of which cannot be
// written.
func removeAll(dir string) {
	filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() {
			os.Chmod(path, 0o755)
		}
		return nil
	})
	os.RemoveAll(dir)
}
