package drill

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// An oracle reckons all right answers of a task from what is printed, in a second and dumb way: plain trigonometry, trying, or flying
// it out in small steps. A choice is given by its word.
type oracle func(f figures) []any

func all(values ...any) []any { return values }

const feetPerMile = 1852 / 0.3048

// oracles by topic and task. None of them uses the packages that the answers come from.
var oracles = map[Topic]map[string]oracle{
	TimeSpeedDistance: {
		"time":     func(f figures) []any { return all(f.number("distance") / (f.number("groundspeed") / 60)) },
		"distance": func(f figures) []any { return all(f.number("groundspeed") / 60 * f.minutes("time")) },
		"speed":    func(f figures) []any { return all(f.number("distance") / (f.minutes("time") / 60)) },
		"time of legs": func(f figures) []any {
			miles := f.number("first leg") + f.number("second leg") + f.number("third leg")
			return all(miles / (f.number("groundspeed") / 60))
		},
	},
	Groundspeed: {
		"passing": func(f figures) []any {
			return all(f.number("from dam to bridge") / (f.clock("passed the bridge") - f.clock("passed the dam")) * 60)
		},
		"marks": func(f figures) []any {
			miles := f.number("the bridge, after the start of the leg") - f.number("the dam, after the start of the leg")
			return all(miles / (f.clock("passed the bridge") - f.clock("passed the dam")) * 60)
		},
		"passing, in flight": func(f figures) []any {
			return all(f.number("from JNC to DAM") / (f.clock("passed DAM") - f.clock("passed JNC")) * 60)
		},
		"next point": func(f figures) []any {
			return all(f.number("next stretch") * f.minutes("it took") / f.number("last stretch"))
		},
	},
	ETA: {
		"ETA": func(f figures) []any {
			return all(f.clock("passed the dam") + f.number("to the bridge")/f.number("groundspeed")*60)
		},
		"ratio": func(f figures) []any {
			return all(f.clock("passed the dam") + f.minutes("planned from dam to bridge")/f.minutes("planned to the dam")*f.minutes("it took"))
		},
		"ETA from passings, in flight": func(f figures) []any {
			perMile := (f.clock("passed DAM") - f.clock("passed JNC")) / f.number("from JNC to DAM")
			return all(f.clock("passed DAM") + perMile*f.number("from DAM on"))
		},
		"ETA from passings": func(f figures) []any {
			perMile := (f.clock("passed the bridge") - f.clock("passed the dam")) / f.number("from dam to bridge")
			return all(f.clock("passed the bridge") + perMile*f.number("from bridge to castle"))
		},
	},
	WindHeading: {
		"along":       func(f figures) []any { _, speed := f.triedHeading(); return all(speed) },
		"heading":     func(f figures) []any { heading, _ := f.triedHeading(); return all(heading) },
		"groundspeed": func(f figures) []any { _, speed := f.triedHeading(); return all(speed) },
		"side": func(f figures) []any {
			from, _ := f.wind()
			if shortest(f.number("track"), from) < 0 {
				return all("LEFT")
			}
			return all("RIGHT")
		},
		"across": func(f figures) []any {
			heading, _ := f.triedHeading()
			exact := shortest(f.number("track"), heading)
			_, speed := f.wind()
			return all(math.Copysign(60*speed/f.number("true airspeed"), exact), exact)
		},
		"magnetic heading": func(f figures) []any {
			heading, _ := f.triedHeading()
			return all(around(heading - f.east("variation")))
		},
		"leg time": func(f figures) []any { _, speed := f.triedHeading(); return all(60 * f.number("distance") / speed) },
		"track made good": func(f figures) []any {
			east, north := f.blown()
			return all(around(arc(math.Atan2(east, north))))
		},
		"groundspeed made good": func(f figures) []any { return all(math.Hypot(f.blown())) },
	},
	WindFound: {
		"wind": func(f figures) []any {
			return all(windOf(f.number("heading"), f.number("true airspeed"), f.number("track made good"), f.number("groundspeed")))
		},
		"wind from a fix": func(f figures) []any {
			variation := f.east("variation")
			numbers := numeral.FindAllString(f.e.Steps[0], -1) // the last is the groundspeed, which the working goes on with as it is printed
			speed, err := strconv.ParseFloat(numbers[len(numbers)-1], 64)
			require.NoError(f.t, err)
			require.InDelta(f.t, f.number("distance")/f.minutes("time")*60, speed, 0.005+slack)
			return all(windOf(f.number("heading")+variation, f.number("true airspeed"), f.number("track made good")+variation, speed))
		},
	},
	Drift: {
		"drift":                 func(f figures) []any { return all(shortest(f.number("heading"), f.number("track made good"))) },
		"heading against drift": func(f figures) []any { return all(around(f.number("track wanted") - f.sided("drift expected"))) },
		"track with drift":      func(f figures) []any { return all(around(f.number("heading") + f.sided("drift"))) },
		"magnetic heading": func(f figures) []any {
			return all(around(f.number("track") + f.sided("wind correction") - f.east("variation")))
		},
		"true track": func(f figures) []any {
			return all(around(f.number("heading") + f.east("variation") + f.sided("drift")))
		},
		"compass heading": func(f figures) []any {
			return all(around(f.number("track") + f.sided("wind correction") - f.east("variation") - f.east("deviation")))
		},
		"track from compass": func(f figures) []any {
			return all(around(f.number("heading") + f.east("deviation") + f.east("variation") + f.sided("drift")))
		},
	},
	OneInSixty: {
		"track error": func(f figures) []any {
			return all(f.number("off track")*60/f.number("flown"), arc(math.Atan(f.number("off track")/f.number("flown"))))
		},
		"off track": func(f figures) []any {
			angle, flown := f.number("off the track by"), f.number("flown so")
			return all(flown*angle/60, flown*sinOf(angle)/cosOf(angle))
		},
		"turn":              func(f figures) []any { return all(f.turns(f.number("to go"), 1, 1)) },
		"turn, in flight":   func(f figures) []any { return all(f.turns(f.number("to go"), 1, 1)) },
		"regain":            func(f figures) []any { return all(f.turns(f.number("flown"), 1, 1)) },
		"heading":           func(f figures) []any { return all(f.turned(f.turns(f.number("to go"), 1, 1))) },
		"heading once back": func(f figures) []any { return all(f.turned(f.turns(f.number("flown"), 1, 0))) },
	},
	BearingChange: {
		"minutes": func(f figures) []any { rule, exact := f.check(); return all(rule, exact) },
		"distance": func(f figures) []any {
			rule, exact := f.check()
			perMinute := f.number("true airspeed") / 60
			return all(rule*perMinute, exact*perMinute)
		},
		"fuel": func(f figures) []any {
			rule, exact := f.check()
			perMinute := f.number("flow") / 60
			return all(rule*perMinute, exact*perMinute)
		},
		"doubled bearing": func(f figures) []any {
			run := f.number("true airspeed") / 60 * f.minutes("after")
			return all(flyPast(f.number("the station was off the nose by"), f.number("later off the nose by"), run))
		},
		"two bearings": func(f figures) []any {
			run := f.number("true airspeed") / 60 * f.minutes("after")
			return all(flyPast(f.number("the beacon was off the nose by"), f.number("later off the nose by"), run))
		},
		"radials": func(f figures) []any {
			names := f.names("at ")
			minutes := clockIn(names[1]) - clockIn(names[0])
			change := math.Abs(shortest(f.number(names[0]), f.number(names[1])))
			perMinute := f.number("true airspeed") / 60
			return all(60*minutes/change*perMinute, f.flyAcross(f.number(names[0]), f.number(names[1]), minutes*perMinute))
		},
	},
	Radial: {
		"flag": func(f figures) []any {
			flag, _ := receiver(f.number("course selected"), f.number("the aircraft is on radial"))
			return all(flag)
		},
		"needle": func(f figures) []any {
			_, needle := receiver(f.number("course selected"), f.number("the aircraft is on radial"))
			return all(needle)
		},
		"centred":        func(f figures) []any { return all(f.tryRadials(0)) },
		"radial":         func(f figures) []any { return all(f.tryRadials(f.sided("the needle stands off by"))) },
		"course inbound": func(f figures) []any { return all(around(f.number("the aircraft is on radial") + 180)) },
		"radial of a bearing": func(f figures) []any {
			return all(around(f.number("bearing of the place from the VOR, on the chart") - f.east("the station's own variation")))
		},
		"side of the line": func(f figures) []any { return all(f.sideOfLine()) },
	},
	RelativeBearing: {
		"QDM":              func(f figures) []any { return all(around(f.number("heading") + f.number("relative bearing"))) },
		"QDR":              func(f figures) []any { return all(around(f.number("heading") + f.number("relative bearing") + 180)) },
		"relative bearing": func(f figures) []any { return all(around(f.number("QDM") - f.number("heading"))) },
		"QTE": func(f figures) []any {
			return all(around(f.number("heading") + f.number("relative bearing") + 180 + f.east("variation")))
		},
		"QDM by compass": func(f figures) []any {
			return all(around(f.number("heading") + f.east("deviation") + f.number("relative bearing")))
		},
	},
	SlantRange: {
		"overhead": func(f figures) []any { return all(f.number("height above the station") / feetPerMile) },
		"ground distance": func(f figures) []any {
			return all(legOf(f.number("the DME shows"), f.number("height above the station")/feetPerMile))
		},
		"slant range": func(f figures) []any {
			return all(math.Sqrt(math.Pow(f.number("distance over the ground"), 2) + math.Pow(f.number("height above the station")/feetPerMile, 2)))
		},
		"ground distance from altitude": func(f figures) []any {
			return all(legOf(f.number("the DME shows"), (f.number("altitude")-f.number("elevation of the station"))/feetPerMile))
		},
	},
	TrueAirspeed: {
		"rule": func(f figures) []any {
			cas, altitude := f.number("calibrated airspeed"), f.number("pressure altitude")
			return all(cas+cas*2/100*altitude/1000, trueOf(cas, altitude, 15-1.9812*altitude/1000))
		},
		"true airspeed": func(f figures) []any {
			return all(trueOf(f.number("calibrated airspeed"), f.number("pressure altitude"), f.number("temperature")))
		},
		"true airspeed on a QNH": func(f figures) []any {
			above := halve(-5000, 5000, func(feet float64) float64 { return f.number("QNH") - pressureAt(feet) })
			return all(trueOf(f.number("calibrated airspeed"), f.number("altitude")+above, f.number("temperature")))
		},
		"calibrated airspeed": func(f figures) []any {
			return all(halve(30, 300, func(cas float64) float64 {
				return trueOf(cas, f.number("pressure altitude"), f.number("temperature")) - f.number("true airspeed planned")
			}))
		},
	},
	Endurance: {
		"endurance": func(f figures) []any { return all(60 * f.number("usable fuel") / f.number("flow")) },
		"used":      func(f figures) []any { return all(f.minutes("time") / 60 * f.number("flow")) },
		"to reserve": func(f figures) []any {
			return all(60*(f.number("fuel in the tanks")-f.number("of it unusable"))/f.number("flow") - f.minutes("reserve"))
		},
		"flow": func(f figures) []any {
			return all((f.number("gauges then") - f.number("gauges now")) / (f.minutes("time between") / 60))
		},
		"fuel for a distance": func(f figures) []any { return all(f.number("distance") / f.number("groundspeed") * f.number("flow")) },
		"time left by gauges": func(f figures) []any {
			perMinute := (f.number("usable fuel then") - f.number("usable fuel now")) / f.minutes("time between")
			return all(f.number("usable fuel now")/perMinute - f.minutes("reserve"))
		},
	},
	TankChanges: {
		"until the limit": func(f figures) []any { return all(f.burnToLimit(1)) },
		"tank": func(f figures) []any {
			if f.number("left tank") > f.number("right tank") {
				return all("left")
			}
			return all("right")
		},
		"latest change":               func(f figures) []any { return all(f.clock("now") + f.burnToLimit(1)) },
		"latest change, in flight":    func(f figures) []any { return all(f.clock("now") + f.burnToLimit(1)) },
		"latest change with a margin": func(f figures) []any { return all(f.clock("now") + f.burnToLimit(1.1)) },
		"quantity": func(f figures) []any {
			left, right := f.flyChanges()
			if strings.Contains(f.e.Question, "left tank") {
				return all(left)
			}
			return all(right)
		},
		"imbalance": func(f figures) []any { left, right := f.flyChanges(); return all(math.Abs(left - right)) },
	},
	EqualTime: {
		"distance": func(f figures) []any {
			return all(f.sameTime(f.number("groundspeed on"), f.number("groundspeed back")))
		},
		"minutes": func(f figures) []any {
			on := f.number("groundspeed on")
			return all(f.sameTime(on, f.number("groundspeed back")) / on * 60)
		},
		"side": func(f figures) []any {
			if f.number("groundspeed on") < f.number("groundspeed back") {
				return all("PAST HALF-WAY")
			}
			return all("BEFORE HALF-WAY")
		},
		"PNR": func(f figures) []any {
			return all(outAndHome(f.minutes("endurance, the reserve taken off"), f.number("groundspeed out"), f.number("groundspeed home")))
		},
		"distance in wind": func(f figures) []any {
			from, speed := f.wind()
			_, on := tryHeadings(f.number("track"), f.number("true airspeed"), from, speed)
			_, back := tryHeadings(f.number("track")+180, f.number("true airspeed"), from, speed)
			return all(f.sameTime(on, back))
		},
		"PNR by fuel": func(f figures) []any {
			minutes := 60*(f.number("fuel in the tanks")-f.number("of it unusable"))/f.number("flow") - f.minutes("reserve")
			return all(outAndHome(minutes, f.number("groundspeed out"), f.number("groundspeed home")))
		},
	},
	TopOfDescent: {
		"rule":     func(f figures) []any { return all((f.number("from") - f.number("to")) / 1000 * 3) },
		"minutes":  func(f figures) []any { return all((f.number("from") - f.number("to")) / f.number("rate")) },
		"distance": func(f figures) []any { return all(f.descentMinutes() * f.number("groundspeed") / 60) },
		"rate": func(f figures) []any {
			speed := f.number("groundspeed")
			return all(5*speed, speed*feetPerMile/60*sinOf(3)/cosOf(3))
		},
		"time": func(f figures) []any { return all(f.clock("ETA overhead") - f.descentMinutes()) },
		"level before": func(f figures) []any {
			minutes := (f.number("from") - f.number("to")) / f.number("rate")
			return all(minutes*f.number("groundspeed")/60 + f.number("to be level before the beacon by"))
		},
		"rate to make good": func(f figures) []any {
			return all(f.number("to lose") / (f.number("within") / f.number("groundspeed") * 60))
		},
	},
	Diversion: {
		"minutes": func(f figures) []any {
			_, speed := f.toTheField()
			return all(60 * f.number("to the field") / speed)
		},
		"fuel after minutes": func(f figures) []any {
			return all(f.number("usable fuel") - f.minutes("to the field")/60*f.number("flow"))
		},
		"ETA": func(f figures) []any {
			_, speed := f.toTheField()
			return all(f.clock("now") + 60*f.number("to the field")/speed)
		},
		"fuel on arrival": func(f figures) []any {
			return all(f.number("usable fuel") - f.number("to the field")/f.number("groundspeed")*f.number("flow"))
		},
		"extra on arrival": func(f figures) []any {
			_, speed := f.toTheField()
			return all(60*(f.number("usable fuel")/f.number("flow")-f.number("to the field")/speed) - f.minutes("final reserve"))
		},
		"latest divert time": func(f figures) []any {
			lasts := 60 * (f.number("usable fuel")/f.number("flow") - f.number("to the alternate")/f.number("groundspeed"))
			return all(f.clock("now") + lasts - f.minutes("final reserve"))
		},
	},
	SunsetMargin: {
		"margin":            func(f figures) []any { return all(f.before(f.clock("ETA"))) },
		"margin on arrival": func(f figures) []any { return all(f.before(f.clock("now") + f.minutes("still to go"))) },
		"latest off blocks": func(f figures) []any {
			return all(f.clock("sunset") - f.minutes("to arrive before sunset by") - f.minutes("flight time") - f.minutes("taxi before take-off"))
		},
		"margin in local time": func(f figures) []any {
			zone := f.numbers("local time is")[0]
			if strings.Contains(f.text("local time is"), "UTC -") {
				zone = -math.Abs(zone)
			}
			return all(math.Mod(f.clock("sunset")-60*zone-f.clock("ETA")+2*1440, 1440))
		},
		"latest turn": func(f figures) []any {
			minutes := f.before(f.clock("airborne")) - f.minutes("to be home before sunset by")
			out := f.number("groundspeed out")
			return all(f.clock("airborne") + outAndHome(minutes, out, f.number("groundspeed home"))/out*60)
		},
	},
}

// No exercise states a wrong answer: every answer that counts as right is what the oracle finds, and none is missing.
func TestAnswersAgreeWithASecondReckoning(t *testing.T) {
	used := map[string]bool{}
	eachExercise(t, func(t *testing.T, e Exercise) {
		reckon, known := oracles[e.Topic][e.Task]
		require.True(t, known, "%s, %s has no oracle", e.Topic, e.Task)
		used[string(e.Topic)+" "+e.Task] = true
		var want []any
		for _, value := range reckon(figures{t, e}) {
			if two, ok := value.([2]float64); ok {
				want = append(want, two[0], two[1])
				continue
			}
			want = append(want, value)
		}
		require.Len(t, e.Answers, len(want), "answers of %s, %s", e.Topic, e.Task)
		for i, answer := range e.Answers {
			requireSame(t, e, want[i], answer.Reply)
		}
	})
	for topic, tasks := range oracles {
		for task := range tasks {
			assert.True(t, used[string(topic)+" "+task], "%s, %s was never asked", topic, task)
		}
	}
}

// requireSame allows what the oracle itself is coarse by: a second of burning, the seconds of a printed time.
func requireSame(t require.TestingT, e Exercise, want any, got Reply) {
	allowed := map[Kind]float64{Span: 0.02, Hours: 0.02, TimeOfDay: 0.02, Direction: 1e-4, Turn: 1e-4, Number: 2e-3, WindForm: 1e-4}[e.Form.Kind]
	switch want := want.(type) {
	case string:
		require.Equal(t, want, e.Say(got), "%v", e)
	case Reply:
		require.InDelta(t, 0, e.Form.Apart(want, got), allowed, "%v", e)
	case float64:
		if e.Topic == TankChanges && e.Form.Kind == Number {
			allowed = 0.02
		}
		if e.Tolerance.Limit != nil { // the answer is the minute before
			require.InDelta(t, 0, math.Mod(got.Value, 1), 1e-9)
			require.LessOrEqual(t, got.Value, *e.Tolerance.Limit+1e-6)
			got.Value = *e.Tolerance.Limit
		}
		require.InDelta(t, 0, e.Form.Apart(Reply{Value: want}, got), allowed, "want %v: %v", want, e)
	}
}

// The sunset and the end of civil twilight that are given hold for the place and date that are given, to the minute. The oracle looks
// every ten seconds how high the sun stands by the low-precision formulas of the Astronomical Almanac (page C5, to 0.01°; from
// memory).
func TestSunsetGivenHoldsForThePlace(t *testing.T) {
	for _, level := range Levels() {
		rapid.Check(t, func(t *rapid.T) {
			e := Make(SunsetMargin, level, rapid.Uint64().Draw(t, "seed"))
			f := figures{t, e}
			place := "destination"
			if e.Task == "latest turn" {
				place = "home"
			}
			at := f.numbers(place)
			latitude, longitude := at[0], at[1]
			if strings.Contains(f.text(place), "S") {
				latitude = -latitude
			}
			if strings.Contains(f.text(place), "W") {
				longitude = -longitude
			}
			date, err := time.Parse("2 January 2006", f.text("local date"))
			require.NoError(t, err)
			zone := 0.0
			if e.Task == "margin in local time" {
				zone = 60 * f.numbers("local time is")[0]
				if strings.Contains(f.text("local time is"), "UTC -") {
					zone = -math.Abs(zone)
				}
			}
			for name, altitude := range map[string]float64{"sunset": -50.0 / 60, "end of civil twilight": -6} {
				want := setting(latitude, longitude, date, altitude) + zone
				require.InDelta(t, 0, math.Remainder(f.clock(name)-want, 1440), 1, "%s: %v", name, e)
			}
		})
	}
}
