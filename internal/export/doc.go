// Package export writes plans and journals for other programs: GPX 1.1, GeoJSON, KML 2.2 and CSV.
//
// [New] gathers what any of them can show in a [Document]: the points that the flight uses, the route with its times, and the track.
// The track is made of the positions of a feed where the journal has them, with what was done between them, else of the places where the aircraft was reckoned to be when
// something fixed it: take-off, passings, fixes, landing. [Document.Write] writes it.
//
// It reads and computes nothing else, and knows no files and no clock.
//
// # Units and signs
//
// Positions are degrees on WGS-84, written to 0.0000001 (a centimetre), north and east positive. Altitudes are above sea level: metres in
// GPX and KML, whose formats ask for that, feet where a name says so. Times are UTC.
//
// # Sources
//
// GPX 1.1 schema, Topografix. RFC 7946, The GeoJSON Format. OGC KML 2.2.
//
// # Limits
//
// A route is drawn along the geodesics of its legs where a format takes lines (GeoJSON, KML); in GPX it is its points alone. GeoJSON
// coordinates carry no altitude, as RFC 7946 counts it from the ellipsoid; it stands in properties.
package export
