// Package codec turns values into JSON, tables and a data dictionary and back,
// by what the tags of their fields say once:
//
//	Tank float64 `key:"tank_l" doc:"nominal size of the tank"`
//
// The end of a key names the unit (see [Units]). Further words of a tag,
// after a comma: number writes a month as 1 to 12, omitempty leaves out what
// is empty, omitzero what is 0 (a column of a table that is 0 throughout), tree keeps a field out of tables. The key "-" is for a field that
// is no value. The package knows tags alone, neither rain nor tanks.
package codec
