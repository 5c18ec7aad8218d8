// Package flight is the heart of the program: events, State, Snapshot, prompts, the estimator.
//
// A flight is a sheet (the computed plan) and a list of events (what the pilot did and when). [State.Apply] folds the next event;
// [State.At] says everything that is known at a moment as a [Snapshot]. Both are pure: the same sheet, events and moment give the
// same answer, whoever asks and however often. The package knows no clock, no files, no terminal and no random source. Live
// flight, resume, replay, watching, the status command and the debrief are these two functions fed differently.
//
// # The caller's duties, in this order
//
//  1. Stamp the event with flight time (T) and, for [State.Check] to find times in the future, with wall time (Rec).
//  2. Ask Check. A [Refusal] is shown and not recorded. A [Doubt] is shown, and recorded only when the pilot confirms it, with
//     Confirmed set.
//  3. Append the event to the journal, which gives it its number, and wait until it is on disk.
//  4. Apply what the journal returned. An error here means that the journal is not this flight's.
//  5. After a clock event, make the clock adopt [State.Setting].
//  6. Take the Snapshot.
//
// The first event of a journal is a clock event with rate and set, so that the flight time at which anything was recorded is
// known.
//
// # How events count
//
// Events count in the order of their times, whatever the order in which they were entered: one that is entered after the fact
// stands where it belongs. A void takes an entry out, an amendment changes its fields; both make the flight be folded again from
// the start, so that the result is that of a journal in which the entry had been right. Entries made after the clock was set back
// count after those made before. An act of a newer version stands in the list of entries and does nothing else. [State.Until] is
// what was known at a flight time, [State.Hindsight] what happened until then as it is known now.
//
// # Where what stands
//
// Read event.go and acts.go, then fold.go, which shows the order in which one thing follows from another; then at.go, where a Snapshot
// is made. An act is one row of the table in acts.go: what it takes and needs, when it is refused or doubted, its words, which prompts it
// answers, how it folds and what follows. The ranges of all figures are in parameters.go; [CheckRanges] asks them, and what lies
// outside, in whatever journal, changes nothing. A flight is a value that is copied by assignment: package values says how nothing that
// changes is shared.
//
// # What is reckoned
//
// The flight is reckoned from the last place that something was said of (the anchor: take-off, a passing, a fix) by the sheet's own
// reckoner, through the wind as it is believed to be. It follows the plan until told otherwise: climb to the level, descent at its
// top, turn at the leg's end. But it never runs past the end of the leg being flown: a leg ends when its passing is logged, and until
// then the times after it move back with the clock. A passing of a checkpoint does not end the leg.
//
// The wind, the place, their standard errors and that of every ETA come from a Kalman filter over the wind's deviation from the forecast,
// the deviation of the true airspeed, the place along and beside the leg, and the errors of heading and radials (belief.go). Passings,
// fixes, headings and distances off track that are told, and positions from a feed are its measurements. Package tanks reckons what is in the
// tanks from the flow of each phase, and plans their changes again after every event that changes them (fuel.go is what they are told). A
// gauge that disagrees with the reckoning by more than 8 % of the tank's capacity is said, and the lower figure counts; one that agrees
// changes nothing, for the reckoning is the finer of the two. All readings together show the burn; what is burned more than reckoned
// counts for all that lies ahead: endurance, destination, reserve, alternates, the changes of tank.
//
// # Prompts
//
// There is one queue, soonest first. An id names a prompt for the whole flight: "off-blocks", "airborne", "level-0" and "turn-2" (leg
// index), "tune-1-NAV1-GRN", "identify-1-NAV1-GRN", "tank-3" (third change of the flight, those skipped counted), "confirm-3", "check-cruise check-2",
// "altimeter-KVN", "altimeter-ATIS 091200" (the time of the broadcast), "report-KVN", "contact-Norland Information", "descent" ("descent-5" on a diversion whose first
// leg has that index), "descent-to-GRN-2500", "landed", "on-blocks". A prompt is answered by the act that it asks for, however that is
// logged, by done, or by skipped.
//
// A plan that lists checks gets those and no others. One that lists none gets what is usual in light singles (common practice, no
// source): a cruise check every 15 minutes from the top of the climb, gyro to compass every 15 minutes, five minutes before the cruise
// check so that the two do not come together, and the altimeter two minutes after each route point. Position reports are asked for
// a minute after each route point but the last.
//
// # Units and signs
//
// Degrees, nautical miles, knots, feet above sea level, minutes unless the name says seconds; UTC. Declination and headings: magnetic
// where the name says so. Offsets right of track and drift to the right are positive; a difference of times is positive when late.
// Fuel is in the aircraft's own unit.
//
// # Limits
//
// One flight from take-off to landing; no touch-and-go. Between two places the aircraft is taken to be on its track unless a distance off
// track was told. How fast the wind wanders from its forecast is chosen, not learned.
package flight
