package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The embedded record is what this program writes, byte for byte.
func TestDemoIsRegenerated(t *testing.T) {
	var got bytes.Buffer
	require.NoError(t, write(&got))
	want, err := os.ReadFile("../../cmd/tankodds/demo.csv")
	require.NoError(t, err)
	if !bytes.Equal(want, got.Bytes()) {
		t.Fatal("cmd/tankodds/demo.csv differs; run: go run ./scripts/demo > cmd/tankodds/demo.csv")
	}
	assert.Less(t, got.Len(), 400_000, "it is carried in the program")
}

// What the package comment says of the record.
func TestDemoClimate(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, write(&out))
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	assert.Equal(t, "date,rain_mm", lines[0])
	assert.Len(t, lines, 1+60*365+15) // fifteen leap days, 1968 to 2024
	blank := 0
	for _, l := range lines {
		if strings.HasSuffix(l, ",") {
			blank++
		}
	}
	assert.Equal(t, 25+40, blank)
}
