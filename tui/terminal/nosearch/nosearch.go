// Package nosearch keeps a library from looking for programs before main.
//
// With the line editor comes a package that looks for the clipboard's programs in every folder of PATH while it is initialised, in every command of
// the program: some sixty looks, which take their time where a folder of PATH is on another system or another machine. Nothing of it is used here, as
// a terminal pastes by itself. While there is no PATH it finds nothing at once.
//
// This works by the order of initialisation, as noquery does: this package imports os alone, and its path sorts before github.com. A test in package
// entry holds both.
package nosearch

import "os"

var path, given = os.LookupEnv("PATH")

func init() { _ = os.Unsetenv("PATH") }

// Over gives PATH back. It is for the initialisation of the package that imports the line editor.
func Over() {
	if given {
		_ = os.Setenv("PATH", path)
	}
}
