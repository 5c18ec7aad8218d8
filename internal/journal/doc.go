// Package journal is the file on disk: append, check, sync, lock, recover.
//
// A journal is JSON Lines in UTF-8. The first line is the header, with the whole plan that is flown; every other line is one
// event, numbered from 1 without gaps. Every line ends with a check over itself and over the line before it. Nothing is ever
// rewritten; a wrong entry is voided or amended by a later one.
//
// # Writing
//
// [Writer.Append] writes a line in one piece at the end of the file and syncs it before it returns: what is said to be stored
// survives the loss of the process, and of the machine as far as its disk keeps its word. No entry is refused for the disk's
// sake. One that can't be stored is kept in memory with all the others, and [Writer.Store] tries again until it is; what stands in
// the way is in [Storage], and the caller says "recorded" only of what is on disk. After every write and every look the file must
// still be the one that was written: same file, same length, same content where it was touched. If another program has deleted,
// renamed, cut or replaced it, the whole journal is written anew beside it, under a new name.
//
// One process writes a journal at a time; the lock goes when the process does. Others may read meanwhile.
//
// # Reading
//
// A last line without its end was being written when the power went: Resume cuts it off and says so. Any other line that can't be
// read, does not agree with its check or says what nothing can be is a [Damage] that names file and line. Its entry is left out, an
// entry of the act flight.Damaged stands in its place so that numbers stay as they are, and the rest serves. Journals of versions
// without checks read as they always did. Unknown acts and fields are kept, so that an older program can show and continue what a
// newer one wrote.
//
// Compatibility: files with another number in "legclock" are refused. Within version 1, acts and fields are only added.
//
// The package knows nothing of what the events mean: that is internal/flight's.
package journal
