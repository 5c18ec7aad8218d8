// Package intake reads what a person names: files, devices, pipes and standard input, never more than fits.
//
// A file may be anything: endless, as large as the disk, a pipe that nobody writes to, a folder. What is too large is an error that
// says so before memory has grown, and names are quoted where they would break a line or a terminal.
package intake

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"syscall"
	"unicode"
)

// TooLarge is the error of a file that is larger than anything of its kind.
type TooLarge struct{ Most int64 } // bytes

// Error says how large it may be.
func (t *TooLarge) Error() string {
	const kibi, mebi = 1 << 10, 1 << 20
	if t.Most >= mebi {
		return fmt.Sprintf("it is larger than %d MiB: no file of its kind is that large", t.Most/mebi)
	}
	return fmt.Sprintf("it is larger than %d KiB: no file of its kind is that large", t.Most/kibi)
}

// Open opens a file for reading. A pipe that nobody writes to reads as empty; a folder is an error.
func Open(path string) (*os.File, error) {
	file, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0) // does not wait for somebody who writes to a pipe; Windows has no such wait
	if err != nil {
		return nil, Named(err)
	}
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, errors.Join(fmt.Errorf("%s is a folder", Quote(path)), file.Close())
	}
	return file, nil
}

// File reads a whole file of at most so many bytes.
func File(path string, most int64) ([]byte, error) {
	file, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	data, err := All(file, most)
	if err != nil {
		return nil, Named(&fs.PathError{Op: "read", Path: path, Err: err})
	}
	return data, nil
}

// All reads everything, if that is at most so many bytes; a file that says its size in one piece.
func All(r io.Reader, most int64) ([]byte, error) {
	var text bytes.Buffer
	if file, ok := r.(*os.File); ok {
		if info, err := file.Stat(); err == nil && info.Size() < most {
			text.Grow(int(info.Size()) + bytes.MinRead)
		}
	}
	_, err := text.ReadFrom(io.LimitReader(r, most+1))
	if err == nil && int64(text.Len()) > most {
		return nil, &TooLarge{most}
	}
	return text.Bytes(), err
}

// Limit is a reader that fails with TooLarge where more than so many bytes come.
func Limit(r io.Reader, most int64) io.Reader { return &limited{r, most, most} }

type limited struct {
	reader     io.Reader
	most, left int64
}

func (l *limited) Read(buffer []byte) (int, error) {
	if l.left == 0 {
		if n, err := l.reader.Read(make([]byte, 1)); n == 0 {
			return 0, err
		}
		return 0, &TooLarge{l.most}
	}
	n, err := l.reader.Read(buffer[:min(int64(len(buffer)), l.left)])
	l.left -= int64(n)
	return n, err
}

// Lines reads lines of at most so many bytes.
type Lines struct {
	reader      *bufio.Reader
	most        int
	given, room []byte // the line that was given last, and room for the next
}

// NewLines reads lines of at most so many bytes.
func NewLines(r io.Reader, most int) *Lines {
	return &Lines{reader: bufio.NewReaderSize(r, 64<<10), most: most}
}

// Next is the next line without its end, which stays as it is until the next but one is asked for. Ended is false for a last one that has none;
// length is that of the line and its end in the file. Of a line that is too long only the beginning is returned, and the error is TooLarge: the next
// call goes on behind it. At the end of the input the error is io.EOF.
func (l *Lines) Next() (line []byte, length int64, ended bool, err error) {
	line, tooLong := l.room[:0], false
	defer func() { l.given, l.room = line, l.given }()
	for {
		part, err := l.reader.ReadSlice('\n')
		length += int64(len(part))
		if len(line)+len(part) > l.most+1 {
			tooLong = true
		}
		if !tooLong {
			line = append(line, part...)
		}
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			continue
		case err != nil && length == 0:
			return nil, 0, false, err
		case err != nil && !errors.Is(err, io.EOF):
			return line, length, false, err
		}
		if ended = err == nil; ended && !tooLong {
			line = line[:len(line)-1]
		}
		if tooLong {
			return line, length, ended, &TooLarge{int64(l.most)}
		}
		return line, length, ended, nil
	}
}

// Quote is a name as it can stand in a message: as it is where that is harmless, else in quotes with what is not escaped.
func Quote(name string) string {
	if name == "" || strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) || r == unicode.ReplacementChar }) {
		return strconv.Quote(name)
	}
	return name
}

// Named is an error of the file system with the name in it quoted where it has to be.
func Named(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) && Quote(path.Path) != path.Path {
		return &fs.PathError{Op: path.Op, Path: Quote(path.Path), Err: path.Err}
	}
	return err
}
