// Package help is the screen that names every key and every act that can be typed, made from the bindings and the forms
// themselves. A key that can't be used now is not there.
package help
