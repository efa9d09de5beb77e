// Release makes what is handed out: a program for each machine, packed with what
// belongs to it, and their sums.
//
//	go run ./scripts/release [-out DIR] [-platforms linux/amd64,…] [-without-sbom] [-once]
//	go run ./scripts/release notice [-check]
//
// The first builds the commit that is checked out, never what lies beside it, twice
// in different folders, and ends in an error where the two differ in a byte. The
// second writes cmd/tankodds/NOTICE, the licences of all that the program is made of,
// or with -check says whether it is up to date.
//
// The same commit and the same Go give the same bytes on any machine.
package main

import (
	"flag"
	"fmt"
	"os"
	"strings"
)

func main() {
	var err error
	if len(os.Args) > 1 && os.Args[1] == "notice" {
		fs := flag.NewFlagSet("notice", flag.ExitOnError)
		check := fs.Bool("check", false, "say whether the file is up to date, and write nothing")
		fs.Parse(os.Args[2:])
		err = writeNotice(noticeFile, *check)
	} else {
		r := &release{}
		flag.StringVar(&r.out, "out", "out/release", "folder to write into; it must not exist or be empty")
		list := flag.String("platforms", strings.Join(platforms, ","), "machines to build for")
		flag.BoolVar(&r.withoutSBOM, "without-sbom", false, "leave out the lists of parts")
		flag.BoolVar(&r.once, "once", false, "do not build twice: quick, and proves nothing")
		flag.Parse()
		r.platforms = strings.Split(*list, ",")
		if flag.NArg() > 0 {
			err = fmt.Errorf("%s: not known; see the head of scripts/release/main.go", flag.Arg(0))
		} else {
			err = r.run()
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}
