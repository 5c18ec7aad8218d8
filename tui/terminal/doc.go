// Package terminal starts, runs and stops a full-screen program, so that neither a keypress nor the terminal is lost.
//
// TODO
package terminal
