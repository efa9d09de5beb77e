package main

import (
	"bytes"
	"debug/buildinfo"
	"debug/macho"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// platforms are the machines that programs are made for.
var platforms = []string{"linux/amd64", "linux/arm64", "darwin/amd64", "darwin/arm64", "windows/amd64", "windows/arm64"}

// releaseGo is the Go that a release is built with, so that the same commit gives the same
// bytes anywhere: the newest of the line that go.mod names, in whose own packages no
// vulnerability was known to govulncheck when it was chosen.
const releaseGo = "go1.26.10"

// building is what decides a program's bytes beside the source and Go itself; what
// the machine's own environment says of it does not count.
var building = []string{
	"CGO_ENABLED=0", "GOFLAGS=", "GOAMD64=v1", "GOARM64=v8.0", "GOEXPERIMENT=", "GOWORK=off", "GODEBUG=",
}

// build builds the program for a platform from the checkout in dir. cache is a
// cache of its own, "" for the user's.
func build(dir, platform, to, cache string) error {
	system, processor, _ := strings.Cut(platform, "/")
	// Without the build's own number, but on a Mac: there the linker makes of it the
	// UUID without which macOS 26 may refuse to run a program. It is made of the
	// contents, so it is the same in both builds.
	flags := "-s -w"
	if system != "darwin" {
		flags += " -buildid="
	}
	cmd := exec.Command("go", "build", "-trimpath", "-buildvcs=true", "-ldflags", flags, "-o", to, "./cmd/tankodds")
	cmd.Dir, cmd.Stderr = dir, os.Stderr
	cmd.Env = append(append(os.Environ(), building...), "GOOS="+system, "GOARCH="+processor)
	if cache != "" {
		cmd.Env = append(cmd.Env, "GOCACHE="+cache)
	}
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s: go build: %w", platform, err)
	}
	return nil
}

// checkProgram holds a program against what it says of itself: the commit, the Go, the
// machine, and no path of the machine that it was built on.
func checkProgram(file, platform, commit, toolchain string, paths []string) error {
	info, err := buildinfo.ReadFile(file)
	if err != nil {
		return err
	}
	if info.GoVersion != toolchain {
		return fmt.Errorf("%s: the program says that it was built by %s, and should %s", platform, info.GoVersion, toolchain)
	}
	said := map[string]string{}
	for _, s := range info.Settings {
		said[s.Key] = s.Value
	}
	for key, want := range map[string]string{
		"vcs.revision": commit, "vcs.modified": "false", "CGO_ENABLED": "0", "-trimpath": "true", "GOOS": strings.Split(platform, "/")[0], "GOARCH": strings.Split(platform, "/")[1],
	} {
		if said[key] != want {
			return fmt.Errorf("%s: the program says %s=%s, and should %s", platform, key, said[key], want)
		}
	}
	b, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	for _, p := range paths {
		if bytes.Contains(b, []byte(p)) {
			return fmt.Errorf("%s: the program names %s, a folder of this machine", platform, p)
		}
	}
	if strings.HasPrefix(platform, "darwin/") {
		return checkUUID(file)
	}
	return nil
}

// loadUUID is LC_UUID of Apple's <mach-o/loader.h>.
const loadUUID = 0x1b

func checkUUID(file string) error {
	f, err := macho.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	for _, l := range f.Loads {
		if raw := l.Raw(); len(raw) >= 4 && f.ByteOrder.Uint32(raw) == loadUUID {
			return nil
		}
	}
	return fmt.Errorf("%s: no UUID in it, so that macOS may refuse to run it", file)
}

// same ends in an error where two files differ.
func same(a, b string) error {
	x, err := os.ReadFile(a)
	if err != nil {
		return err
	}
	y, err := os.ReadFile(b)
	if err != nil {
		return err
	}
	if !bytes.Equal(x, y) {
		return fmt.Errorf("%s: two builds differ: %s, %s", filepath.Base(a), sum(x), sum(y))
	}
	return nil
}
