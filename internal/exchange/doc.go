// Package exchange reads and writes the files that Longspell takes in and gives out: players, over logs, outings (CSV after
// RFC 4180, UTF-8) and ball-by-ball match files (JSON).
//
// A reader is strict and complete: it takes a value only as the format says it, and it names every fault of a file at once, each
// with file, line, column, value and reason. Lines are physical lines counted from 1, the header being line 1; a record that
// runs over several lines is named by the line on which it begins.
//
// The over log is read row by row with references numbered in order of first appearance, so that a file of a million rows
// needs no memory for its text. The readers hold no more than one record, and refuse a record of more than MaxRecord bytes.
package exchange
