// Package read makes a [rainfall.Record] of a file of daily rain, in any of
// the formats that [Formats] lists.
//
// Delimited files go through one engine (table.go), which tells separators,
// signs of decimals, forms of dates and stations; a format is a specification
// of its header and its columns (format_*.go). Files of fixed width have
// readers of their own. All of them feed a builder, which puts the days in
// order. A file is read as it was meant, or not at all: an [Error] names the
// line and what would mend it.
package read
