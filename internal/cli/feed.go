package cli

import (
	"context"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/tui"
	"example.com/legclock/tui/terminal"
)

// following is a live feed of positions beside a flight.
type following struct {
	source feed.Source
	env    Env
	clock  *clock.Clock
	keeper *feed.Keeper
	state  feed.State // as it was said last
}

// newFollowing prepares to follow the feed that a person named; nil without one.
func newFollowing(env Env, source *feed.Source, c *clock.Clock, route *sheet.Route) *following {
	if source == nil {
		return nil
	}
	return &following{source: *source, env: env, clock: c, keeper: feed.NewKeeper(route, feed.UsualThinning)}
}

// start follows the feed until the context ends: positions that are worth keeping are handed over to be recorded, and what becomes of the
// feed is said. A position counts from when it came, by the flight's clock, whatever the receiver's own says.
func (f *following) start(ctx context.Context, program *terminal.Program) {
	readings := feed.Following{Source: f.source, Stdin: f.env.Stdin, Now: f.env.Now, Start: program.Go}.Follow(ctx)
	program.Go(func() {
		if where := f.source.Listens(); where != "" {
			program.Send(tui.Said{Text: "listening for the feed on " + where})
		}
		for reading := range readings {
			f.stands(program, reading)
			if reading.Sample == nil {
				continue
			}
			sample := *reading.Sample
			sample.Time = f.clock.Now()
			before := f.keeper.Dropped()
			kept := f.keeper.Add(sample)
			if dropped := f.keeper.Dropped(); dropped > before && (dropped < 10 || dropped%10 == 0) {
				program.Send(tui.Said{Text: say.Counted(dropped, "position", "positions") + " of the feed dropped: no aeroplane could have got there"})
			}
			for _, kept := range kept {
				program.Send(tui.Act{Event: feed.PositionEvent(kept)})
			}
		}
	})
}

// stands says how the feed stands, once for each change that matters: while a lost one is tried again it stays lost.
func (f *following) stands(program *terminal.Program, reading feed.Reading) {
	if reading.State == f.state || reading.State == feed.Connecting {
		return
	}
	before := f.state
	f.state = reading.State
	message := tui.Feed{Positions: reading.State == feed.Receiving}
	const meanwhile = "; dead reckoning meanwhile"
	switch reading.State {
	case feed.Receiving:
		message.Text = "the feed has positions: " + f.source.String()
		if before != "" {
			message.Text = "the feed is back"
		}
	case feed.NoPosition:
		message.Text = "the feed has no position, " + reading.Text + meanwhile
	case feed.Silent:
		message.Text = "the feed is silent" + meanwhile
	case feed.Lost:
		message.Text = "the feed is lost: " + reading.Text + "; dead reckoning, and trying again"
	case feed.Ended:
		message.Text = "the feed has ended; dead reckoning from here"
	}
	program.Send(message)
}
