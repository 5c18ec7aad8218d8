// Package feed reads positions from outside: NMEA 0183 (TCP, UDP, serial, stdin), GPX tracks.
//
// Three steps stand apart, so that each can be used and tested alone:
//
//   - Readers turn text into a [Track] of [Sample] values: NMEA 0183 sentences ([ParseMessage], [Assembler]), GPX 1.0 and 1.1
//     ([ReadGPX]) and the fixes of IGC flight recorder files. [ReadTrack] tells them apart by their content.
//   - Pure functions make of a track what a journal can hold: [Thinner] leaves out what can be interpolated, [Find] finds
//     take-off, landing and the passings of a route, [Events] puts both into the acts of a flight.
//   - A [Source] follows a live feed and delivers its samples on a channel.
//
// It knows no screen, no journal and no clock of its own, starts no goroutine itself (the caller's starter does) and decides
// nothing about a flight: a position is evidence, not truth.
//
// # Units and signs
//
// Positions are degrees on WGS-84, north and east positive; altitudes feet above sea level; speeds knots; tracks and headings
// degrees, true unless the name says magnetic; variation is east positive; offsets right of a leg are positive; times are UTC.
//
// # What is refused
//
// An NMEA sentence without a checksum or with a wrong one says nothing: a wrong position is worse than none. A position that the
// receiver itself calls invalid or estimated is not delivered, and the next good one says that there was a gap. Lines, files,
// nesting and points are bounded, so that no input can exhaust the machine.
//
// # Sources
//
// NMEA 0183 as publicly described (its text is not free). GPX 1.1 schema, Topografix. IGC: FAI specification of GNSS flight
// recorders.
//
// # Limits
//
// A take-off is good to some ten seconds, a passing to the spacing of the positions around it. Heights are the receiver's own,
// which may be tens of feet off; they are used only to tell flight from ground.
package feed
