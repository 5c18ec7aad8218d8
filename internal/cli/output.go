package cli

import (
	"bytes"
	"cmp"
	"io"
	"os"
	"unicode"
	"unicode/utf8"

	"golang.org/x/term"
)

// output is the one way to standard output and standard error outside the full screen. It remembers that something could not be written: a
// full disk is no success, whoever wrote. What goes to a person's terminal is cleaned: text from a file, or a file's name, has no
// escape sequences, no control characters and nothing that turns the direction of writing. What goes to a file or a program stays as it is.
type output struct {
	to    io.Writer
	clean bool
	rest  []byte // the beginning of a character whose end is still to come
	err   error
}

func (o *output) Write(p []byte) (int, error) {
	text := p
	if o.clean {
		text = append(o.rest, p...)
		whole := len(text)
		for n := 1; n < utf8.UTFMax && n <= len(text); n++ {
			if last := text[len(text)-n:]; utf8.RuneStart(last[0]) {
				if !utf8.FullRune(last) {
					whole = len(text) - n
				}
				break
			}
		}
		text, o.rest = bytes.Map(harmless, text[:whole]), bytes.Clone(text[whole:])
	}
	_, err := o.to.Write(text)
	if o.err = cmp.Or(o.err, err); err != nil {
		return 0, err
	}
	return len(p), nil
}

// harmless is what is shown for a character, -1 for nothing.
func harmless(r rune) rune {
	switch {
	case r == '\n' || r == '\t':
		return r
	case r == '\f' || r == '\u2028' || r == '\u2029':
		return ' '
	case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
		return -1
	}
	return r
}

// terminalOn is the terminal that a stream of an Env comes from or goes to; nil if that is none.
func terminalOn(stream any) *os.File {
	if out, is := stream.(*output); is {
		stream = out.to
	}
	if file, isFile := stream.(*os.File); isFile && term.IsTerminal(int(file.Fd())) {
		return file
	}
	return nil
}
