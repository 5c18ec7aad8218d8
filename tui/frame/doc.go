// Package frame builds rows of text of exact width: boxes, columns, lines of cells, tables of figures, texts at places of their own, bars, big
// digits, the names of keys.
//
// It knows nothing of flights, colours or terminals. What a piece looks like is passed in as a Style, which
// dresses text without changing its width.
//
// Widths are terminal cells. A block is a slice of rows of one width; every function that is told a width and a height
// returns exactly that, whatever the text, down to 0×0. Text from users goes through Clean before it is styled.
//
// Glyphs: letters, digits, ASCII, single-line box drawing and block elements. Unicode calls the last two groups ambiguous
// in width (Standard Annex 11): terminals set up for East Asian text may draw them two cells wide, and the plain set of
// glyphs is for those. No emoji, no variation selectors.
package frame
