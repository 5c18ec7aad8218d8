// Package ptytest runs a program in a real pseudo-terminal and reads what it shows, for end-to-end tests.
//
// It understands the part of ECMA-48 that full-screen programs of this project write: text, cursor placement, erasing, and skips the
// rest. It waits for what should be seen and never for a time.
package ptytest
