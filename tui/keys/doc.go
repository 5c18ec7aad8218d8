// Package keys holds every key of the root, one struct per scope, each key with the words that help, the guide and the key
// table are made from.
//
// A scope is where a key is looked for: the entry line while it is open, else the question that waits for yes or no, else
// Global, else the screen in front. The screens' own keys are the screens'; List is what those that scroll share. Within a
// scope and the scopes before it no two live bindings share a key. There is no key with Alt, and Esc only ever closes.
package keys
