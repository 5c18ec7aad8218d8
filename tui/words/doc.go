// Package words writes the figures of a flight the one way that all screens show them.
//
// It computes nothing of the flight and holds no colours. A figure that is not known is Unknown, never an empty place or a zero.
// Times are UTC and end in Z; spans are m:ss, from an hour on h:mm:ss; directions have three digits, north is 360.
package words
