// Package testkit is what tests of several packages share: journals of whole flights, and a program run in a real pseudo-terminal
// with what its screen shows.
//
// The journals are of plans flown by the practice flight's own hands through the wind of a seed. The terminal understands the part of
// ECMA-48 that full-screen programs of this project write: text, cursor placement, erasing, and skips the rest. It waits for what should
// be seen and never for a time.
package testkit
