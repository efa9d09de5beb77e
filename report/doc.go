// Package report renders a [sim.Result] and a [rainfall.Record] for people:
// text, tables, CSV and JSON here, figures in package figure. It computes no
// hydrology: every number it shows is in the result.
package report
