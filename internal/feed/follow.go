package feed

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"net"
	"os"
	"time"
)

// State is how a live feed stands.
type State string

// The states of a live feed.
const (
	Connecting State = "connecting"
	Receiving  State = "receiving"   // positions
	NoPosition State = "no position" // sentences come, but the receiver has no position
	Silent     State = "silent"      // nothing has come for a while
	Lost       State = "lost"        // it could not be opened or has broken off; it is tried again
	Ended      State = "ended"       // a file or standard input came to its end
)

// Reading is what a live feed delivers: a position, or a change of how it stands.
type Reading struct {
	Sample *Sample // nil: only the state changed
	State  State
	Text   string // why it stands so, for a person; may be empty
}

// Following is how a source is followed. Now and Start are required.
type Following struct {
	Source Source
	Stdin  io.Reader        // for the source "-"
	Now    func() time.Time // wall clock: only deadlines are reckoned from it
	Start  func(func())     // runs work in a goroutine, and catches its panic

	silentAfter, retryFirst, retryLast time.Duration // zero: as below
}

// How long a feed may be silent before that is said, and how long it waits before it tries again: at first, and at most.
const (
	silentAfter = 10 * time.Second
	retryFirst  = time.Second
	retryLast   = 30 * time.Second
)

// Follow begins to follow the source and returns what it delivers. The channel is closed when the context ends, or a file or standard
// input does. A source that breaks off is opened again. Nothing wakes while nothing comes but once, to say that it is silent.
//
// A sample's Time is what the receiver says; a flight whose clock runs otherwise counts it as of when it came.
func (f Following) Follow(ctx context.Context) <-chan Reading {
	const ahead = 16 // readings that may wait
	f.silentAfter, f.retryFirst, f.retryLast = orElse(f.silentAfter, silentAfter), orElse(f.retryFirst, retryFirst), orElse(f.retryLast, retryLast)
	follower := follower{Following: f, ctx: ctx, out: make(chan Reading, ahead)}
	f.Start(func() {
		defer close(follower.out)
		follower.run()
	})
	return follower.out
}

func orElse(given, usual time.Duration) time.Duration {
	if given > 0 {
		return given
	}
	return usual
}

// follower is a source being followed. It belongs to one goroutine.
type follower struct {
	Following
	ctx context.Context
	out chan Reading

	state State
	heard bool      // something came since it was opened
	vain  int       // lines in a row without a sentence that could be used
	last  time.Time // of a recording's sample delivered last
}

// run opens the source again and again.
func (f *follower) run() {
	wait := f.retryFirst
	for f.ctx.Err() == nil {
		f.stands(Connecting, "")
		source, err := f.Source.open(f.ctx, f.Stdin)
		f.heard = false
		if err == nil {
			err = f.read(source)
		}
		switch {
		case f.ctx.Err() != nil:
			return
		case err == nil && source.once:
			f.stands(Ended, "")
			return
		case f.heard:
			wait = f.retryFirst
		}
		f.stands(Lost, reason(err))
		f.sleep(wait)
		wait = min(2*wait, f.retryLast)
	}
}

// read delivers what comes until it ends. The error is nil at the end of a source.
func (f *follower) read(source stream) error {
	defer source.Close()
	defer context.AfterFunc(f.ctx, func() { source.Close() })()
	input := newLines(&patient{follower: f, stream: source})
	var assembler Assembler
	for f.ctx.Err() == nil {
		line, err := input.next()
		if err != nil && !errors.Is(err, errLongLine) {
			f.deliver(assembler.Flush(), source.paced)
			return unlessEnd(err)
		}
		var message Message
		if err == nil {
			message, err = ParseMessage(line)
		}
		if f.judge(message, err); err == nil {
			f.deliver(assembler.Add(message), source.paced)
		}
	}
	return f.ctx.Err()
}

// judge says when what comes is of no use.
func (f *follower) judge(message Message, err error) {
	const many = 20
	if err == nil {
		f.vain = 0
		if message.Lost {
			f.stands(NoPosition, "the receiver has none")
		}
		return
	}
	if f.vain++; f.vain == many {
		f.stands(NoPosition, "no sentence can be made out, the last line: "+err.Error())
	}
}

// deliver hands samples over; those of a recording at the pace of their times, gaps shortened.
func (f *follower) deliver(samples []Sample, paced bool) {
	const longestGap = 10 * time.Second
	for i := range samples {
		if paced && !samples[i].Time.IsZero() {
			if !f.last.IsZero() {
				f.sleep(min(samples[i].Time.Sub(f.last), longestGap))
			}
			f.last = samples[i].Time
		}
		f.state = Receiving
		f.send(Reading{Sample: &samples[i], State: Receiving})
	}
}

// stands says how the feed stands, once.
func (f *follower) stands(state State, text string) {
	if state != f.state {
		f.state = state
		f.send(Reading{State: state, Text: text})
	}
}

func (f *follower) send(r Reading) {
	select {
	case f.out <- r:
	case <-f.ctx.Done():
	}
}

func (f *follower) sleep(long time.Duration) {
	if long <= 0 {
		return
	}
	timer := time.NewTimer(long)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-f.ctx.Done():
	}
}

// patient reads from a stream and says when it falls silent. It gives it one deadline after each read; once that has passed it waits
// without one.
type patient struct {
	follower *follower
	stream   stream
}

func (p *patient) Read(buffer []byte) (int, error) {
	deadlines, ok := p.stream.ReadCloser.(interface{ SetReadDeadline(time.Time) error })
	if ok {
		ok = deadlines.SetReadDeadline(p.follower.Now().Add(p.follower.silentAfter)) == nil
	}
	n, err := p.stream.Read(buffer)
	if ok && errors.Is(err, os.ErrDeadlineExceeded) {
		p.follower.stands(Silent, "")
		if err = deadlines.SetReadDeadline(time.Time{}); err == nil {
			n, err = p.stream.Read(buffer)
		}
	}
	if n > 0 {
		p.follower.heard = true
	}
	return n, err
}

// reason is the innermost part of an error that a person can do something about.
func reason(err error) string {
	var operation *net.OpError
	var path *fs.PathError
	var system *os.SyscallError
	switch {
	case err == nil:
		return "the other side ended it"
	case errors.As(err, &system):
		return system.Err.Error()
	case errors.As(err, &path):
		return path.Err.Error()
	case errors.As(err, &operation):
		return operation.Err.Error()
	}
	return err.Error()
}
