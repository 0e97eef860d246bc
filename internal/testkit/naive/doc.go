// Package naive answers the desk commands check and load a second time, slowly and plainly, from the text of the file
// formats alone: the numbered readings of `check` (A1 to A28) and the list under `load` (D). It shares nothing with the
// product but the formats, so that a disagreement between the two is a fault of one of them or of the text.
//
// Each reading has its number beside the code that follows it. The figures of the limit sets are typed in by hand from the
// publications named beside them (figures.go), not taken from the product.
//
// It also draws random logs that crowd the hard corners (Draw), writes them as the three CSV files (Files) and compares two
// answers (FirstDifference). Tests only.
package naive
