// Package say is how a pilot writes figures: it reads and writes directions, spans of time, winds, sides, levels, amounts.
//
// It knows nothing of what a figure is for, of commands, screens or files.
//
// Every form is read from the text as it stands, in either case, with or without its unit; decimals have a point, and no
// number has an exponent. A figure is refused rather than guessed: the error is a Misread, which quotes the text, says what is
// wrong and shows what would be right. What Say… writes, the reader of the same form reads.
//
// Units and signs: nautical miles, knots, feet, feet a minute, hectopascals, degrees Celsius, minutes. Right and east are
// positive. A wind is where it blows from, true. A comma is never part of a number.
//
// Limits: the ranges are those of light aircraft; what is likely is the caller's to judge.
package say
