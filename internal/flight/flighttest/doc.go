// Package flighttest runs flights that are written as text files: steps, each followed by the lines that it must give.
//
// A script is read by people: it shows an instructor what the program does with a flight, and fails when the program does something
// else. Lines that begin with "#" and empty lines are comments. A step begins at the margin; the lines that it gives stand below it,
// indented by four blanks. Running a script gives the same script with the lines that the program gives now: the two are compared, or
// the file is rewritten with the test's -rewrite flag. Only commit a rewrite if you understand what caused it.
//
// The steps:
//
//	fly exercise.yaml             the plan, always first; the clock is set to ten minutes before off-blocks
//	09:18:00 airborne             an entry, made at that flight time
//	09:42:40 passing KVN @09:41   an entry made at the first time of what was done at the second
//	09:50 passing GRN confirmed   an entry that is kept although it looks wrong
//	09:45 void last               voids the entry before; "void 7" names one
//	wait 2:00                     wall time passes, which counts when the flight clock is paused
//	at 09:45 leg                  what is known at a time: see Views
//	known 09:45 route             the same by what had been recorded then
//	hindsight 09:45 route         the same by the whole journal
//
// An entry is the act with what belongs to it, by place or as key=value with the names of the journal: "gauges left=40 right=38",
// "divert DUN", "wind 260 22", "fix beacon=KVN dme=12.4", "steering 265", "tuned NAV1 GRN", "amend 7 point=GRN"; a blank in
// a key is written "_". An entry that is
// refused or doubted gives a line that says so, and is not recorded.
package flighttest
