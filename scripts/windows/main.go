// Windows runs the program that is built for Windows under Wine, beside the one
// for this machine, and holds what both print and write against each other, byte
// for byte: folders with "\", spaces and letters, a record whose lines end in CRLF,
// a pipe that nobody reads, and a folder in which another run is writing.
//
//	go run ./scripts/windows
//
// It needs Go, an amd64 machine and Wine (Debian's wine and wine64), and says what
// is missing. All lies in a temporary folder.
package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// both is the program twice: for this machine and under Wine.
type both struct {
	dir        string // the working folder
	here, exe  string // the programs
	env        []string
	wine, step string
}

func main() {
	wine, err := exec.LookPath("wine")
	switch {
	case err != nil:
		fmt.Println("not run; it needs Wine (Debian's wine and wine64)")
	case runtime.GOOS != "linux" || runtime.GOARCH != "amd64":
		fmt.Println("not run; it needs Linux on an amd64 machine")
	default:
		err = try(wine)
		if err != nil {
			fmt.Fprintln(os.Stderr, "windows:", err)
			os.Exit(1)
		}
	}
}

func try(wine string) error {
	began := time.Now()
	dir, err := os.MkdirTemp("", "windows-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b := &both{dir: filepath.Join(dir, "work"), here: filepath.Join(dir, "tankodds"), exe: filepath.Join(dir, "tankodds.exe"), wine: wine}
	prefix := filepath.Join(dir, "wine")
	b.env = append(os.Environ(), "WINEPREFIX="+prefix, "WINEDEBUG=-all", "WINEDLLOVERRIDES=mscoree,mshtml=", "DISPLAY=")
	defer b.command("wineserver", "-k").Run()
	if err := os.MkdirAll(b.dir, 0o777); err != nil {
		return err
	}
	if err := build(b.here, runtime.GOOS); err != nil {
		return err
	}
	if err := build(b.exe, "windows"); err != nil {
		return err
	}
	if said, err := b.command("wineboot", "-i").CombinedOutput(); err != nil {
		fmt.Printf("not run; Wine does not start: %v %s\n", err, said)
		return nil
	}
	// Wine before 9 lacks a library that every program of Go asks for its random numbers.
	library := filepath.Join(prefix, "drive_c", "windows", "system32", "bcryptprimitives.dll")
	if _, err := os.Stat(library); err != nil {
		if err := os.WriteFile(library, forwarding("bcryptprimitives.dll", "ProcessPrng", "ADVAPI32.SystemFunction036"), 0o666); err != nil {
			return err
		}
	}
	if said, err := b.command(wine, b.exe, "--version").CombinedOutput(); err != nil || !bytes.Contains(said, []byte("windows/amd64")) {
		return fmt.Errorf("the program does not run: %v\n%s", err, said)
	}
	if err := b.all(); err != nil {
		return err
	}
	fmt.Printf("Windows under Wine: the same as here, %.0f s\n", time.Since(began).Seconds())
	return nil
}

func build(to, system string) error {
	cmd := exec.Command("go", "build", "-o", to, "./cmd/tankodds")
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+system)
	if said, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("go build for %s: %w\n%s", system, err, said)
	}
	return nil
}

// command is a command in the working folder, with Wine's environment.
func (b *both) command(name string, args ...string) *exec.Cmd {
	cmd := exec.Command(name, args...)
	cmd.Dir, cmd.Env = b.dir, b.env
	return cmd
}

// windows is the program for Windows.
func (b *both) windows(args ...string) *exec.Cmd {
	return b.command(b.wine, append([]string{b.exe}, args...)...)
}

// same runs a command by both programs; what they print, and what they write into
// the folder of --out, must be the same. In the arguments "/" parts folders here and
// "\" there.
func (b *both) same(step string, args ...string) error {
	out := ""
	there := make([]string, len(args))
	here := make([]string, len(args))
	for i, a := range args {
		here[i], there[i] = a, a
		if !strings.Contains(a, "L/") { // which is a use
			there[i] = strings.ReplaceAll(a, "/", `\`)
		}
		if i > 0 && args[i-1] == "--out" {
			out, here[i], there[i] = a, "here"+here[i], "there"+there[i]
		}
	}
	want, err := b.command(b.here, here...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: here: %w\n%s", step, err, want)
	}
	got, err := b.windows(there...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w\n%s", step, err, got)
	}
	if !bytes.Equal(want, got) {
		return fmt.Errorf("%s: it prints something else\nhere:\n%s\nthere:\n%s", step, want, got)
	}
	if out != "" {
		if err := sameFolders(b.dir+"/here"+out, b.dir+"/there"+out); err != nil {
			return fmt.Errorf("%s: %w", step, err)
		}
	}
	fmt.Println("same:", step)
	return nil
}
