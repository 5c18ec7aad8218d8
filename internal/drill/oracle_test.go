package drill

import (
	"math"
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
			speed := f.number("distance") / f.minutes("time") * 60
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
		"offset": func(f figures) []any {
			angle, flown := f.number("off the track by"), f.number("flown so")
			return all(flown*angle/60, flown*sinOf(angle)/cosOf(angle))
		},
		"turn":              func(f figures) []any { return all(f.turns(f.number("to go"), 1, 1)) },
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
			return all(60*minutes/change*perMinute, flyPast(90, 90+change, minutes*perMinute))
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
		"no return": func(f figures) []any {
			return all(outAndHome(f.minutes("endurance, the reserve taken off"), f.number("groundspeed out"), f.number("groundspeed home")))
		},
		"distance in wind": func(f figures) []any {
			from, speed := f.wind()
			_, on := tryHeadings(f.number("track"), f.number("true airspeed"), from, speed)
			_, back := tryHeadings(f.number("track")+180, f.number("true airspeed"), from, speed)
			return all(f.sameTime(on, back))
		},
		"no return by fuel": func(f figures) []any {
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

func (f figures) triedHeading() (heading, groundspeed float64) {
	from, speed := f.wind()
	return tryHeadings(f.number("track"), f.number("true airspeed"), from, speed)
}

func (f figures) blown() (east, north float64) {
	from, speed := f.wind()
	return afterAnHour(f.number("heading"), f.number("true airspeed"), from, speed)
}

// windOf is the wind as what is left between where an aircraft would be after an hour and where it is.
func windOf(heading, tas, track, groundspeed float64) Reply {
	east := tas*sinOf(heading) - groundspeed*sinOf(track)
	north := tas*cosOf(heading) - groundspeed*cosOf(track)
	return Reply{around(arc(math.Atan2(east, north))), math.Hypot(east, north)}
}

// turns are the turns by the rule and exactly, of so many track errors and closing angles.
func (f figures) turns(toGo, trackErrors, closings float64) [2]float64 {
	off, flown := f.sided("the aircraft is"), f.number("flown")
	return [2]float64{
		-60 * (trackErrors*off/flown + closings*off/toGo),
		-arc(trackErrors*math.Atan(off/flown) + closings*math.Atan(off/toGo)),
	}
}

func (f figures) turned(turns [2]float64) [2]float64 {
	heading := f.number("heading so far")
	return [2]float64{around(heading + turns[0]), around(heading + turns[1])}
}

// check is the bearing-change check by the rule, and by flying past in small steps, in minutes.
func (f figures) check() (rule, exact float64) {
	degrees, minutes := f.number("it then changed by"), f.minutes("in")
	return 60 * minutes / degrees, flyPast(90, 90+degrees, minutes)
}

// flyPast finds by trying how far abeam a beacon is that bears so at the beginning and the end of a run, and returns how far it is at
// the end.
func flyPast(first, second, run float64) float64 {
	bearingAfter := func(abeam float64) float64 {
		ahead := abeam * cosOf(first) / sinOf(first)
		return arc(math.Atan2(abeam, ahead-run))
	}
	abeam := halve(1e-6, 1e4, func(abeam float64) float64 { return second - bearingAfter(abeam) })
	ahead := abeam*cosOf(first)/sinOf(first) - run
	return math.Hypot(abeam, ahead)
}

// receiver looks at a map: which side of the station, seen along the course, and on which side the line of the course.
func receiver(course, radial float64) (flag string, needle float64) {
	east, north := sinOf(radial), cosOf(radial)
	along := east*sinOf(course) + north*cosOf(course)
	right := east*cosOf(course) - north*sinOf(course) // of the line, facing along the course
	flag = "TO"
	if along > 0 {
		flag = "FROM"
	}
	return flag, -arc(math.Asin(right))
}

// tryRadials finds the radial on which the receiver shows what is given.
func (f figures) tryRadials(needle float64) float64 {
	for radial := 1.0; radial <= 360; radial++ {
		flag, off := receiver(f.number("course selected"), radial)
		if flag == f.text("the flag") && math.Abs(off-needle) < 0.1 {
			return radial
		}
	}
	return math.NaN()
}

// sideOfLine finds the aircraft's place, and from there the way across to the line of the course.
func (f figures) sideOfLine() string {
	course := f.number("course selected")
	radial := f.tryRadials(f.sided("the needle stands off by"))
	east, north := sinOf(radial), cosOf(radial)
	along := east*sinOf(course) + north*cosOf(course)
	toLineEast, toLineNorth := along*sinOf(course)-east, along*cosOf(course)-north
	heading := f.number("heading")
	if toLineEast*cosOf(heading)-toLineNorth*sinOf(heading) > 0 {
		return "RIGHT"
	}
	return "LEFT"
}

func legOf(longest, other float64) float64 { return math.Sqrt(longest*longest - other*other) }

// pressureAt is the standard atmosphere as the hydrostatic equation makes it, foot by foot of ten, in hectopascals.
func pressureAt(feet float64) float64 {
	pressure, metres := 1013.25, 0.0
	step := math.Copysign(3.048, feet)
	for n := int(math.Abs(feet) / 10); n > 0; n-- {
		kelvin := 288.15 - 0.0065*(metres+step/2)
		pressure *= math.Exp(-9.80665 / (287.05287 * kelvin) * step)
		metres += step
	}
	rest := feet*0.3048 - metres
	kelvin := 288.15 - 0.0065*(metres+rest/2)
	return pressure * math.Exp(-9.80665/(287.05287*kelvin)*rest)
}

// trueOf is the true airspeed of a calibrated one by way of the impact pressure (isentropic flow).
func trueOf(cas, pressureAltitude, celsius float64) float64 {
	soundAt := func(kelvin float64) float64 { return math.Sqrt(1.4*287.05287*kelvin) * 3600 / 1852 }
	impact := 1013.25 * (math.Pow(1+0.2*math.Pow(cas/soundAt(288.15), 2), 3.5) - 1)
	mach := math.Sqrt(5 * (math.Pow(impact/pressureAt(pressureAltitude)+1, 1/3.5) - 1))
	return mach * soundAt(celsius+273.15)
}

// burnToLimit burns a second at a time from the tank in use until the imbalance is at its limit, on the side to which it grows.
func (f figures) burnToLimit(factor float64) (minutes float64) {
	left, right := f.number("left tank"), f.number("right tank")
	perSecond := factor * f.number("flow") / 3600
	inUse, other := &left, &right
	if f.text("the engine is fed from") == "right" {
		inUse, other = &right, &left
	}
	seconds, limit := 0.0, f.number("largest imbalance allowed")
	for *other-*inUse < limit {
		*inUse -= perSecond
		seconds++
	}
	return seconds / 60
}

// flyChanges burns a second at a time from the tank that is in use.
func (f figures) flyChanges() (left, right float64) {
	left, right = f.number(f.names("left tank at ")[0]), f.number(f.names("right tank at ")[0])
	fed := f.names("fed from ")[0]
	tank, perSecond, end := f.text(fed), f.number("flow")/3600, secondOf(f.clock("now"))
	changedTo := map[int]string{}
	for _, change := range f.names("changed at ") {
		changedTo[secondOf(clockIn(change))] = strings.TrimPrefix(f.text(change), "to ")
	}
	for second := secondOf(clockIn(fed)); second != end; second = (second + 1) % (24 * 3600) {
		if to, changed := changedTo[second]; changed {
			tank = to
		}
		if tank == "left" {
			left -= perSecond
		} else {
			right -= perSecond
		}
	}
	return left, right
}

func secondOf(minutes float64) int { return int(math.Round(60 * minutes)) }

// sameTime finds by halving where it takes as long on as back.
func (f figures) sameTime(on, back float64) float64 {
	miles := f.number("from start to destination")
	return halve(0, miles, func(out float64) float64 { return out/back - (miles-out)/on })
}

// outAndHome finds by halving how far out leaves just enough time for home.
func outAndHome(minutes, out, home float64) float64 {
	return halve(0, 1e5, func(miles float64) float64 { return miles/out*60 + miles/home*60 - minutes })
}

func (f figures) descentMinutes() float64 {
	return (f.number("cruise") - f.number("aerodrome elevation") - f.number("circuit above it")) / f.number("rate")
}

// before is how long a time is before sunset.
func (f figures) before(time float64) float64 { return math.Mod(f.clock("sunset")-time+2*1440, 1440) }

// No exercise states a wrong answer: every answer that counts as right is what the oracle finds, and none is missing.
func TestAnswersAgreeWithASecondReckoning(t *testing.T) {
	used := map[string]bool{}
	eachExercise(t, func(t *rapid.T, e Exercise) {
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
func requireSame(t *rapid.T, e Exercise, want any, got Reply) {
	allowed := map[Kind]float64{Span: 0.02, Hours: 0.02, TimeOfDay: 0.02, Direction: 1e-4, Turn: 1e-4, Number: 2e-3, WindForm: 1e-4}[e.Form.Kind]
	switch want := want.(type) {
	case string:
		require.Equal(t, want, e.Say(got), "%v", e)
	case Reply:
		require.InDelta(t, 0, e.Form.apart(want, got), allowed, "%v", e)
	case float64:
		if e.Topic == TankChanges && e.Form.Kind == Number {
			allowed = 0.02
		}
		require.InDelta(t, 0, e.Form.apart(Reply{Value: want}, got), allowed, "want %v: %v", want, e)
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

// setting is the UTC minute of day at which the sun sinks through an altitude, after noon by the sun's mean time.
func setting(latitude, longitude float64, date time.Time, altitude float64) float64 {
	noon := time.Date(date.Year(), date.Month(), date.Day(), 12, 0, 0, 0, time.UTC).Add(-time.Duration(longitude / 15 * float64(time.Hour)))
	at := noon
	for sunHeight(latitude, longitude, at) > altitude {
		at = at.Add(10 * time.Second)
	}
	return float64(60*at.Hour()+at.Minute()) + float64(at.Second())/60
}

func sunHeight(latitude, longitude float64, at time.Time) float64 {
	days := at.Sub(time.Date(2000, time.January, 1, 12, 0, 0, 0, time.UTC)).Hours() / 24
	anomaly := 357.528 + 0.9856003*days
	ecliptic := 280.460 + 0.9856474*days + 1.915*sinOf(anomaly) + 0.020*sinOf(2*anomaly)
	obliquity := 23.439 - 0.0000004*days
	declination := arc(math.Asin(sinOf(obliquity) * sinOf(ecliptic)))
	ascension := arc(math.Atan2(cosOf(obliquity)*sinOf(ecliptic), cosOf(ecliptic)))
	hourAngle := 280.46062 + 360.985647*days + longitude - ascension
	return arc(math.Asin(sinOf(latitude)*sinOf(declination) + cosOf(latitude)*cosOf(declination)*cosOf(hourAngle)))
}
