// Package air says what the air does: standard atmosphere, altimetry, airspeeds, winds by level.
//
// It knows nothing of places, tracks, aircraft or plans.
//
// Units and signs: heights in feet, pressures in hectopascals, temperatures in degrees Celsius, speeds in knots. A
// pressure altitude is the height in the standard atmosphere at which the pressure is the one found; an altitude is what
// an altimeter set to the QNH shows. A wind has the true direction it blows from. A deviation is degrees Celsius warmer
// (positive) or colder than the standard atmosphere at the same pressure altitude.
//
// Sources: the atmosphere is that of ISO 2533, the same as ICAO Doc 7488 and the US Standard Atmosphere 1976 in this
// range; the airspeed relations are the isentropic ones for subsonic flow with a ratio of specific heats of 1.4. The rules
// of thumb stand in rules.go, each beside the name of the exact sum it stands for.
//
// Limits: the atmosphere holds to 20 km (65,617 ft); below sea level the lowest layer is continued. Air is dry. Airspeeds
// are subsonic and not negative. Temperatures are static (outside air temperature free of ram rise) and above absolute
// zero, a QNH is positive: input outside gives NaN or nonsense, and it is for the reader of a plan to refuse it.
package air
