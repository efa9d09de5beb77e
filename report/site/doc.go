// Package site holds what can be asked: one row a parameter, in Table. From
// the rows come the flags of every command, the reading of a site file, what
// help and the completion scripts say of them, the site file that new writes,
// and the assumptions on the sheet. To add a parameter is to add a row.
package site
