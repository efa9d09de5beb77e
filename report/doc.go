// Package report renders a [sim.Result] and a [rainfall.Record] for people:
// tables, files and figures. It computes no hydrology: every number it shows
// is in the result, and what it works out is where things lie on the page.
//
// A [Figure] is drawn once and written as SVG or PNG from the same drawing;
// the same input gives the same bytes.
package report
