// Package report turns what was found into what people and machines read: a
// [sim.Result], a replay, a backtest or a [rainfall.Summary] becomes the
// sections of a sheet, one JSON object, tables, and evidence that is read back.
// It may know results, summaries and how they were asked for; it computes no
// hydrology: every number it shows is in what it is given.
//
// Its rooms: site is what can be asked, words makes the sentences, sheet is
// set for a terminal, a page or paper, figure draws, units turns quantities,
// and codec turns the tags of fields into keys and back.
package report
