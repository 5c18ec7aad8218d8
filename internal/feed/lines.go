package feed

import (
	"bufio"
	"errors"
	"fmt"
	"io"
)

// maxLine is the longest line that is read, in bytes: a sentence with whatever a logger puts before it.
const maxLine = 4 * MaxSentence

// errLongLine is the error of one line that is too long; the next can be read.
var errLongLine = fmt.Errorf("a line of more than %d bytes", maxLine)

// lines reads lines of bounded length.
type lines struct {
	reader *bufio.Reader
	number int // of the line read last, from 1
}

func newLines(r io.Reader) *lines { return &lines{reader: bufio.NewReaderSize(r, maxLine)} }

// next is the next line with its end. Any error but errLongLine is the reader's, and nothing follows; a last line without its end
// comes before it.
func (l *lines) next() (string, error) {
	line, err := l.reader.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		for errors.Is(err, bufio.ErrBufferFull) {
			_, err = l.reader.ReadSlice('\n')
		}
		l.number++
		return "", errLongLine
	}
	if len(line) == 0 {
		return "", err
	}
	l.number++
	return string(line), nil
}
