package main

import (
	"bytes"
	"debug/pe"
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The library is one by the format's own rules: its table of exports leads to the
// names that were asked for. That Wine takes it is for main to see.
func TestForwarding(t *testing.T) {
	f, err := pe.NewFile(bytes.NewReader(forwarding("one.dll", "Work", "OTHER.Labour")))
	require.NoError(t, err)
	require.Len(t, f.Sections, 1)
	head := f.OptionalHeader.(*pe.OptionalHeader64)
	exports := head.DataDirectory[pe.IMAGE_DIRECTORY_ENTRY_EXPORT]
	data, err := f.Sections[0].Data()
	require.NoError(t, err)
	at := func(address uint32) uint32 { return address - f.Sections[0].VirtualAddress }
	number := func(address uint32) uint32 { return binary.LittleEndian.Uint32(data[at(address):]) }
	name := func(address uint32) string {
		text, _, _ := bytes.Cut(data[at(address):], []byte{0})
		return string(text)
	}
	assert.Equal(t, "one.dll", name(number(exports.VirtualAddress+12)))
	assert.Equal(t, "Work", name(number(number(exports.VirtualAddress+32))))
	function := number(number(exports.VirtualAddress + 28))
	assert.Equal(t, "OTHER.Labour", name(function))
	assert.True(t, exports.VirtualAddress <= function && function < exports.VirtualAddress+exports.Size, "an address in the table of exports is a name elsewhere")
}
