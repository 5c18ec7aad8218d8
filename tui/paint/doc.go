// Package paint puts rows of text on a terminal and writes only what changed.
//
// It knows nothing of what the rows say, of colours or of keys. It writes to an io.Writer, so a test reads its bytes.
//
// Duties of the caller: rows are complete (styled, without line breaks, each as wide as the terminal, one for every line
// of the terminal); one goroutine paints; Forget is called whenever the terminal may have lost what it showed.
//
// Of a row that changed, the stretch from its first to its last differing cell is written. Where a row holds more than
// letters, lines and blocks of one cell, the terminal may disagree on where its cells are, and it is written whole, with the column said behind
// each such character.
//
// Three rules keep the picture whole on terminals that differ:
//
//   - One Write for a frame, so that nothing another goroutine writes can land inside it.
//   - A whole row is erased before it is written, never after: after its last cell a terminal holds the cursor on that cell,
//     and erasing to the end of the line would take the cell away.
//   - Erase-display is never used. A full paint is a synchronized block (private mode 2026, ignored where unknown), and
//     some terminals drop what follows an erase-display inside such a block; blanking line by line is safe everywhere.
//     A patch of a few rows is short and needs no block.
package paint
