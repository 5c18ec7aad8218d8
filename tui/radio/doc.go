// Package radio is the screen of the receivers: what each is tuned to, whether that was identified, what it should read here, what it is
// to be tuned to next; and the list of all that is to be tuned and identified, by time.
//
// The readings are what the beacons should show where the aircraft is reckoned to be: a receiver that shows something else is
// not on the beacon, or the aircraft not there. A needle is drawn as a beam on which the pointer stands left or right of the
// middle; an ADF's beam is the whole horizon with the nose in its middle.
//
// A mark (">") stands on one receiver: on that of the first thing to do until the pilot moves it.
package radio
