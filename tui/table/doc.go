// Package table draws rows of figures in columns: which columns a width has room for, how they are spaced, which rows are in
// view.
//
// It knows nothing of what the figures mean. A column has a rank: those of rank 0 are always there, the others come in the
// order of their ranks as the width allows, each at its own place in the row. Texts from users go through frame.Clean first.
package table
