package flying

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// labelWidth is the margin that the names of lines and panels stand in.
const labelWidth = 9

// lines adds to rows how fast and through what wind, the arrival, and what is to be minded, in so many rows.
func (d *drawing) lines(rows []string, room int) []string {
	mind := d.mind()
	var four [4]string
	switch {
	case room <= 0:
	case room < 4 && mind != "":
		four[0], four[1] = mind, d.landing(false)
	case room < 4:
		four[0], four[1] = d.speed(false), d.landing(false)
	default:
		four = [4]string{d.speed(true), d.landing(true), d.fuel(), mind}
	}
	if room < 4 {
		room = min(room, 2)
	}
	return append(rows, four[:max(room, 0)]...)
}

// labelled begins a line with its name in the margin.
func (p *page) labelled(label string, first phrase) []phrase {
	return []phrase{{p.theme.Label, frame.Fit(label, labelWidth-1)}, first}
}

type speedShown struct {
	used, planned            float64
	sum, sumTo               string
	from, kt, sigma          float64
	source                   flight.WindSource
	forecastFrom, forecastKt float64
	full                     bool // there is room for it
}

func (d *drawing) speed(full bool) string {
	g, w := &d.Groundspeed, &d.Wind
	return d.speeds.Of(speedShown{
		g.UsedKt, g.PlannedKt, g.Sum, g.SumTo, w.FromTrue, w.SpeedKt, math.RoundToEven(w.SigmaKt), w.Source, w.ForecastFrom, w.ForecastKt, full,
	}, d.drawSpeed)
}

func (p *page) drawSpeed(s speedShown) string {
	gs := say.Knots(s.used)
	if s.used <= 0 { // on the ground
		gs = say.Unknown
	}
	wind, source, planned := fmt.Sprintf("%s ±%.0f", say.Wind(s.from, s.kt), s.sigma), " "+frame.Clean(string(s.source)), ""
	if s.full {
		planned = ", planned " + say.Whole(s.planned)
	}
	if s.full && s.source != flight.WindForecast {
		source += ", forecast " + say.Wind(s.forecastFrom, s.forecastKt)
	}
	sum := ""
	for _, brief := range [][2]string{{planned, source}, {planned, ""}, {"", ""}} { // the sum before what the plan and the forecast say
		left := p.width - margin - labelWidth - between - frame.Width(gs+brief[0]) - frame.Width("WIND "+wind+brief[1])
		if sum = s.sumIn(left); sum != "" {
			planned, source = brief[0], brief[1]
			break
		}
	}
	return p.line(p.labelled("GS", phrase{p.theme.Value, gs + planned + sum}), []phrase{{p.theme.Label, "WIND"}, {p.theme.Value, wind + source}})
}

// sumIn is the sum and of which way it is, in at most so many cells; empty where there is none, or no room for it.
func (s speedShown) sumIn(width int) string {
	const most = 6 // of a long name
	if s.sum == "" {
		return ""
	}
	sum, to := frame.Clean(s.sum), frame.Clean(s.sumTo)
	room := width - frame.Width(", to  "+sum)
	if room < min(frame.Width(to), most) {
		return ""
	}
	return ", to " + frame.Shorten(to, room) + " " + sum
}

// landingShown is the arrival.
type landingShown struct {
	there                    bool // it is known
	point                    string
	eta                      time.Time
	sigma, against           float64   // seconds
	beforeSunset, beforeDark known     // minutes
	fuel                     fuelShown // where there is a row for both
}

func (d *drawing) landing(full bool) string {
	var shown landingShown
	if to := d.Destination; to != nil {
		shown = landingShown{
			true, to.Point, to.ETA, to.ETASigmaSeconds, say.Apart(to.Planned, to.ETA).Seconds(), knownOf(to.BeforeSunsetMinutes), knownOf(to.BeforeDarkMinutes), fuelShown{},
		}
		if !full {
			shown.fuel = d.fuelNow()
		}
	}
	return d.landings.Of(shown, d.drawLanding)
}

func (p *page) drawLanding(s landingShown) string {
	if !s.there {
		return p.line(p.labelled("ARRIVAL", phrase{p.theme.Muted, "not known"}))
	}
	eta := p.labelled("ARRIVAL", p.note(frame.Clean(s.point)+" "+say.Time(s.eta)+" "+say.PlusMinus(s.sigma)+", "+say.Against(s.against)))
	if s.fuel == (fuelShown{}) {
		return p.line(eta, []phrase{p.daylight(s)})
	}
	return p.line(eta, []phrase{p.onArrival(s.fuel)}, []phrase{p.daylight(s)})
}

// fuelShown is the fuel now and on arrival, minutes and amounts no finer than they are said.
type fuelShown struct {
	unit              string
	usable, endurance float64
	at                string // the part of the flight whose flow the endurance is at
	there, passed     bool   // the arrival is known, and over
	fuel, reserve     float64
	extra             float64 // minutes
	below, near       bool    // the final reserve is broken into, or nearly
}

func (d *drawing) fuelNow() fuelShown {
	shown := fuelShown{unit: d.Tanks.Unit, usable: say.Tenths(d.Tanks.TotalUsable), endurance: say.LongMinutes(d.Tanks.EnduranceMinutes), at: d.Tanks.Endurance.At}
	if to := d.Destination; to != nil {
		const near = 1.5
		reserve := d.FinalReserve.Fuel
		shown.there, shown.passed, shown.fuel, shown.reserve, shown.extra = true, to.Passed, say.Tenths(to.Fuel), say.Tenths(reserve), say.LongMinutes(to.ExtraMinutes)
		shown.below, shown.near = to.BelowReserve(), to.Fuel < near*reserve
	}
	return shown
}

func (d *drawing) fuel() string { return d.fuels.Of(d.fuelNow(), d.drawFuel) }

func (p *page) drawFuel(s fuelShown) string {
	if !s.there {
		return p.line(p.labelled("FUEL", p.note(say.AmountIn(s.usable, s.unit))))
	}
	return p.line(p.labelled("FUEL", p.onArrival(s)), []phrase{p.note("usable " + say.Amount(s.usable) + " = " + say.Endurance(s.endurance, s.at))}, []phrase{p.note(say.FinalReserve(s.reserve, s.unit))})
}

// onArrival is the fuel on arrival; it has a colour only where the final reserve is near or broken into.
func (p *page) onArrival(s fuelShown) phrase {
	text := say.FuelOnArrival{Usable: s.fuel, Reserve: s.reserve, ExtraMinutes: s.extra, Unit: s.unit, Passed: s.passed}.String()
	switch {
	case s.below:
		return phrase{p.theme.Warning, text}
	case s.near:
		return phrase{p.theme.Caution, text}
	}
	return p.note(text)
}

// daylight says how an arrival lies to the night; it has a colour only where that is near.
func (p *page) daylight(s landingShown) phrase {
	if !s.beforeDark.is {
		return phrase{p.theme.Muted, "night not known"}
	}
	const near = 60
	switch night, sunset := s.beforeDark.value, s.beforeSunset; {
	case night < 0:
		return phrase{p.theme.Warning, say.Long(-night) + " AFTER NIGHTFALL"}
	case sunset.is && sunset.value < 0:
		return phrase{p.theme.Caution, say.Long(-sunset.value) + " after sunset"}
	case night < near:
		return phrase{p.theme.Caution, say.Long(night) + " before night"}
	default:
		return p.note(say.Long(night) + " before night")
	}
}

// mind is a hold, else a bearing check, else the first caution, else what is to be crossed and when; empty where there is none.
func (d *drawing) mind() string {
	if h := d.Holding; h != nil {
		hold := d.labelled("HOLDING", phrase{d.theme.Caution, frame.Clean(h.Point) + " for " + say.Between(h.Since, d.At)})
		var leave, by []phrase
		if h.Leave != nil {
			leave = []phrase{d.note("leave " + say.Time(*h.Leave))}
		}
		if h.LeaveBy != nil {
			by = []phrase{d.note("latest departure " + say.Minute(*h.LeaveBy))}
		}
		return d.line(hold, leave, by)
	}
	if c := d.Bearing; c != nil && !c.Done && c.Problem == "" {
		return d.line(d.labelled("BEARING", phrase{d.theme.Headline, frame.Clean(c.Beacon) + " " + say.Span(c.Seconds)}),
			[]phrase{d.note("stop at " + say.Degrees(c.StopRelative) + " on the radio screen")})
	}
	var caution cautionShown
	for _, notice := range d.Notices {
		switch {
		case notice.Severity != flight.Caution:
		case caution.many == 0:
			caution = cautionShown{notice.Text, 1}
		default:
			caution.many++
		}
	}
	if caution.many > 0 {
		return d.cautions.Of(caution, d.drawCaution)
	}
	if c := d.Crossing; c != nil {
		text := frame.Shorten(frame.Clean(c.Said(d.Descent)), d.mindWidth())
		return d.line(d.labelled("CROSS", d.note(text)))
	}
	return ""
}

// mindWidth is how wide a text is that stands behind its name in the margin.
func (p *page) mindWidth() int { return p.width - margin - labelWidth }

// cautionShown is the first of so many cautions.
type cautionShown struct {
	text string
	many int
}

func (p *page) drawCaution(s cautionShown) string {
	tail := ""
	if s.many > 1 {
		tail = fmt.Sprintf(", %d more", s.many-1)
	}
	text := frame.Shorten(frame.Clean(s.text), p.mindWidth()-len(tail))
	return p.line(p.labelled("CAUTION", phrase{p.theme.Caution, text + tail}))
}

// panel is a list with its name in the margin.
type panel struct {
	title string
	rows  []string
	short []string // the same in fewer rows, where there is no room for all panels; nil: there is no such form
	least int      // rows, without which it is not begun
	later int      // so many rows, drawn where there is room for them; 0: they are drawn
	width int      // of those
}

// Parts of the screen in which panels stand.
const (
	firstPart = iota
	thirdPart
	parts
)

// stackedShown is a row of a panel with what stands in the margin.
type stackedShown struct{ label, text string }

// stack adds panels below rows, as many as there is room for; one that has less room than rows says how many more there are.
func (d *drawing) stack(rows []string, height, part int, panels []panel) []string {
	wanted := len(rows)
	for i := range panels {
		if n := len(panels[i].rows) + panels[i].later; n > 0 {
			wanted += 1 + n
		}
	}
	for i := range panels {
		p := &panels[i]
		content := p.rows
		if wanted > height && p.short != nil {
			content = p.short
		}
		gap := 1
		if len(rows) == 0 {
			gap = 0
		}
		room := height - len(rows) - gap
		all := len(content) + p.later
		if all == 0 || room < min(p.least, all) {
			continue
		}
		if p.later > 0 {
			content = d.alternateRowsIn(p.width)
		}
		rows = append(rows, blankRows[:gap]...)
		for n, text := range content[:min(all, room)] {
			at := parts*len(rows) + part
			if n == room-1 && all > room {
				text = d.more.Of(at, all-room+1, d.drawMoreRows)
			}
			label := ""
			if n == 0 {
				label = p.title
			}
			rows = append(rows, d.stacked.Of(at, stackedShown{label, text}, d.drawStacked))
		}
	}
	return rows
}

func (p *page) drawMoreRows(n int) string { return p.theme.Muted.Render(fmt.Sprintf("%d more", n)) }

func (p *page) drawStacked(s stackedShown) string {
	var row frame.Row
	row.Pad(margin)
	row.Add(frame.Fit(s.label, labelWidth), p.theme.Label)
	row.Add(s.text, theme.Role{})
	return row.String()
}

// panelsBelow adds what else there is to know of what the figures say, in the order of its weight.
func (d *drawing) panelsBelow(panels []panel, width int) []panel {
	room := panelRoom(width)
	return append(panels, d.tanksPanel(room), d.radioPanel(room), d.clearedPanel(room))
}

// panelsBeside adds what else there is to know; it stands below the others, or in a third part where there is one.
func (d *drawing) panelsBeside(panels []panel, width int) []panel {
	room := panelRoom(width)
	return append(panels, d.alternatesPanel(room), d.reportPanel(room), d.logPanel(room))
}

// panelRoom is what a part of the screen leaves for the rows of a panel.
func panelRoom(width int) int { return max(0, width-2*margin-labelWidth) }

// in dresses a text.
func in(role theme.Role, text string) frame.Cell { return frame.Cell{Text: text, Style: role} }

// listed makes rows of values in columns.
func listed[R any](p *page, width int, values []R, columns ...frame.Column[*R]) []string {
	fitted := frame.FitTable(columns, width)
	rows := make([]string, 0, len(values)+1)
	if slices.ContainsFunc(columns, func(c frame.Column[*R]) bool { return c.Head != "" }) && len(values) > 0 {
		rows = append(rows, fitted.Head(p.theme.Label, p.theme.Label))
	}
	for i := range values {
		rows = append(rows, fitted.Row(&values[i]))
	}
	return rows
}

// tankShown is a tank with what is in it, no finer than it is said.
type tankShown struct {
	name               string
	quantity, capacity float64
	selected           bool
}

func (d *drawing) tanksPanel(width int) panel {
	shown := d.level[:0]
	for i := range d.Tanks.Tanks {
		t := &d.Tanks.Tanks[i]
		shown = append(shown, tankShown{t.Name, say.Tenths(t.Quantity), t.Capacity, t.Selected})
	}
	d.level = shown
	return d.page.tanks.Of(shown, width, d.drawTanks)
}

func (p *page) drawTanks(tanks []tankShown, width int) panel {
	barWidth := max(0, min(width-8-2-16, 40))
	type column = frame.Column[*tankShown]
	return panel{title: "TANKS", least: 2, rows: listed(p, width, tanks,
		column{Width: 7, Grow: 6, Cell: func(t *tankShown) frame.Cell { return in(p.theme.Value, frame.Clean(t.name)) }},
		column{Width: barWidth, Cell: func(t *tankShown) frame.Cell {
			return frame.Cell{Text: frame.Bar(barWidth, t.quantity/max(t.capacity, 1), p.glyphs, p.theme.Value, p.theme.Frame)}
		}},
		column{Width: 15, Cell: func(t *tankShown) frame.Cell {
			if t.selected {
				return in(p.theme.Tank, say.Amount(t.quantity)+" feeds")
			}
			return in(p.theme.Value, say.Amount(t.quantity)+" of "+say.Amount(t.capacity))
		}})}
}

// receiverShown is a receiver with what it is tuned to.
type receiverShown struct {
	receiver   string
	tuned      bool
	beacon     string
	frequency  float64
	identified bool
	course     known
	held       string // what the course is, of an NDB
}

func (d *drawing) radioPanel(width int) panel {
	shown := d.tuned[:0]
	for i := range d.Radio {
		r := &d.Radio[i]
		one := receiverShown{receiver: r.Receiver, tuned: r.Tuned != nil, identified: r.Identified}
		if one.tuned {
			one.beacon, one.frequency, one.course, one.held = r.Tuned.Beacon, r.Tuned.Frequency, knownOf(r.Tuned.Course), r.Tuned.Held
		}
		shown = append(shown, one)
	}
	d.tuned = shown
	return d.radio.Of(shown, width, d.drawRadio)
}

func (p *page) drawRadio(receivers []receiverShown, width int) panel {
	type column = frame.Column[*receiverShown]
	columns := []column{
		{Width: 4, Grow: 6, Cell: func(r *receiverShown) frame.Cell { return in(p.theme.Label, frame.Clean(r.receiver)) }},
		{Width: 10, Grow: 4, Cell: func(r *receiverShown) frame.Cell {
			if !r.tuned {
				return in(p.theme.Muted, "off")
			}
			return in(p.theme.Value, frame.Clean(r.beacon)+" "+say.Frequency(r.frequency))
		}},
		{Width: 14, Cell: func(r *receiverShown) frame.Cell {
			switch {
			case !r.tuned:
				return frame.Cell{}
			case r.identified:
				return in(p.theme.Good, "identified")
			default:
				return in(p.theme.Caution, "not identified")
			}
		}},
		{Width: 10, Rank: 1, Cell: func(r *receiverShown) frame.Cell {
			if !r.course.is {
				return frame.Cell{}
			}
			word := "course"
			if r.held != "" {
				word = r.held
			}
			return in(p.theme.Value, word+" "+say.Degrees(r.course.value))
		}},
	}
	half := (width - 1) / 2
	two := listed(p, half, receivers, columns...)
	left, right := two[:(len(two)+1)/2], two[(len(two)+1)/2:]
	return panel{
		title: "RADIO", least: 2, rows: listed(p, width, receivers, columns...),
		short: frame.Beside(frame.Block(left, half+1, len(left)), frame.Block(right, half, len(left))),
	}
}

// clearedShown is what was said on the radio.
type clearedShown struct {
	list  frame.Same[flight.ClearedNow]
	width int
}

// clearedPanel is the last of each that was said on the radio: weather, clearance, squawk, the frequency to call next.
func (d *drawing) clearedPanel(width int) panel {
	return d.cleared.Of(clearedShown{frame.SameOf(d.Snapshot.Cleared), width}, d.drawCleared)
}

func (p *page) drawCleared(s clearedShown) panel {
	var rows, short []string
	const gap = 2
	for _, c := range s.list.List() {
		for n, row := range p.timed(c.At, c.Line, s.width, p.theme.Value) {
			rows = append(rows, row)
			if last := len(short) - 1; n == 0 && last >= 0 && frame.Width(short[last])+gap+frame.Width(row) <= s.width {
				short[last] += strings.Repeat(" ", gap) + row
			} else {
				short = append(short, row)
			}
		}
	}
	return panel{title: "CLEARED", least: 1, rows: rows, short: short}
}

// alternateShown is an alternate, its figures no finer than they are said.
type alternateShown struct {
	point, name    string
	distanceNM     float64
	heading        int
	minutes, extra float64
	eta            time.Time
	problem        string
}

// alternatesPanel is drawn where there is room for it: its figures change every few seconds.
func (d *drawing) alternatesPanel(width int) panel {
	p := panel{title: "DIVERT", least: 3, width: width}
	if n := len(d.Alternates); n > 0 {
		p.later = 1 + n
	}
	return p
}

func (d *drawing) alternateRowsIn(width int) []string {
	if d.alternates == nil {
		fitted := frame.FitTable(d.alternateColumns(), width)
		d.alternates = &fitted
		d.alternateHead = d.alternates.Head(d.theme.Label, d.theme.Label)
	}
	rows := append(d.list[:0], d.alternateHead)
	for i := range d.Alternates {
		a := &d.Alternates[i]
		rows = append(rows, d.alternateRows.Of(i, alternateShown{
			a.Point, a.Name, say.Tenths(a.DistanceNM), angle.Whole(a.HeadingMagnetic), say.LongMinutes(a.Minutes), say.LongMinutes(a.ExtraMinutes),
			a.ETA, a.Problem,
		}, d.alternates.Row))
	}
	d.list = rows
	return rows
}

func (p *page) alternateColumns() []frame.Column[alternateShown] {
	value := func(text func(alternateShown) string) func(alternateShown) frame.Cell {
		return func(a alternateShown) frame.Cell { return in(p.theme.Value, text(a)) }
	}
	type column = frame.Column[alternateShown]
	return []column{
		{Width: 4, Cell: value(func(a alternateShown) string { return frame.Clean(a.point) })},
		{Width: 3, Grow: 8, Rank: 4, Cell: value(func(a alternateShown) string { return frame.Clean(a.name) })},
		{Head: "nm", Width: 5, Right: true, Rank: 2, Cell: value(func(a alternateShown) string { return say.Tenth(a.distanceNM) })},
		{Head: "HDG", Width: 3, Right: true, Cell: value(func(a alternateShown) string {
			if a.distanceNM < flight.NearNM {
				return say.Unknown
			}
			return say.Degrees(float64(a.heading))
		})},
		{Head: "in", Width: 6, Right: true, Cell: value(func(a alternateShown) string { return say.Long(a.minutes) })},
		{Head: "ETA", Width: 9, Rank: 3, Cell: value(func(a alternateShown) string { return say.Time(a.eta) })},
		{Head: "extra", Width: 8, Grow: 20, Rank: 1, Cell: func(a alternateShown) frame.Cell {
			if a.problem != "" {
				return in(p.theme.Warning, frame.Clean(a.problem))
			}
			return in(p.theme.Value, say.Long(a.extra))
		}, Wordings: func(a alternateShown) []string {
			problem := frame.Clean(a.problem)
			what, _, _ := strings.Cut(problem, ": ")
			if a.extra < 0 {
				return []string{problem, what, say.Long(a.extra)}
			}
			return []string{problem, what}
		}},
	}
}

// reportShown is a report to read out.
type reportShown struct {
	text  string
	width int
}

func (d *drawing) reportPanel(width int) panel {
	if d.Report == nil {
		return panel{}
	}
	return d.report.Of(reportShown{d.Report.Text, width}, d.drawReport)
}

func (p *page) drawReport(s reportShown) panel {
	return panel{title: "REPORT", least: 2, rows: frame.Wrap(frame.Clean(s.text), s.width)}
}

// logPanel is the last entries, the newest first.
func (d *drawing) logPanel(width int) panel {
	const most = 12
	return d.log.Of(d.Entries[max(0, len(d.Entries)-most):], width, d.drawLog)
}

// drawLog lists entries in the order of their numbers, the newest first.
func (p *page) drawLog(entries []flight.Entry, width int) panel {
	newest := slices.Clone(entries)
	slices.Reverse(newest)
	var rows []string
	for i := range newest {
		e := &newest[i]
		text, role := e.Text, p.theme.Value
		if e.Voided {
			text, role = "VOID "+e.Text, p.theme.Done
		}
		rows = append(rows, p.timed(e.Event.T, text, width, role)...)
	}
	return panel{title: "LOG", least: 2, rows: rows}
}

// timed is a text behind its time, in as many rows as it takes.
func (p *page) timed(t time.Time, text string, width int, role theme.Role) (rows []string) {
	const timeWidth = 10
	at := say.Time(t)
	for _, line := range frame.Wrap(frame.Clean(text), max(0, width-timeWidth)) {
		rows = append(rows, p.theme.Label.Render(frame.Fit(at, timeWidth))+role.Render(line))
		at = ""
	}
	return rows
}
