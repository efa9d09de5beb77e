// Release makes what is handed out: a program for each machine, packed with what
// belongs to it, and their sums.
//
//	go run ./scripts/release [-out DIR] [-platforms linux/amd64,…] [-without-sbom] [-once] [-go local]
//	go run ./scripts/release notice [-check]
//	go run ./scripts/release weigh
//
// The first builds the commit that is checked out, never what lies beside it, twice
// in different folders, and ends in an error where the two differ in a byte. The
// second writes cmd/tankodds/NOTICE, the licences of all that the program is made of,
// or with -check says whether it is up to date. The third tells what each module
// costs in the program.
//
// The same commit gives the same bytes on any machine: the Go that builds is always
// releaseGo, fetched where the machine has another. -go local builds with the machine's.
package main

import (
	"flag"
	"fmt"
	"os"
	"strings"
)

func main() {
	if err := command(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func command(args []string) error {
	fs := flag.NewFlagSet("release", flag.ExitOnError)
	switch {
	case len(args) > 0 && args[0] == "notice":
		check := fs.Bool("check", false, "say whether the file is up to date, and write nothing")
		fs.Parse(args[1:])
		return writeNotice(noticeFile, *check)
	case len(args) == 1 && args[0] == "weigh":
		return weigh()
	}
	r := &release{}
	fs.StringVar(&r.out, "out", "out/release", "folder to write into; it must not exist or be empty")
	list := fs.String("platforms", strings.Join(platforms, ","), "machines to build for")
	fs.BoolVar(&r.withoutSBOM, "without-sbom", false, "leave out the lists of parts")
	fs.BoolVar(&r.once, "once", false, "do not build twice: quick, and proves nothing")
	fs.StringVar(&r.toolchain, "go", releaseGo, "the Go that builds; local for that of this machine")
	fs.Parse(args)
	if fs.NArg() > 0 {
		return fmt.Errorf("%s: not known; see the head of scripts/release/main.go", fs.Arg(0))
	}
	r.platforms = strings.Split(*list, ",")
	return r.run()
}
