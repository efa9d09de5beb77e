// Package figure draws a [sim.Result] and a [rainfall.Record] for people. A
// [Figure] is drawn once and written as SVG or PNG from the same drawing; the
// same input gives the same bytes. It computes no hydrology: every number it
// shows is in the result, and what it works out is where things lie on the
// page.
//
// Adding a figure is one file and one line in the list in figure.go. With
// TANKODDS_GALLERY naming a folder, the package's tests write every figure of
// every made-up case there, to be looked at.
package figure
