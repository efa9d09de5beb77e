// Package gen makes synthetic rain from the usable water years of a record: a
// [Generator] is fitted to them and gives a [Sampler], which draws traces of
// water years. [Fidelity] says how true to the record they are.
//
// The same source of randomness gives the same bytes on every processor.
package gen
