// Package remarks is an instructor's remarks on a flight, kept in a file of their own beside the journal, which they never touch.
//
// The file is named after the journal with ".remarks" added. It is JSON Lines in UTF-8: a first line {"remarks":1}, then one remark a line,
// numbered from 1: {"n":1,"t":flight time,"rec":machine's time,"by":who,"text":words}. A remark that is taken back is followed by
// {"n":2,"void":1,…}; nothing is rewritten. Only what is complete is read: a last line without its end is cut off by the next remark.
//
// Several people may write into one file: each remark is one append, and its number is only a name for taking it back.
package remarks
