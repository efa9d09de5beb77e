// Package rainfall holds one gauge's daily record, says how good it is, and
// cuts it into water years. Depths are millimetres a day everywhere, and so is
// the evaporation that it makes of temperatures ([Record.ReferenceET]). It knows
// nothing of roofs or tanks, and makes no sentence: what it finds are numbers
// and codes (see [Finding]).
//
// A record is read from a file by the package read; the package gen makes
// synthetic rain from its water years:
//
//	file → Record → Series, Years → Generator → Sampler → trace
//	              ↘ Summary
//
// [Summary] stands by itself: whoever has it needs no daily values.
//
// A blank is never a dry day: a missing depth is NaN until [Record.Fill]
// fills the few holes inside a usable water year, and says how many.
package rainfall
