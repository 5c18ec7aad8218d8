package drill

import (
	"math"
	"strings"
	"time"
)

func (f figures) triedHeading() (heading, groundspeed float64) {
	from, speed := f.wind()
	return tryHeadings(f.number("track"), f.number("true airspeed"), from, speed)
}

// toTheField is the same to where a diversion leads.
func (f figures) toTheField() (heading, groundspeed float64) {
	from, speed := f.wind()
	return tryHeadings(f.number("track to the field"), f.number("true airspeed"), from, speed)
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

// flyAcross finds by trying how far out on the first radial a run on the heading ends on the second, and returns how far out it ends.
func (f figures) flyAcross(first, second, run float64) float64 {
	after := func(out float64) (radial, distance float64) {
		east := out*sinOf(first) + run*sinOf(f.number("heading"))
		north := out*cosOf(first) + run*cosOf(f.number("heading"))
		return around(arc(math.Atan2(east, north))), math.Hypot(east, north)
	}
	way := shortest(first, second)
	out := halve(1e-3, 1e4, func(out float64) float64 {
		radial, _ := after(out)
		return math.Abs(way) - math.Copysign(1, way)*shortest(first, radial)
	})
	_, distance := after(out)
	return distance
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
