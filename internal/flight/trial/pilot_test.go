package trial_test

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/sheet"
)

// stepMinutes is the length of a step: 6 seconds.
const stepMinutes = 0.1

// spot is a place to be passed, in order along the route.
type spot struct {
	leg     int
	afterNM float64
	name    string
	legEnd  bool
}

func spotsOf(s *sheet.Sheet) []spot {
	var all []spot
	for i, leg := range s.Legs {
		for _, checkpoint := range leg.Checkpoints {
			all = append(all, spot{i, checkpoint.AfterNM, checkpoint.Name, false})
		}
		all = append(all, spot{i, leg.DistanceNM, leg.To.Ident, true})
	}
	return all
}

// flown is a flight as it truly went; times are minutes from the logged take-off.
type flown struct {
	chance   chance    // that decided it
	lots     lots      // that decided that, where it was lots
	passed   []float64 // by spot
	levelOff float64   // at the top of the first climb
	descend  float64   // where the last descent was begun
	headings []logged  // as steered, true, when settled on each leg
	places   []logged  // every placeEvery minutes: value along the leg
}

// logged is a figure read at a moment.
type logged struct {
	leg     int
	minutes float64
	value   float64
	across  float64
	height  float64
}

// settled is when on a leg the pilot logs the heading that holds the track, and how often a place is noted.
const (
	settled    = 4.
	placeEvery = 5.
)

// How finely the forecast is taken by level.
const (
	forecastFt     = 250.
	forecastLevels = 26
)

// craft is a flight under way.
type craft struct {
	s                 *sheet.Sheet
	chance            chance
	forecast          [2][forecastLevels]float64
	minutes           float64
	leg               int
	along             float64
	across            float64
	height            float64
	started           float64 // this leg
	trim              float64 // by how much the heading lies off the track when the aircraft is on it
	speedKt           float64 // along the track, in the last step
	topNM             float64 // along the last descent's leg
	topLeg            int
	levelOff, descend float64 // when; 0 before
}

// fly flies a plan once.
func fly(s *sheet.Sheet, by chance) flown {
	c := &craft{s: s, chance: by, height: s.Route.Legs[0].From.ElevationFt}
	for k := range forecastLevels {
		wind, _ := s.Air.Layers.At(forecastFt * float64(k))
		c.forecast[0][k], c.forecast[1][k] = wind.Components()
	}
	c.minutes = by.takeOff()
	c.topLeg, c.topNM, _ = s.Trajectory.TopOfDescent()
	if len(s.Trajectory.LastDescent()) == 0 {
		c.topLeg = len(s.Legs)
	}
	c.startLeg()
	f := flown{chance: by}
	for _, to := range spotsOf(s) {
		for {
			before := *c
			c.step(&f)
			if c.along < to.afterNM {
				continue
			}
			share := (to.afterNM - before.along) / (c.along - before.along)
			f.passed = append(f.passed, before.minutes+share*stepMinutes)
			if to.legEnd && to.leg < len(s.Legs)-1 {
				c.turn(&before, share)
			}
			break
		}
	}
	return f
}

func (c *craft) track() float64 { return c.s.Legs[c.leg].TrackTrue }

// startLeg turns to the heading that the nav log has for the leg.
func (c *craft) startLeg() {
	c.started = c.minutes
	c.trim = c.s.Legs[c.leg].CorrectionDeg
}

// turn goes back to the moment at which a leg ended and on along the next, from as far beside the point as it was passed.
func (c *craft) turn(before *craft, share float64) {
	c.minutes = before.minutes + share*stepMinutes
	c.height = before.height + share*(c.height-before.height)
	right := before.across + share*(c.across-before.across)
	change := radians(c.s.Legs[c.leg+1].TrackTrue - c.track())
	c.leg++
	c.along, c.across = right*math.Sin(change), right*math.Cos(change)
	c.startLeg()
}

// step flies on for a moment.
func (c *craft) step(f *flown) {
	tas, climbFtMin := c.fly()
	seen := c.across + c.chance.eye(c.leg, c.minutes)
	const cutDeg, firm, trimming = 20, 15, 2 // steepest cut; degrees for each mile; degrees for each mile and minute
	indicated := c.track() + c.trim - cutDeg*math.Tanh(firm*seen/cutDeg)
	c.trim -= trimming * seen * stepMinutes
	c.note(f, indicated)

	heading := radians(indicated + c.chance.gyro(c.leg, indicated))
	north, east := c.wind()
	north += tas * math.Cos(heading)
	east += tas * math.Sin(heading)
	track := radians(c.track())
	hours := stepMinutes / 60
	c.speedKt = north*math.Cos(track) + east*math.Sin(track)
	c.along += hours * c.speedKt
	c.across += hours * (east*math.Cos(track) - north*math.Sin(track))
	c.height += climbFtMin * stepMinutes
	c.minutes += stepMinutes
}

// wind is the air's movement where and when the aircraft is.
func (c *craft) wind() (north, east float64) {
	k, up := split(c.height/forecastFt, forecastLevels)
	at := func(levels *[forecastLevels]float64) float64 { return levels[k] + up*(levels[k+1]-levels[k]) }
	north, east = c.chance.wind(c.minutes, c.height)
	return at(&c.forecast[0]) + north, at(&c.forecast[1]) + east
}

// note writes down what the pilot logs on the way.
func (c *craft) note(f *flown, indicated float64) {
	f.levelOff, f.descend = c.levelOff, c.descend
	noted := len(f.headings) > 0 && f.headings[len(f.headings)-1].leg == c.leg
	if !noted && c.minutes-c.started > settled-stepMinutes/2 && c.s.Legs[c.leg].Minutes > 1.5*settled {
		f.headings = append(f.headings, logged{leg: c.leg, minutes: c.minutes, value: indicated})
	}
	if at := placeEvery * math.Ceil((c.minutes-stepMinutes)/placeEvery); at <= c.minutes && at > 0 {
		f.places = append(f.places, logged{leg: c.leg, minutes: at, value: c.along - c.speedKt*(c.minutes-at)/60, across: c.across, height: c.height})
	}
}

// fly is the true airspeed of the next step and how fast the aircraft climbs in it. Where one phase ends within the step the two
// are taken in proportion.
func (c *craft) fly() (tas, climbFtMin float64) {
	aircraft := c.s.Plan.Aircraft
	off := c.chance.airspeed(c.minutes)
	arrivalFt, _ := c.s.Route.ArrivalFt()
	descent := func() (float64, float64) {
		rate := aircraft.Descent.RateFtMin * (1 + c.chance.descent())
		return c.through(aircraft.Descent.IASKt) + off, -rate
	}
	if c.descend > 0 {
		tas, rate := descent()
		return tas, max(rate, min(0, arrivalFt-c.height)/stepMinutes)
	}
	cruise := c.s.Legs[c.leg].TASKt + off
	tas = cruise
	switch toGoFt := c.s.Legs[c.leg].AltitudeFt - c.height; {
	case toGoFt > 0.01:
		rate := c.climbRate() * (1 + c.chance.climb())
		share := min(1, toGoFt/(rate*stepMinutes))
		tas, climbFtMin = share*(c.through(aircraft.Climb.IASKt)+off)+(1-share)*cruise, share*rate
		if share < 1 && c.levelOff == 0 {
			c.levelOff = c.minutes + share*stepMinutes
		}
	case toGoFt < -0.01:
		down, rate := descent()
		share := min(1, toGoFt/(rate*stepMinutes))
		tas, climbFtMin = share*down+(1-share)*cruise, share*rate
	}
	if c.leg == c.topLeg {
		if share := (c.topNM - c.along) / (c.speedKt * stepMinutes / 60); share < 1 {
			share = max(share, 0)
			c.descend = c.minutes + share*stepMinutes
			down, rate := descent()
			return share*tas + (1-share)*down, share*climbFtMin + (1-share)*rate
		}
	}
	return tas, climbFtMin
}

// through is the true airspeed of an indicated one.
func (c *craft) through(ias float64) float64 {
	pressureFt := air.PressureAltitudeFt(c.height, c.s.Air.QNH)
	_, deviation := c.s.Air.Layers.At(c.height)
	cas, err := air.Calibrated(c.s.Plan.Aircraft.PositionError, ias)
	if err != nil {
		cas = ias
	}
	return air.TASFromCAS(cas, pressureFt, air.ISATemperatureC(pressureFt)+deviation)
}

// climbRate goes between the lines of the aircraft's table.
func (c *craft) climbRate() float64 {
	pressureFt := air.PressureAltitudeFt(c.height, c.s.Air.QNH)
	table := c.s.Plan.Aircraft.Climb.Table
	for i := 1; i < len(table); i++ {
		if lower, upper := table[i-1], table[i]; pressureFt <= upper.AltitudeFt || i == len(table)-1 {
			share := (pressureFt - lower.AltitudeFt) / (upper.AltitudeFt - lower.AltitudeFt)
			return lower.RateFtMin + share*(upper.RateFtMin-lower.RateFtMin)
		}
	}
	return table[0].RateFtMin
}

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }
