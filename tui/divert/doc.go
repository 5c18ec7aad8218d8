// Package divert is the screen for a diversion: the heading first and large, then how far, how long and with what left, for the
// place under the mark; below it every place of the plan, the quickest first, and the points at which a way back is decided.
//
// The mark (">") stands on the quickest alternate that can be reached well until the pilot moves it. One key turns there, another goes
// straight to a point ahead on the plan and on from there.
//
// It computes nothing: the ways are the Snapshot's.
package divert
