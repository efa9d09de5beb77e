package main

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tankodds/report"
)

// manifestName is the file in an output folder that lists what the run wrote
// there, in the form that sha256sum -c reads.
const manifestName = "SHA256SUMS"

// mostManifestBytes bounds a manifest; one of ours has some two kilobytes.
const mostManifestBytes = 1 << 20

// writable are the files that a command may leave beside a manifest, and
// drawn the figures, as .svg and .png. A later run removes nothing but these,
// so a name that is no longer written stays listed.
var (
	writable = []string{
		"report.html", "evidence.pdf", "evidence.json", "curves.csv", // size
		"daily.csv", "meter.csv", // replay
		"answers.csv", "provenance.txt", "compare.csv", "compare.json", "differences.csv", "regional.csv", "groups.csv", // compare
		"synthetic.csv", "fidelity.csv", "fidelity.json", // synth
		"backtest.json", "cases.csv", // backtest
	}
	drawn = []string{
		"balance", "calibration", "compare", "compare-climate", "compare-fractions", "compare-map", "compare-multiples", "compare-ranked", "fidelity", "gain", "map",
		"influences", "record", "reliability", "season", "strip", "turnover",
	}
)

func mayWrite(name string) bool {
	figure, ok := strings.CutSuffix(name, ".svg")
	if !ok {
		figure, ok = strings.CutSuffix(name, ".png")
	}
	return slices.Contains(writable, name) || ok && slices.Contains(drawn, figure)
}

// manifestText lists files as sha256sum does.
func manifestText(files []report.FileDigest) string {
	var b strings.Builder
	for _, f := range files {
		fmt.Fprintf(&b, "%s  %s\n", f.SHA256, f.Name)
	}
	return b.String()
}

// readManifest reads the manifest in a folder; nil where there is none. A file
// of that name is ours if every line of it lists a file that we may write;
// another's, such as the sums of what somebody downloaded, is not ok.
func readManifest(dir string) (files []report.FileDigest, ok bool) {
	f, err := os.Open(filepath.Join(dir, manifestName))
	if err != nil {
		return nil, errors.Is(err, fs.ErrNotExist)
	}
	defer f.Close()
	lines := bufio.NewScanner(io.LimitReader(f, mostManifestBytes))
	for lines.Scan() {
		sum, name, cut := strings.Cut(strings.TrimRight(lines.Text(), "\r"), "  ")
		if b, err := hex.DecodeString(sum); !cut || err != nil || len(b) != sha256.Size || !mayWrite(name) {
			return nil, false
		}
		files = append(files, report.FileDigest{Name: name, SHA256: strings.ToLower(sum)})
	}
	return files, lines.Err() == nil && len(files) > 0
}

// hasSum says whether the file at path is a file of those bytes.
func hasSum(path, sum string) bool {
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return false
	}
	return hex.EncodeToString(h.Sum(nil)) == sum
}
