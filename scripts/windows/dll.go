package main

import (
	"bytes"
	"encoding/binary"
)

// forwarding is a Windows library for amd64 without a line of code: it has one
// function, which is that of another library. Older Wine lacks bcryptprimitives.dll,
// without which no program of Go begins. The layout is that of Microsoft's "PE
// Format": headers, and one section with the table of exports.
func forwarding(library, function, to string) []byte {
	const (
		base  = 0x1000 // of the section, from where the library is loaded
		table = 40     // bytes of an export directory
	)
	var text bytes.Buffer
	at := func(s string) uint32 {
		here := base + table + 4 + 4 + 2 + text.Len()
		text.WriteString(s + "\x00")
		return uint32(here)
	}
	names := [3]uint32{at(library), at(function), at(to)}
	var section bytes.Buffer
	little := func(w *bytes.Buffer, fields ...any) {
		for _, f := range fields {
			binary.Write(w, binary.LittleEndian, f)
		}
	}
	// Flags, time, version, name, first ordinal, one function, one name, and where
	// the three lists are: of functions, of names, of ordinals.
	little(&section, uint32(0), uint32(0), uint32(0), names[0], uint32(1), uint32(1), uint32(1),
		uint32(base+table), uint32(base+table+4), uint32(base+table+8))
	// An address within the table of exports is the name of a function elsewhere.
	little(&section, names[2], names[1], uint16(0))
	section.Write(text.Bytes())
	size := uint32(section.Len())

	var b bytes.Buffer
	b.WriteString("MZ")
	b.Write(make([]byte, 58))
	little(&b, uint32(64)) // where the header is
	b.WriteString("PE\x00\x00")
	// amd64, one section, time, symbols, their number, bytes of what follows; a
	// library that may be run and lie above 4 GB.
	little(&b, uint16(0x8664), uint16(1), uint32(0), uint32(0), uint32(0), uint16(240), uint16(0x2022))
	little(&b, uint16(0x20b), uint16(0), uint32(0), uint32(512), uint32(0), uint32(0), uint32(base),
		uint64(0x180000000), uint32(0x1000), uint32(512), // preferred place, alignment in memory and file
		uint16(6), uint16(0), uint16(0), uint16(0), uint16(6), uint16(0), uint32(0), // versions
		uint32(0x2000), uint32(512), uint32(0), uint16(3), uint16(0x100), // sizes, sum, kind, no code to run
		uint64(1<<20), uint64(1<<12), uint64(1<<20), uint64(1<<12), uint32(0), uint32(16))
	little(&b, uint32(base), size)
	b.Write(make([]byte, 15*8)) // the other tables: none
	b.WriteString(".rdata\x00\x00")
	little(&b, size, uint32(base), uint32(512), uint32(512), uint32(0), uint32(0), uint32(0), uint32(0x40000040))
	b.Write(make([]byte, 512-b.Len()))
	b.Write(section.Bytes())
	b.Write(make([]byte, 1024-b.Len()))
	return b.Bytes()
}
