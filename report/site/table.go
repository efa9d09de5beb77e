package site

import "slices"

// How many letters a text may have: it is printed on a page that is to be
// read, over and over in tables.
const (
	mostName  = 100 // of a roof, a use, a station or a column, and a currency
	mostTitle = 200 // of the site and its people and place
	mostNote  = 2000
)

// What can be worked out in reasonable time; more is a slip of the keyboard.
const (
	mostYears      = 10_000_000
	mostSynthYears = 100_000 // they are held in memory and written out
	mostWorkers    = 1 << 20
)

// Table lists every parameter, in the order that help and a site file have.
var Table = slices.Concat(rainRows, siteRows, tankRows, runRows)
