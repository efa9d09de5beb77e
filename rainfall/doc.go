// Package rainfall reads one gauge's daily record from the open formats,
// says how good it is, cuts it into water years, and makes synthetic rain
// from it. Depths are millimetres a day everywhere. It knows nothing of
// roofs or tanks.
//
// The way through the package is
//
//	file → Record → Years → Generator → Sampler → trace
//
// A blank is never a dry day: a missing depth is NaN until [Record.Years]
// fills the few holes inside a usable water year, and says how many.
package rainfall
