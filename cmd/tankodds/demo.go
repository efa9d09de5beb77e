package main

import _ "embed"

// demoCSV is a plain daily record, date and mm, of a place that does not
// exist: every value is invented. scripts/demo makes it.
//
//go:embed demo.csv
var demoCSV []byte

// demoName is how every report of the demo calls its record.
const demoName = "Carrow Hill (invented)"
