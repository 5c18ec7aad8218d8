// Package keys is the table of every key of the full screen, each with the words that help, the key rows and docs/keys.md are made from.
//
// A scope is where a key is looked for: the entry line while it is open, else the question that waits for yes or no, else the choices that enter
// opened, else what stands below the screens of a flight that is only shown, else Global, else List and the cockpit's own. One letter means one
// thing on every screen; arrows mark, and enter opens what can be done with what is marked. There is no key with Alt, and Esc only ever closes.
package keys
