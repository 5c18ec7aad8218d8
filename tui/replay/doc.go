// Package replay stands below the screens while a journal is played back: the time-line of the whole flight with its entries on it,
// what turned out of the moment shown, and the keys that play, step and jump.
//
// It knows no files and no journal: moments, words and a place for remarks are handed in. It changes nothing but the clock, through the
// root, and which of two views the flight is shown in.
package replay
