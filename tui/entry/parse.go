package entry

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
)

// Parse reads one line: an act, its values and its time. In the event a zero T means now; N, Rec and By are not set. The
// Snapshot gives the names that may be shortened, the first prompt, and now.
func Parse(line string, s flight.Snapshot) (flight.Event, error) {
	return parse(line, s, times{s.At, s.At})
}

func parse(line string, s flight.Snapshot, c times) (flight.Event, error) {
	tokens := mergeVerb(tokenise(line))
	if len(tokens) == 0 {
		return flight.Event{}, errNothing
	}
	form, err := formOf(tokens[0].text)
	if err != nil {
		return flight.Event{}, err
	}
	event, err := form.parse(tokens[1:], s, c)
	if err != nil {
		return flight.Event{}, fmt.Errorf("%s: %w; write %q", form.Verb, err, form.ExampleIn(s))
	}
	return event, nil
}

func (f Form) parse(tokens []token, s flight.Snapshot, c times) (flight.Event, error) {
	if f.whole != nil {
		return f.whole(tokens, s, c)
	}
	if f.text {
		return f.fill(tokens, s, time.Time{})
	}
	return withTime(c, tokens, func(rest []token, at time.Time) (flight.Event, error) { return f.fill(rest, s, at) })
}

// timeBeforeTheEnd is a word that can be nothing but a time of day, and after which others come; empty: there is none.
func timeBeforeTheEnd(tokens []token) string {
	for i, t := range tokens[:max(len(tokens)-1, 0)] {
		if !t.quoted && looksLikeTime(strings.ToLower(t.text)) && !tokens[i+1].is("ago") {
			return t.text
		}
	}
	return ""
}

func (f Form) fill(tokens []token, s flight.Snapshot, at time.Time) (flight.Event, error) {
	event := flight.Event{Act: f.act}
	r := &reader{tokens: tokens, names: namesOf(s), qnhHPa: s.Altimetry.QNH, fuelUnit: s.Tanks.Unit}
	if f.read != nil {
		f.read(r, &event)
	}
	if err := r.end(); err != nil {
		return flight.Event{}, err
	}
	event.T = at
	return event, nil
}

// mergeVerb makes "off blocks", "on blocks", "off track" and "leave hold" one word.
func mergeVerb(tokens []token) []token {
	if len(tokens) < 2 || tokens[0].quoted || tokens[1].quoted {
		return tokens
	}
	pair := strings.ToLower(tokens[0].text + "-" + tokens[1].text)
	switch pair {
	case "off-blocks", "on-blocks", "off-track", "leave-hold":
		return append([]token{{text: pair}}, tokens[2:]...)
	default:
		return tokens
	}
}

// formOf finds the form of a verb, or of the beginning of one that fits no other.
func formOf(verb string) (Form, error) {
	var begins []Form
	for _, form := range Forms() {
		all := append([]string{form.Verb}, form.also...)
		if slices.ContainsFunc(all, func(v string) bool { return strings.EqualFold(v, verb) }) {
			return form, nil
		}
		if slices.ContainsFunc(all, func(v string) bool { return hasPrefixFold(v, verb) }) {
			begins = append(begins, form)
		}
	}
	switch len(begins) {
	case 1:
		return begins[0], nil
	case 0:
		if near := nearest(verb); near != "" {
			return Form{}, fmt.Errorf("%q is not an entry; the nearest is %q", verb, near)
		}
		return Form{}, fmt.Errorf("%q is not an entry: esc, then ? lists them", verb)
	default:
		return Form{}, fmt.Errorf("%q could be %s", verb, listOr(begins))
	}
}

func listOr(forms []Form) string {
	verbs := make([]string, len(forms))
	for i, form := range forms {
		verbs[i] = form.Verb
	}
	last := len(verbs) - 1
	return strings.Join(verbs[:last], ", ") + " or " + verbs[last]
}

// nearest is the verb that takes the fewest changes of letters; empty if that is more than half of them.
func nearest(typed string) string {
	best, fewest := "", (utf8.RuneCountInString(typed)+1)/2+1
	for _, form := range Forms() {
		for _, verb := range append([]string{form.Verb}, form.also...) {
			if d := distance([]rune(strings.ToLower(typed)), []rune(verb)); d < fewest {
				best, fewest = form.Verb, d
			}
		}
	}
	return best
}

// distance is the number of letters to change, insert or leave out to get from a to b.
func distance(a, b []rune) int {
	const enough = 64 // nobody mistypes a verb at that length
	a = a[:min(len(a), enough)]
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		diagonal := row[0]
		row[0] = i + 1
		for j := range b {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// token is a word of a line, or what stood in double quotes.
type token struct {
	text   string
	quoted bool
}

func (t token) is(word string) bool { return !t.quoted && strings.EqualFold(t.text, word) }

// tokenise splits a line at blanks outside double quotes. A quote that is never closed runs to the end.
func tokenise(line string) []token {
	var tokens []token
	for {
		line = strings.TrimLeftFunc(line, unicode.IsSpace)
		if line == "" {
			return tokens
		}
		if line[0] == '"' {
			text, rest, _ := strings.Cut(line[1:], `"`)
			tokens = append(tokens, token{text, true})
			line = rest
			continue
		}
		end := strings.IndexFunc(line, func(r rune) bool { return unicode.IsSpace(r) || r == '"' })
		if end < 0 {
			end = len(line)
		}
		tokens = append(tokens, token{line[:end], false})
		line = line[end:]
	}
}

func join(tokens []token) string {
	texts := make([]string, len(tokens))
	for i, t := range tokens {
		texts[i] = t.text
	}
	return strings.Join(texts, " ")
}

// quote writes a name so that tokenise gives it back as one token.
func quote(name string) string {
	plain := name != "" && !strings.ContainsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || r == '"' })
	if plain && !looksLikeTime(strings.ToLower(name)) {
		return name
	}
	return `"` + strings.ReplaceAll(name, `"`, "'") + `"`
}

// reader walks through the words after a verb. Its first error stays and makes the rest read nothing, so that a form need
// ask only at its end.
type reader struct {
	tokens   []token
	names    names
	qnhHPa   float64 // by which a flight level is an altitude
	fuelUnit string  // the aircraft's
	err      error
}

func (r *reader) fail(format string, values ...any) {
	if r.err == nil {
		r.err = fmt.Errorf(format, values...)
	}
}

func (r *reader) more() bool { return r.err == nil && len(r.tokens) > 0 }

// next takes the next word; what says what it should be.
func (r *reader) next(what string) token {
	if r.err != nil {
		return token{}
	}
	if len(r.tokens) == 0 {
		r.fail("%s is missing", what)
		return token{}
	}
	first := r.tokens[0]
	r.tokens = r.tokens[1:]
	return first
}

// word takes the next word if it is one of the given, and returns the one it is.
func (r *reader) word(words ...string) string {
	if !r.more() {
		return ""
	}
	for _, word := range words {
		if r.tokens[0].is(word) {
			r.tokens = r.tokens[1:]
			return word
		}
	}
	return ""
}

// rest takes all that is left as it was typed.
func (r *reader) rest() string {
	text := join(r.tokens)
	r.tokens = nil
	return text
}

// text is the rest where there must be some.
func (r *reader) text() string {
	text := r.rest()
	if text == "" {
		r.fail("the text is missing")
	}
	return text
}

// figure takes a number within the range that figures of a name have.
func (r *reader) figure(what, name string) *float64 {
	within := flight.RangeOf(name)
	return r.number(what, within.Low, within.High)
}

// within reads a number within the range that figures of a name have.
func (r *reader) within(what, text, name string) *float64 {
	within := flight.RangeOf(name)
	return r.bounded(what, text, within.Low, within.High)
}

// altitude takes an altitude in feet, or a flight level.
func (r *reader) altitude() *float64 {
	text := r.next("the altitude").text
	if r.err != nil {
		return nil
	}
	if hasPrefixFold(text, "f") {
		level, err := say.ParseLevel(text)
		if err != nil {
			r.fail("%w", err)
			return nil
		}
		text = say.SayNumber(math.Round(level.AltitudeFt(r.qnhHPa)), say.AllDecimals)
	}
	r.word("ft", "feet")
	return r.within("the altitude", text, "altitude")
}

// flow takes a flow an hour, in the aircraft's unit or in another that measures volumes.
func (r *reader) flow() *float64 {
	text := r.next("the flow").text
	if r.more() && !r.tokens[0].is("power") {
		text += " " + r.next("the unit").text
	}
	if r.err != nil {
		return nil
	}
	if _, err := say.ParseNumber(text); err == nil {
		return r.within("the flow", text, "flow")
	}
	flow, err := say.ParseFlow(text)
	if err != nil {
		r.fail("the flow: %w", err)
		return nil
	}
	own, err := fuel.ParseUnit(r.fuelUnit)
	said, measures := volumes[flow.Unit]
	if err != nil || !measures {
		r.fail("the flow: give it in %s/h", own.Short())
		return nil
	}
	if said != own {
		flow.Amount = own.FromLitres(said.Litres(flow.Amount))
	}
	return r.within("the flow", say.SayNumber(flow.Amount, 2), "flow")
}

// volumes are the units of fuel that measure volumes, as say names them.
var volumes = map[string]fuel.Unit{"l": fuel.Litre, "gal": fuel.USGallon, "imp gal": fuel.ImperialGallon}

// number takes a number from low to high.
func (r *reader) number(what string, low, high float64) *float64 {
	text := r.next(what).text
	if r.err != nil {
		return nil
	}
	return r.bounded(what, text, low, high)
}

func (r *reader) bounded(what, text string, low, high float64) *float64 {
	value, err := say.ParseNumber(text)
	switch {
	case err != nil:
		r.fail("%s: %w", what, err)
		return nil
	case value < low || value > high:
		r.fail("%s %s is outside %s to %s", what, text, say.SayNumber(low, say.AllDecimals), say.SayNumber(high, say.AllDecimals))
		return nil
	}
	return &value
}

// side takes "left" or "right" and gives the number its sign: right positive.
func (r *reader) side(value *float64) *float64 {
	side := r.word("left", "right", "l", "r")
	switch {
	case r.err != nil || value == nil:
		return nil
	case side == "" && *value != 0:
		r.fail(`after %s must stand "left" or "right" of track`, say.SayNumber(*value, say.AllDecimals))
		return nil
	case strings.HasPrefix(side, "l"):
		return new(-*value + 0) // never minus nought
	default:
		return value
	}
}

// name takes a name of the kind: the longest run of words that is one, else the next word as it stands.
func (r *reader) name(what string, known []string) string {
	if !r.more() {
		return r.next(what).text
	}
	if r.tokens[0].quoted {
		return match(r.next(what).text, known, false)
	}
	for words := len(r.tokens); words >= 1; words-- {
		typed := join(r.tokens[:words])
		for _, candidate := range known {
			if strings.EqualFold(typed, candidate) {
				r.tokens = r.tokens[words:]
				return candidate
			}
		}
	}
	return match(r.next(what).text, known, true)
}

// match gives a typed name the capitals of the known one, or completes it where only one begins so.
func match(typed string, known []string, shortened bool) string {
	var found []string
	for _, candidate := range known {
		if strings.EqualFold(typed, candidate) {
			return candidate
		}
		if shortened && hasPrefixFold(candidate, typed) && !slices.Contains(found, candidate) {
			found = append(found, candidate)
		}
	}
	if len(found) == 1 {
		return found[0]
	}
	return typed
}

func hasPrefixFold(text, prefix string) bool {
	return len(text) >= len(prefix) && strings.EqualFold(text[:len(prefix)], prefix)
}

// position takes all that is left as a place.
func (r *reader) position() *earth.Position {
	text := join(r.tokens)
	if r.err != nil {
		return nil
	}
	r.tokens = nil
	at, err := earth.ParsePosition(text)
	if err != nil {
		r.fail("%w", err)
		return nil
	}
	return &at
}

// end is the error so far, or what is wrong with words left over.
func (r *reader) end() error {
	if r.more() {
		return fmt.Errorf("%q is one word too many", join(r.tokens))
	}
	return r.err
}

var errNothing = errors.New("nothing was typed")

// names are what a line may name.
type names struct {
	points, beacons, receivers, tanks []string
	ahead                             map[string]int // the legs of the plan that end at the points at which it can be taken up
	prompts                           []flight.Prompt
}

func namesOf(s flight.Snapshot) names {
	var n names
	add := func(list *[]string, name string) {
		if name != "" && !slices.Contains(*list, name) {
			*list = append(*list, name)
		}
	}
	for _, point := range s.Route {
		if point.Actual == nil && point.Leg >= s.Leg.Index { // what lies ahead comes first
			add(&n.points, point.Point)
		}
	}
	for _, point := range s.Route {
		add(&n.points, point.Point)
	}
	for _, alternate := range s.Alternates {
		add(&n.points, alternate.Point)
	}
	n.ahead = map[string]int{}
	for _, way := range s.WaysOut.All() {
		add(&n.points, way.Point)
		if way.Rejoin != nil {
			n.ahead[way.Point] = *way.Rejoin
		}
	}
	for _, receiver := range s.Radio {
		add(&n.receivers, receiver.Receiver)
		if receiver.Tuned != nil {
			add(&n.beacons, receiver.Tuned.Beacon)
		}
		if receiver.Next != nil {
			add(&n.beacons, receiver.Next.Beacon)
		}
	}
	for _, point := range n.points {
		add(&n.beacons, point)
	}
	for _, tank := range s.Tanks.Tanks {
		add(&n.tanks, tank.Name)
	}
	for _, p := range s.Prompts {
		if open(p) {
			n.prompts = append(n.prompts, p)
		}
	}
	return n
}

func open(p flight.Prompt) bool {
	return p.Open()
}

// longestAgo bounds "… ago": no flight of this kind is longer.
const longestAgo = 24 * time.Hour

// times is what a time in a line counts from: "ago" from now, a time of day on the day that puts it nearest to near.
type times struct{ now, near time.Time }

// When reads a line that is nothing but a time: "10:42", "10:42:30", "1042", "2 min ago", "90 s ago", "now".
func When(line string, now time.Time) (time.Time, error) {
	tokens := tokenise(line)
	return withTime(times{now, now}, tokens, func(rest []token, at time.Time) (time.Time, error) {
		switch {
		case len(rest) > 0 || len(tokens) == 0:
			return time.Time{}, fmt.Errorf(`%q is not a time: write "10:42", "10:42:30", "2 min ago" or "90 s ago"`, strings.TrimSpace(line))
		case at.IsZero():
			return now, nil
		default:
			return at, nil
		}
	})
}

// withTime hands the words before the time that a line ends in, and that time, to what reads the rest; without one it is zero. Four figures could be
// anything: they are the time where the line can't be read otherwise.
func withTime[Read any](c times, tokens []token, read func(rest []token, at time.Time) (Read, error)) (Read, error) {
	rest, at, err := c.split(tokens)
	if err != nil {
		var none Read
		return none, err
	}
	event, err := read(rest, at)
	if last := len(tokens) - 1; err != nil && last >= 0 && isFourFigures(tokens[last]) {
		if at, bad := c.timeOfDay(tokens[last].text); bad == nil {
			if event, again := read(c.before(tokens, last), at); again == nil {
				return event, nil
			}
		}
	}
	if early := timeBeforeTheEnd(tokens); err != nil && early != "" {
		err = fmt.Errorf("the time, %s, has to stand last", early)
	}
	return event, err
}

// before are the words before a time, without the word that leads to it.
func (c times) before(tokens []token, time int) []token {
	if time > 0 && tokens[time-1].is("at") {
		time--
	}
	return tokens[:time]
}

// isFourFigures reports whether a word can be a time of day without its colon.
func isFourFigures(t token) bool {
	figures := strings.TrimSuffix(strings.ToLower(t.text), "z")
	return !t.quoted && len(figures) == 4 && strings.Trim(figures, "0123456789") == ""
}

// split takes a time off the end of a line; without one the time is zero.
func (c times) split(tokens []token) (rest []token, at time.Time, err error) {
	if len(tokens) == 0 || tokens[len(tokens)-1].quoted {
		return tokens, time.Time{}, nil
	}
	rest, last := tokens[:len(tokens)-1], strings.ToLower(tokens[len(tokens)-1].text)
	switch {
	case last == "now":
		return rest, time.Time{}, nil
	case last == "ago":
		return c.ago(rest)
	case looksLikeTime(last):
		at, err = c.timeOfDay(last)
		return c.before(tokens, len(tokens)-1), at, err
	default:
		return tokens, time.Time{}, nil
	}
}

// endsInTime reports whether a last word could be taken for the time of the act.
func endsInTime(word string) bool {
	return word == "now" || word == "ago" || looksLikeTime(word) || isFourFigures(token{text: word})
}

// ago takes "2 min", "2min", "90 s" or "1:30" off the end.
func (c times) ago(tokens []token) (rest []token, at time.Time, err error) {
	for words := min(2, len(tokens)); words >= 1; words-- {
		cut := len(tokens) - words
		if span, ok := parseSpan(tokens[cut:]); ok {
			if span > longestAgo {
				return nil, time.Time{}, fmt.Errorf("%s ago is more than a day: give the time of day", join(tokens[cut:]))
			}
			return tokens[:cut], c.now.Add(-span), nil
		}
	}
	return nil, time.Time{}, fmt.Errorf(`"ago" needs a span before it: write "2 min ago", "90 s ago" or "1:30 ago"`)
}

// parseSpan reads a span that says its unit: bare figures before "ago" could be anything.
func parseSpan(tokens []token) (time.Duration, bool) {
	text := join(tokens)
	if !strings.ContainsFunc(text, func(r rune) bool { return r == ':' || unicode.IsLetter(r) }) {
		return 0, false
	}
	minutes, err := say.ParseSpan(text)
	return time.Duration(minutes * float64(time.Minute)).Round(time.Millisecond), err == nil
}

func looksLikeTime(text string) bool {
	hour, _, ok := strings.Cut(text, ":")
	return ok && hour != "" && strings.Trim(text, "0123456789:z") == ""
}

// timeOfDay reads "10:42", "10:42:30", each with or without Z, on the day that puts it nearest.
func (c times) timeOfDay(text string) (time.Time, error) {
	if at, err := say.ParseTimeOfDay(text); err == nil && at.HourSaid {
		return at.Near(c.near), nil
	}
	return time.Time{}, fmt.Errorf(`%q is not a time of day: write "10:42", "10:42:30" or "1042", UTC`, text)
}
