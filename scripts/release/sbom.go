package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
)

// sbomTool lists the parts of a program in the form of CycloneDX, from what the
// program says of itself. It is run and never a module of ours.
const sbomTool = "github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.10.0"

// fetchSBOM finds out whether the tool can be had.
func fetchSBOM() error {
	cmd := sbom("version")
	if said, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("the lists of parts cannot be made: %s cannot be fetched or built (%s)\nwithout them: -without-sbom", sbomTool, lastLine(said, err))
	}
	return nil
}

// sbom is a call of the tool, built for this machine whatever is built by it.
func sbom(args ...string) *exec.Cmd {
	cmd := exec.Command("go", append([]string{"run", sbomTool}, args...)...)
	cmd.Env = append(os.Environ(), "GOFLAGS=", "GOOS=", "GOARCH=")
	return cmd
}

// bom is the list of parts of a program. It has no time and no number of its own,
// so that it is the same each time. Nor does it tell licences: what the tool finds
// by likeness is wrong for some (the GPL where there is a choice); NOTICE has them.
func (r *release) bom(program string) ([]byte, error) {
	cmd := sbom("bin", "-json", "-std", "-noserial", "-notimestamp", "-version", "v"+r.version, program)
	var told, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &told, &errs
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("the list of parts: %s", lastLine(errs.Bytes(), err))
	}
	return withoutTool(told.Bytes())
}

// withoutTool takes out the sums of the tool itself, which depend on the machine
// that built it.
func withoutTool(told []byte) ([]byte, error) {
	var list struct {
		Format     string           `json:"bomFormat"`
		Components []map[string]any `json:"components"`
	}
	var all map[string]any
	if err := json.Unmarshal(told, &list); err != nil {
		return nil, fmt.Errorf("the list of parts: %w", err)
	}
	if list.Format != "CycloneDX" || len(list.Components) == 0 {
		return nil, fmt.Errorf("the list of parts names no part")
	}
	if err := json.Unmarshal(told, &all); err != nil {
		return nil, err
	}
	if m, ok := all["metadata"].(map[string]any); ok {
		tools, _ := m["tools"].([]any)
		for _, t := range tools {
			if tool, ok := t.(map[string]any); ok {
				delete(tool, "hashes")
			}
		}
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(all) // keys in their order
	return out.Bytes(), err
}

// lastLine is what a command said last, or its error where it said nothing.
func lastLine(said []byte, err error) string {
	lines := strings.Split(strings.TrimSpace(string(said)), "\n")
	if l := strings.TrimSpace(lines[len(lines)-1]); l != "" {
		return l
	}
	return err.Error()
}
