// Package entries is the list of what was recorded, the newest first, where an entry is voided, amended or remarked upon.
//
// A void entry keeps its place and says so in a word; nothing is ever taken off the list.
package entries
