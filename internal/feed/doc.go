// Package feed reads positions from outside: NMEA 0183 (TCP, UDP, serial, stdin), GPX tracks.
package feed
