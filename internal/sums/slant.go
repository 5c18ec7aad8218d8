package sums

import (
	"example.com/legclock/internal/air"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
)

// Slant asks for the distance over the ground of a DME reading, or the reading at a distance. One of SlantNM and GroundNM is given.
type Slant struct {
	SlantNM, GroundNM *float64
	HeightFt          float64 // above the station
}

// Sum works out the other of the two.
func (q Slant) Sum() (Sum, error) {
	if (q.SlantNM == nil) == (q.GroundNM == nil) {
		return Sum{}, unfit("give what the DME shows (5 nm), or the distance over the ground (ground 5 nm)", "one of the two distances is needed")
	}
	s := Sum{
		Name: "slant", Title: "DME: slant range and distance over the ground",
		Given: []Figure{
			milesGiven("DME", "dme_nm", valueOf(q.SlantNM)), milesGiven("over the ground", "ground_nm", valueOf(q.GroundNM)), feetGiven("above the station", "height_ft", q.HeightFt),
		},
		Rule:   "slant² = ground² + height²",
		Source: "a right-angled triangle on a flat earth; AIM 1-1-7: a DME may be out by half a mile or 3 %; beyond 1 nm for each 1000 ft the two are as good as one",
	}
	height := q.HeightFt / air.FeetPerNM
	var w working
	w.line("height: %s / %s = %s nm", num(q.HeightFt), num(air.FeetPerNM), num(height))
	slant, ground, overhead := valueOf(q.SlantNM), valueOf(q.GroundNM), false
	if q.SlantNM != nil {
		ground, overhead = radio.GroundRangeNM(slant, q.HeightFt)
		if overhead {
			s.Notes = append(s.Notes, "the reading is no longer than the height: overhead")
		} else {
			w.line("ground: root(%s × %s - %s × %s) = %s nm", num(slant), num(slant), num(height), num(height), num(ground))
		}
	} else {
		slant = radio.SlantRangeNM(ground, q.HeightFt)
		w.line("slant: root(%s × %s + %s × %s) = %s nm", num(ground), num(ground), num(height), num(height), num(slant))
	}
	answer := quantity(say.Distance, 2)
	s.Working = w
	s.Answers = []Figure{
		answer("over the ground", "ground_nm", ground), answer("DME", "dme_nm", slant), answer("the DME may be out by", "dme_error_nm", radio.DMEErrorNM(slant)),
		yes("overhead", "overhead", overhead),
	}
	return s, nil
}
