package sheet

import (
	"cmp"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// Contact is a station to talk to, with the place and the time from which it is.
type Contact struct {
	plan.Contact
	Leg     int
	AfterNM float64
	ETA     time.Time
}

// contacts finds where each of the plan's contacts is due. One that is so many miles before a place may be due on an earlier leg.
func (s *Sheet) contacts() {
	for _, contact := range s.Plan.Contacts {
		alongNM := s.alongRoute(contact.At)
		if contact.BeforeNM != nil {
			alongNM = max(alongNM-*contact.BeforeNM, 0)
		}
		leg := len(s.Legs) - 1
		for leg > 0 && s.Legs[leg].StartNM > alongNM+sameDistanceNM {
			leg--
		}
		afterNM := alongNM - s.Legs[leg].StartNM
		s.Contacts = append(s.Contacts, Contact{contact, leg, afterNM, s.TimeAt(leg, afterNM)})
	}
	slices.SortStableFunc(s.Contacts, func(a, b Contact) int {
		return cmp.Compare(s.Legs[a.Leg].StartNM+a.AfterNM, s.Legs[b.Leg].StartNM+b.AfterNM)
	})
}

// alongRoute is how far from the start a point, a checkpoint or a boundary of the route is first passed; 0 where there is no such.
func (s *Sheet) alongRoute(name string) float64 {
	for _, leg := range s.Legs {
		for _, checkpoint := range leg.Checkpoints {
			if checkpoint.Name == name {
				return leg.StartNM + checkpoint.AfterNM
			}
		}
		if leg.To.Ident == name {
			return leg.StartNM + leg.DistanceNM
		}
	}
	return 0
}

// contactWords is a contact as it is read out: "Norland Information 124.750, flight information".
func contactWords(contact plan.Contact) string {
	words := contact.Name + " " + say.Voice(contact.FrequencyMHz)
	if contact.For != "" {
		words += ", " + contact.For
	}
	return words
}

// FreezingLevelFt is the lowest altitude at which the forecast's temperature is 0 °C, above sea level by the QNH; ok is false where it is
// not between sea level and 30,000 ft. Between the levels of the forecast the deviation from standard is interpolated.
func (s *Sheet) FreezingLevelFt() (altitudeFt float64, ok bool) {
	const highestFt, stepFt = 30000, 100
	temperature := func(altitudeFt float64) float64 {
		_, deviation := s.Air.Layers.At(altitudeFt)
		return air.ISATemperatureC(air.PressureAltitudeFt(altitudeFt, s.Air.QNH)) + deviation
	}
	below := temperature(0)
	for altitudeFt := 0.0; altitudeFt < highestFt; altitudeFt += stepFt {
		above := temperature(altitudeFt + stepFt)
		if below > 0 && above <= 0 {
			return altitudeFt + stepFt*below/(below-above), true
		}
		below = above
	}
	return 0, false
}
