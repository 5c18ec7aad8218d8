// Package entry is the one-line text entry: whatever has no key of its own is typed here, and whatever happened earlier is given
// its time.
//
// The grammar is one act a line: a verb, its values, and at the end, where the act is not of this moment, its time:
//
//	passing KVN 0.8 left 10:42:30
//	gauges left 40 right 44 2 min ago
//
// Forms lists every act with an example that reads as typed. A verb may be shortened as long as it stays clear; names count
// without regard to capitals, and one with blanks may stand in double quotes. A time of day is the nearest one to now. Numbers have a
// point, no exponent and no unit. An error says what is wrong and shows what would be right.
//
// It reads no clock and records nothing: Parse makes an event, whose zero T means now. Write is its inverse. What an event
// means for the flight, and whether it can be, is State.Check's to say.
package entry
