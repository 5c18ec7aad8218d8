// Package tui is the root of the full screen: it routes messages, stamps the time, checks, records, folds, and takes the Snapshot
// that the screens are drawn from.
//
// One act, end to end, in this order and on one goroutine: a key becomes an intent; the root gives the event its time by its
// Clock; the flight checks it (a refusal becomes one line of text and nothing is recorded, a doubt asks for a yes); the
// recorder appends and syncs it; the flight folds it; a new Snapshot is taken; only then is the act echoed. What is echoed is
// therefore on disk. A disk that stalls makes the screen stall, visibly.
//
// Keys go first to a question that waits for a yes, then to an open entry line, then to the keys of keys.Global, then to the
// screen in front. A tick takes a new Snapshot only if the flight clock has gone on by a second.
//
// It knows no files and no terminal: a flight, a recorder and a clock are handed in, and package terminal runs it. Without a
// recorder it only shows: a replay, or another's flight.
package tui
