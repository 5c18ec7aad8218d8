// Package journal is the file on disk: append, sync, lock, recover.
//
// A journal is JSON Lines in UTF-8. The first line is the header, with the whole plan that is flown; every other line is one
// event, numbered from 1 without gaps. A line is written with a single write at the end of the file and synced before
// [Writer.Append] returns: what was acknowledged survives the loss of the process, and of the machine as far as its disk
// keeps its word. Nothing is ever rewritten; a wrong entry is voided or amended by a later one.
//
// The caller's duties, in this order: check the event, append it, fold it, show it. An event that Append refused was not
// recorded and must not be folded.
//
// One process writes a journal at a time; the lock goes when the process does. Others may read meanwhile.
//
// A last line without its end was being written when the power went: Resume cuts it off and says so. Any other damage is a
// [Damage] that names the line; what could be read before it is handed over and can be looked at, but not written on.
// Unknown acts and fields are kept, so that an older program can show and continue what a newer one wrote.
//
// Compatibility: files with another number in "legclock" are refused. Within version 1, acts and fields are only added.
//
// The package knows nothing of what the events mean: that is internal/flight's.
package journal
