// Package earth tells where things are: WGS-84 geodesics, magnetic declination, sun.
package earth
