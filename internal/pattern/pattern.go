// Package pattern holds regular expressions that are compiled when they are first used.
//
// Most of the program's are for what somebody typed and for faults in files; compiling them all before main would take a
// fifth of the time to the first frame and three hundred kilobytes.
package pattern

import (
	"regexp"
	"sync"
)

// Of returns the expression, compiled at the first call. An expression that is none panics then, so every one has a test that uses it.
func Of(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}
