package trial_test

// linear is how the figures of one flight depend on its lots, about the lots that were drawn: what the best possible estimate is made
// from, which knows the flight's laws, the errors that it was drawn with, and these slopes at the truth.
type linear struct {
	passed   [][]float64 // by spot, by lot: minutes
	levelOff []float64
	descend  []float64
	headings [][]float64 // degrees
	places   [][]float64 // miles along
	across   [][]float64 // and right of the track there
}

// noSlopes has room for all slopes.
func noSlopes(lots int, truth flown) linear {
	return linear{
		passed: rows(len(truth.passed), lots), headings: rows(len(truth.headings), lots),
		places: rows(len(truth.places), lots), across: rows(len(truth.places), lots),
		levelOff: make([]float64, lots), descend: make([]float64, lots),
	}
}

// slopesOf flies the flight again with every lot moved.
func slopesOf(again func(lots) flown, drawn lots, truth flown) linear {
	const move = 0.25
	l := noSlopes(len(drawn), truth)
	moved := append(lots(nil), drawn...)
	for k := range drawn {
		moved[k] = drawn[k] + move
		other := again(moved)
		moved[k] = drawn[k]
		for i := range truth.passed {
			l.passed[i][k] = (other.passed[i] - truth.passed[i]) / move
		}
		l.levelOff[k] = (other.levelOff - truth.levelOff) / move
		l.descend[k] = (other.descend - truth.descend) / move
		for i := range truth.headings {
			l.headings[i][k] = (other.headings[i].value - truth.headings[i].value) / move
		}
		for i, at := range truth.places {
			if there, ok := find(other.places, at); ok {
				l.places[i][k] = (there.value - at.value) / move
				l.across[i][k] = (there.across - at.across) / move
			}
		}
	}
	return l
}

func rows(n, m int) [][]float64 {
	all := make([][]float64, n)
	for i := range all {
		all[i] = make([]float64, m)
	}
	return all
}

// find is the place of the same leg and minute.
func find(places []logged, like logged) (logged, bool) {
	for _, at := range places {
		if at.leg == like.leg && at.minutes == like.minutes {
			return at, true
		}
	}
	return logged{}, false
}

// best is an extended Kalman filter over all the lots of a flight: its mean, the flight that this mean would be, and the covariance.
type best struct {
	again      func(lots) flown
	mean       lots
	flight     flown
	covariance [][]float64
}

// newBest knows nothing but how lots are drawn: its mean is nought.
func newBest(n int, again func(lots) flown) *best {
	b := &best{again: again, mean: make(lots, n), covariance: rows(n, n)}
	for i := range b.covariance {
		b.covariance[i][i] = 1
	}
	b.flight = again(b.mean)
	return b
}

// take takes in a figure that was logged, as read off a flight, with an error.
func (b *best) take(value float64, of func(flown) float64, slope []float64, sigma float64) {
	product := b.times(slope)
	total := sigma*sigma + dot(slope, product)
	innovation := value - of(b.flight)
	for i, p := range product {
		gain := p / total
		if gain == 0 {
			continue
		}
		b.mean[i] += gain * innovation
		row := b.covariance[i]
		for j, q := range product {
			row[j] -= gain * q
		}
	}
	b.flight = b.again(b.mean)
}

func (b *best) times(slope []float64) []float64 {
	product := make([]float64, len(slope))
	for k, s := range slope {
		if s == 0 {
			continue
		}
		for i, c := range b.covariance[k] {
			product[i] += s * c
		}
	}
	return product
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
