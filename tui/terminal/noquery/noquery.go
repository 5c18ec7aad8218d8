// Package noquery keeps the program from asking the terminal for its colours before main.
//
// Bubble Tea v1 asks the terminal for its background colour while its package is initialised. Where nothing answers,
// every command of the program, even one that prints a single line, would wait five seconds; where something answers
// late, the answer is taken for typed keys. Telling lipgloss the background first makes it ask nothing.
//
// This works by the order of initialisation: of the packages whose imports are ready, Go initialises the one with the
// lowest import path first. This package imports lipgloss alone, and its path sorts before
// github.com/charmbracelet/bubbletea. A test in package terminal holds both.
package noquery

import "github.com/charmbracelet/lipgloss"

// The value does not matter: no adaptive colour is used, a theme is chosen by name.
func init() { lipgloss.SetHasDarkBackground(true) }
