package cli

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"sync"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

func newStatus(env Env) *cobra.Command {
	var at string
	var asJSON, hindsight bool
	command := &cobra.Command{
		Use:   "status LOG",
		Short: "Say what was known of a flight at a time",
		Long: "status reads a journal, also one that is being written, and prints what was known at a time: the last entry's, or the one\n" +
			"given with --at. With --hindsight it uses the whole journal, later corrections included.",
		Example: "  legclock status flight.jsonl\n  legclock status flight.jsonl --at 10:42:30 --json",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("for example:\n"+command.Example, "status needs one journal, not %d", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			contents, err := loadJournal(env, args[0])
			if err != nil {
				return err
			}
			moment, err := statusMoment(env, contents, at)
			if err != nil {
				return err
			}
			snapshot, err := knownAt(contents, moment, hindsight)
			if err != nil {
				return err
			}
			if asJSON {
				err = printJSON(env, snapshot)
			} else {
				err = writeStatus(env.Stdout, snapshot)
			}
			return errors.Join(err, damaged(contents))
		},
	}
	command.Flags().StringVar(&at, "at", "", "flight time: 14:05, 14:05:30, RFC 3339, or now")
	command.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	command.Flags().BoolVar(&hindsight, "hindsight", false, "use entries and corrections made later, too")
	return command
}

// loadJournal reads a journal; "-" is standard input. Damage is said, and the rest is used.
func loadJournal(env Env, name string) (contents journal.Contents, err error) {
	if name == "-" {
		contents, err = journal.Read(env.Stdin, "standard input")
	} else {
		contents, err = journal.Load(name)
	}
	if err != nil {
		return contents, notJournal(name, err)
	}
	for _, note := range damageNotes(contents) {
		tell(env, "error", ofFile(name, note))
	}
	return contents, nil
}

// notJournal says why a file can't be read as a journal, and of a plan what it is.
func notJournal(name string, err error) error {
	file, failed := intake.Open(name)
	if failed != nil {
		return usage("", "%v", err)
	}
	defer file.Close()
	const enough = 4096
	head, _ := bufio.NewReaderSize(file, enough).Peek(enough)
	if !beginsPlan(head) {
		return usage("", "%v", err)
	}
	return usage("", "%s is a plan: a journal is what `legclock fly` writes", intake.Quote(name))
}

// beginsPlan reports whether a text has the key that each plan has in its first lines.
func beginsPlan(head []byte) bool {
	return bytes.HasPrefix(head, []byte("plan:")) || bytes.Contains(head, []byte("\nplan:"))
}

// damageNotes says what could not be read of a journal: the first places, and how many more there are.
func damageNotes(contents journal.Contents) (notes []string) {
	const most = 5
	for i, damage := range contents.Damages {
		if i == most {
			notes = append(notes, fmt.Sprintf("%d more places are damaged.", len(contents.Damages)-most))
			break
		}
		notes = append(notes, fmt.Sprintf("Line %d is damaged and left out (%s); the rest is used.", damage.Line, damage.Text))
	}
	if contents.Torn != nil {
		notes = append(notes, "The last line was never finished and is left out.")
	}
	return notes
}

// damaged is how a command ends that has used a journal with damage in it: said, and a fault.
func damaged(contents journal.Contents) error {
	if len(contents.Damages) > 0 || contents.Torn != nil {
		return errFound
	}
	return nil
}

// statusMoment is the flight time that is asked for: without one, that at which the last entry was made.
func statusMoment(env Env, contents journal.Contents, at string) (time.Time, error) {
	state, err := foldAll(contents)
	if err != nil {
		return time.Time{}, err
	}
	first := contents.Header.Plan.OffBlocks
	last := first
	if n := len(contents.Events); n > 0 {
		first = contents.Events[0].T
		last = state.Setting().At(contents.Events[n-1].Rec)
	}
	switch at {
	case "":
		return last, nil
	case "now":
		return state.Setting().At(env.Now().Add(-machineAhead(contents.Events))), nil
	}
	return momentOfFlight(at, first, last)
}

// knownAt is the Snapshot of a journal at a flight time.
func knownAt(contents journal.Contents, moment time.Time, hindsight bool) (flight.Snapshot, error) {
	state, err := foldAll(contents)
	if err != nil {
		return flight.Snapshot{}, err
	}
	if hindsight {
		return state.Hindsight(moment).At(moment), nil
	}
	return state.Until(moment).At(moment), nil
}

func foldAll(contents journal.Contents) (*flight.State, error) {
	s, err := sheetOf(contents.Header)
	if err != nil {
		return nil, usage("", "%v", err)
	}
	state, err := flight.Fold(s, contents.Header.Mode, contents.Events, nil)
	if err != nil {
		return nil, usage("", "%v", err)
	}
	return state, nil
}

// writeStatus prints a Snapshot for a person: the same facts as the JSON, most urgent first.
func writeStatus(w io.Writer, s flight.Snapshot) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s  %s\n", s.Title, say.Moment(s.At), s.Phase)
	for _, notice := range s.Notices {
		fmt.Fprintf(&b, "%s: %s\n", strings.ToUpper(string(notice.Severity)), notice.Text)
	}
	statusLeg(&b, s)
	statusWays(&b, s)
	statusPrompts(&b, s)
	statusTanks(&b, s)
	statusRadio(&b, s.Radio)
	if _, err := io.WriteString(w, b.String()); err != nil {
		return err
	}
	return statusRoute(w, s)
}

func statusLeg(b *strings.Builder, s flight.Snapshot) {
	fmt.Fprintf(b, "\nleg %d of %d, %s to %s\n", s.Leg.Index+1, s.Leg.Count, s.Leg.From, s.Leg.To)
	row := func(label, format string, values ...any) {
		fmt.Fprintf(b, "  %-12s %s\n", label, fmt.Sprintf(format, values...))
	}
	row("clocks", "leg %s, airborne %s", say.Elapsed(s.Clock.LegSeconds), say.Elapsed(s.Clock.AirborneSeconds))
	drift := say.Unknown
	if s.Steer.Drift != nil {
		drift = say.Side(*s.Steer.Drift, 0)
	}
	if s.Steer.NotKnown {
		row("steer", "not known, %s not logged", s.Leg.To)
	} else {
		of := "for"
		if _, ok := s.WayBack(); ok {
			of = "from beside"
		}
		row("steer", "%s magnetic %s track %s, drift %s", say.DegreesOf(s.Steer.HeadingMagnetic), of, say.DegreesOf(s.Steer.TrackMagnetic), drift)
	}
	switch {
	case s.Position == nil:
	case s.Position.FromEndNM != nil:
		row("position", "%s from %s, not logged, ±%s, by %s", say.Miles(*s.Position.FromEndNM), s.Leg.To, say.Miles(s.Position.UncertaintyNM), s.Position.By)
	case s.Position.FlownSinceNM != nil:
		row("position", "%s not logged, %s flown since it was due, by %s", s.Leg.To, say.Miles(*s.Position.FlownSinceNM), s.Position.By)
	default:
		beside := ""
		if off := s.Position.OffTrackNM; off != nil && *off != 0 {
			beside = ", " + say.OffTrack(*off)
		}
		row("position", "%s after %s, %s to go%s, ±%s, by %s", say.Miles(s.Position.AfterNM), s.Leg.From, say.Miles(s.Position.ToGoNM), beside,
			say.Miles(s.Position.UncertaintyNM), s.Position.By)
	}
	row("groundspeed", "%s in use, %s measured, %s planned", say.Knots(s.Groundspeed.UsedKt), say.KnotsOf(s.Groundspeed.MeasuredKt), say.Knots(s.Groundspeed.PlannedKt))
	if s.Groundspeed.Sum != "" {
		row("", "%s", s.Groundspeed.SumSaid())
	}
	row("wind", "%s ±%s, %s", say.Wind(s.Wind.FromTrue, s.Wind.SpeedKt), say.Knots(s.Wind.SigmaKt), s.Wind.Source)
	if s.Next != nil {
		row("next", "%s at %s %s, %s", s.Next.Point, say.Time(s.Next.ETA), say.PlusMinus(s.Next.ETASigmaSeconds), s.Next.Stands())
	}
	if d := s.Destination; d != nil {
		row("arrival", "%s at %s %s", d.Point, say.Time(d.ETA), say.PlusMinus(d.ETASigmaSeconds))
		row("fuel", "%s", d.FuelSaid(&s, 0))
		row("", "%s: %s", say.FinalReserve(s.FinalReserve.Fuel, s.Tanks.Unit), s.FinalReserve.Rule)
		if d.BeforeSunsetMinutes != nil {
			side := "before"
			if *d.BeforeSunsetMinutes < 0 {
				side = "after"
			}
			row("daylight", "%s %s sunset", say.Long(math.Abs(*d.BeforeSunsetMinutes)), side)
		}
	}
}

// statusWays are a diversion, a hold, a point to be crossed at a time or level, the descent, the last bearing check and the alternates.
func statusWays(b *strings.Builder, s flight.Snapshot) {
	row := func(label, format string, values ...any) {
		fmt.Fprintf(b, "  %-12s %s\n", label, fmt.Sprintf(format, values...))
	}
	if d := s.Diversion; d != nil && d.Rejoins {
		row("direct", "to %s since %s, then as planned", d.To, say.Time(d.Since))
	} else if d != nil {
		row("diverting", "to %s since %s", d.To, say.Time(d.Since))
	}
	if h := s.Holding; h != nil {
		row("holding", "%ssince %s, latest departure for the final reserve %s", pointBefore(h.Point), say.Time(h.Since), say.TimeOf(h.LeaveBy))
	}
	for _, h := range s.Holds {
		row("held", "%s%s to %s, %s", pointBefore(h.Point), say.Time(h.From), say.Time(h.To), say.AmountIn(h.Fuel, s.Tanks.Unit))
	}
	if crossing := s.Crossing.Said(s.Descent); crossing != "" {
		row("cross", "%s", crossing)
	}
	if d := s.Descent; d != nil && d.NeededFtMin != nil {
		row("descent", "%s from here for %s at %s", say.FeetPerMinute(*d.NeededFtMin), say.Feet(d.ToFt), d.Point)
	} else if d != nil {
		row("descent", "top of descent %s, %s before %s, from %s to %s", say.Time(d.LeaveAt), say.Miles(d.BeforeNM), d.Point, say.Feet(d.FromFt), say.Feet(d.ToFt))
	}
	if c := s.Bearing; c != nil && c.Result != nil {
		row("bearing", "%s: %s, by the wind in use %s", c.Beacon, c.Result.Sum, milesOf(c.Result.DistanceInWindNM))
	}
	if o := s.Offer; o != nil {
		what := string(o.Act)
		if o.Act == flight.Passing {
			what = "passed " + o.Point
		}
		row("feed", "%s at %s", what, say.Time(o.At))
	}
	for _, way := range s.Alternates {
		text := fmt.Sprintf("%s %s, %s, %s, %s", say.Degrees(way.HeadingMagnetic), say.Miles(way.DistanceNM), say.Long(way.Minutes), say.Time(way.ETA),
			way.FuelSaid(&s))
		switch {
		case way.Problem != "":
			text = way.Problem
		case way.DistanceNM < flight.NearNM:
			text = "you are there, " + way.FuelSaid(&s)
		}
		row("to "+way.Point, "%s", text)
	}
}

// pointBefore is the point of a hold with a blank behind it; empty where none was named.
func pointBefore(point string) string {
	if point == "" {
		return ""
	}
	return point + " "
}

func milesOf(distanceNM *float64) string {
	if distanceNM == nil {
		return say.Unknown
	}
	return say.Miles(*distanceNM)
}

func statusPrompts(b *strings.Builder, s flight.Snapshot) {
	fmt.Fprintf(b, "\nprompts\n")
	for _, prompt := range s.Prompts {
		if !prompt.Open() {
			continue
		}
		fmt.Fprintf(b, "  %s  %-6s  %s\n", say.Time(prompt.Due), prompt.State, prompt.Text)
	}
}

func statusRadio(b *strings.Builder, receivers []flight.ReceiverNow) {
	fmt.Fprintf(b, "\nradio\n")
	for _, receiver := range receivers {
		fmt.Fprintf(b, "  %-5s", receiver.Receiver)
		if tuned := receiver.Tuned; tuned != nil {
			identified := "not identified"
			if receiver.Identified {
				identified = "identified"
			}
			fmt.Fprintf(b, " %s %s %s", tuned.Beacon, say.Frequency(tuned.Frequency), identified)
		}
		if next := receiver.Next; next != nil && next.Due != nil {
			fmt.Fprintf(b, "  next %s %s at %s", next.Beacon, say.Frequency(next.Frequency), say.Time(*next.Due))
		}
		b.WriteByte('\n')
	}
}

func statusRoute(w io.Writer, s flight.Snapshot) error {
	fmt.Fprintln(w)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "point\tplanned\trevised\tactual\tdifference")
	for _, point := range s.Route {
		name := point.Point
		if point.Checkpoint {
			name = "  " + name
		}
		actual := say.TimeOf(point.Actual)
		switch {
		case point.Left != nil:
			actual = "left " + say.Time(point.Left.To)
		case point.Diverted && point.Actual == nil:
			actual = "left out"
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", name, say.Time(point.Planned), say.TimeOf(point.Revised), actual,
			say.SignedOf(point.DifferenceSeconds))
	}
	return table.Flush()
}

// statusTanks prints what is in the tanks, how long it lasts by every witness, and by when the alternates have to be turned to.
func statusTanks(b *strings.Builder, s flight.Snapshot) {
	t, unit := s.Tanks, say.Unit(s.Tanks.Unit)
	fmt.Fprintf(b, "\ntanks: on %s, %s %s/h\n", t.Selected, say.Amount(t.FlowPerHour), unit)
	nameWidth := 8
	for _, tank := range t.Tanks {
		nameWidth = max(nameWidth, say.Cells(tank.Name))
	}
	for _, tank := range t.Tanks {
		fmt.Fprintf(b, "  %s%*s %5s of %.0f %s", tank.Name, nameWidth-say.Cells(tank.Name), "", say.Amount(tank.Quantity), tank.Capacity, unit)
		if tank.MassKg != nil {
			fmt.Fprintf(b, ", %s", say.Mass(*tank.MassKg, t.Unit))
		}
		if tank.Gauge != nil {
			fmt.Fprintf(b, ", gauge %s at %s", say.Amount(*tank.Gauge), say.TimeOf(tank.GaugeAt))
		}
		b.WriteByte('\n')
	}
	row := func(label, format string, values ...any) {
		fmt.Fprintf(b, "  %-10s %s\n", label, fmt.Sprintf(format, values...))
	}
	statusBalance(t, unit, row)
	e := t.Endurance
	endurance := say.Long(e.PlanMinutes) + " by plan"
	if e.MeterMinutes != nil {
		endurance += ", " + say.Long(*e.MeterMinutes) + " by flow meter"
	}
	if e.GaugesMinutes != nil {
		endurance += fmt.Sprintf(", %s ±%.0f min by gauges", say.Long(*e.GaugesMinutes), *e.GaugesSigmaMinutes)
	}
	row("endurance", "%s (%s)", say.Endurance(t.EnduranceMinutes, e.At), endurance)
	if burn := t.Burn; burn != nil {
		certain := ""
		if !burn.Counts {
			certain = ", too uncertain to count"
		}
		row("burn", "%s ±%s %s/h by %d gauge readings, %s calculated%s", say.Amount(burn.FlowPerHour), say.Amount(burn.SigmaPerHour), unit, burn.Readings,
			say.Amount(burn.ReckonedPerHour), certain)
	}
	if d := s.Destination; d != nil {
		row("on arrival", "%s ±%s %s usable", say.Amount(d.Fuel), say.Amount(d.FuelSigma), unit)
	}
	if t.ReserveTouchedAt != nil {
		row("reserve", "only that is left at %s", say.TimeOf(t.ReserveTouchedAt))
	}
	for _, latest := range t.LatestDivert {
		row("alternate", "%s", latest.Text)
	}
}

// statusBalance prints how far the tanks are apart and when to change.
func statusBalance(t flight.TanksNow, unit string, row func(label, format string, values ...any)) {
	if t.MaxImbalance != nil {
		row("imbalance", "%s of %s %s", say.Amount(t.Imbalance), say.Amount(*t.MaxImbalance), unit)
	}
	if t.NextChange != nil {
		row("change", "to %s at %s, imbalance then %s %s", t.NextChange.To, say.Time(t.NextChange.At), say.Amount(t.NextChange.ImbalanceThen), unit)
	}
	if t.LimitAt != nil {
		row("limit", "at %s if nothing is changed", say.TimeOf(t.LimitAt))
	}
}

// sheetOf computes the sheet of a journal's plan.
func sheetOf(header journal.Header) (*sheet.Sheet, error) {
	if err := header.Plan.Sound(); err != nil {
		return nil, fmt.Errorf("the plan in the journal can't be flown: %w", err)
	}
	s, problems := sheet.Compute(header.Plan)
	if s == nil {
		return nil, fmt.Errorf("the plan in the journal is not complete: %v", problems)
	}
	return s, nil
}

// mostSheets is how many sheets are kept: a folder of logs has few plans, or too many to keep.
const mostSheets = 32

// sheets are computed once for the journals of one plan, and so are the flights that they begin with. They may be asked for from many goroutines at
// once.
type sheets struct {
	mutex sync.Mutex
	made  map[sheetKey]begins
}

// begins is a sheet, and the flight by it when nothing has been recorded.
type begins struct {
	sheet *sheet.Sheet
	start *flight.State
}

// sheetKey is a plan, by its checksum, and how it is flown.
type sheetKey struct {
	planSHA256 string
	mode       flight.Mode
}

// of is what a journal begins with.
func (k *sheets) of(header journal.Header) (begins, error) {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	key := sheetKey{header.PlanSHA256, header.Mode}
	if made, known := k.made[key]; known {
		return made, nil
	}
	s, err := sheetOf(header)
	if err != nil {
		return begins{}, err
	}
	if k.made == nil || len(k.made) >= mostSheets {
		k.made = map[sheetKey]begins{}
	}
	made := begins{s, flight.New(s, header.Mode)}
	k.made[key] = made
	return made, nil
}
