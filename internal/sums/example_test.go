package sums_test

import (
	"encoding/json"
	"fmt"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// PHAK navigation chapter, the wind triangle (case 1.01): course 090, 120 kt, wind from 045 at 40 kt; the handbook reads 88 kt off
// its drawing.
func ExampleHeading() {
	sum, err := sums.Heading{
		Track: say.Direction{Degrees: 90}, TASKt: 120, Wind: air.Wind{FromTrue: 45, SpeedKt: 40},
	}.Sum()
	fmt.Print(sum.Text(), err, "\n")
	// Output:
	// What to steer for a track in a wind
	// given    track          090 true
	//          true airspeed  120 kt
	//          wind           045/40 true
	// rule     sin(wind correction) = crosswind / true airspeed, into the wind; groundspeed = true airspeed × cos(wind correction) - headwind
	// working  wind off the track: 090 - 045 = 45° left
	//          across the track: 40 × sin(45) = 28.2843 kt from the left
	//          correction into the wind: asin(28.2843 / 120) = 13.633° left
	//          heading true: 090 - 13.633 = 076.37
	//          along the track: 40 × cos(45) = 28.2843 kt, ahead
	//          groundspeed: 120 × cos(13.633) - 28.2843 = 88.33 kt
	// answer   heading          076 true
	//          wind correction  13.6° left
	//          groundspeed      88 kt
	// source   the wind triangle, PHAK navigation chapter; exact on a flat earth, for one wind, level and speed
	// <nil>
}

// PHAK navigation chapter, time and distance check (case 2.01): 75 seconds for 10°, 2 nm a minute: 7.5 minutes and 15 miles.
func ExampleStation() {
	sum, err := sums.Station{Minutes: 75.0 / 60, ChangeDeg: sums.With(10), TASKt: sums.With(120)}.Sum()
	if err != nil {
		fmt.Println(err)
	}
	for _, answer := range sum.Answers {
		if answer.Text != "" {
			fmt.Println(answer.Label, answer.Text)
		}
	}
	// Output:
	// time by the rule 7:30
	// time exactly 7:12
	// distance by the rule 15 nm
	// distance exactly 14.4 nm
}

// A point of no return that an instructor's article works out as 182 minutes and 728 miles (case 11.08).
func ExampleNoReturn() {
	sum, err := sums.NoReturn{
		EnduranceMinutes: sums.With(390), Ways: sums.Ways{OnKt: sums.With(240), BackKt: sums.With(210)},
	}.Sum()
	if err != nil {
		fmt.Println(err)
	}
	var object struct {
		Answer struct {
			NoReturnNM float64 `json:"no_return_nm"`
			Minutes    float64
			BeyondEnd  *bool `json:"beyond_end"`
		}
	}
	text, _ := json.Marshal(sum)
	if err := json.Unmarshal(text, &object); err != nil {
		fmt.Println(err)
	}
	fmt.Println(object.Answer.NoReturnNM, object.Answer.Minutes, object.Answer.BeyondEnd)
	// Output: 728 182 <nil>
}
