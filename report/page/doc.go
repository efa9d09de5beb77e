// Package page is a local web page for those who do not type commands: a record is
// dropped in, roofs and uses are typed, handles are moved, and curve, answer and
// sheet follow.
//
// The page holds what was asked as the text of a site file, which it can save and
// open, and flags; each request brings them along and is answered by what the
// commands do (site.PlanOf, sim.Size, report.Sizing), so that what it shows and
// gives away is what they would. Records that were handed over are held in memory,
// by their digests: no path of a request reaches a disk. What is dropped from memory
// is handed over again by the browser, which keeps it.
//
// It is served to this machine alone, to pages of its own alone (guard.go), and with
// bounded memory (limits.go).
package page
