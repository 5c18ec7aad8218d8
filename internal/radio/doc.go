// Package radio is about beacons: bands, Morse, reception, slant range, TO/FROM.
//
// It knows nothing of places, declination models, plans or receivers' states: radials, bearings and heights come in as
// numbers.
//
// Units and signs: VHF frequencies in megahertz, NDB frequencies in kilohertz, distances in nautical miles, heights in feet,
// directions in degrees magnetic (a radial by the station's own declination). A needle is positive to the right, a relative
// bearing clockwise from the nose.
//
// Sources: bands and service from ICAO Annex 10 volume I and the FAA's Aeronautical Information Manual (AIM), chapter 1;
// Morse from Rec. ITU-R M.1677-1; cones from ICAO Doc 8168. Each function names its own.
//
// Limits: line of sight is over a smooth earth with ordinary refraction and knows no hills; slant range is on a flat earth.
package radio
