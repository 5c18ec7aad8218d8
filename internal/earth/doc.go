// Package earth tells where things are: WGS-84 geodesics, magnetic variation, sun.
//
// It knows nothing of beacons, plans or flights, of terrain or of wind; it reads no clock and no file.
//
// # Units and signs
//
// Latitude and longitude are degrees on WGS-84, north and east positive. Distances are nautical miles of 1852 m along the
// ellipsoid; heights are feet. Azimuths are true, in [0, 360), and point forward along the path at both its ends. Variation is
// east positive: magnetic = true - variation. Offsets right of a line are positive. Times are UTC; altitudes of the sun are
// degrees of its centre above the true horizon, without refraction. A Position that is not Valid gives meaningless results, never a panic.
//
// # Sources
//
//   - Geodesics: C. F. F. Karney, "Algorithms for geodesics", Journal of Geodesy 87 (2013) 43-55, series to sixth order.
//   - Magnetic field: World Magnetic Model 2025, NOAA NCEI and British Geological Survey; valid from 2025 to the end of 2029, extrapolated after that.
//   - Sun: J. Meeus, Astronomical Algorithms, 2nd edition (1998), chapters 12, 22 and 25, low accuracy.
//
// # Limits
//
// Geodesics are good to a micrometre, closer than any position is known. The magnetic model's variation has a standard error
// of about 0.4° in mid-latitudes and is of no use close to a magnetic pole (see MagneticField.VariationError). Sun times
// are good to some seconds for a sea-level horizon and a standard atmosphere; a real horizon and real air make it minutes.
package earth
