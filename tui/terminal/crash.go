package terminal

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"runtime/debug"

	tea "github.com/charmbracelet/bubbletea"
)

// crash ends the program because of a panic: it must be called in the deferred function that recovered it. Only the first
// panic is written down, as the others often follow from it.
func (p *Program) crash(value any, stack []byte) {
	p.mutex.Lock()
	_, again := p.ending.(*Crash)
	p.mutex.Unlock()
	if !again {
		file := p.writeCrash(fmt.Sprint(value), stack)
		p.end(&Crash{Value: value, File: file, Journal: p.options.JournalPath})
	}
}

// writeCrash returns the name of the file it wrote, or nothing if it could not.
func (p *Program) writeCrash(value string, stack []byte) string {
	now := p.options.Now().UTC()
	report := fmt.Sprintf("legclock crash report\n\nversion  %s\ntime     %s\nsystem   %s %s/%s, TERM=%s\njournal  %s\n\npanic: %s\n\n%s",
		p.options.Version, now.Format("2006-01-02T15:04:05Z"), runtime.Version(), runtime.GOOS, runtime.GOARCH, os.Getenv("TERM"),
		p.options.JournalPath, value, stack)

	for _, dir := range []string{p.options.CrashDir, os.TempDir()} {
		if dir == "" || os.MkdirAll(dir, 0o755) != nil {
			continue
		}
		name := filepath.Join(dir, now.Format("crash-20060102T150405Z"))
		if name, err := writeNew(name, report); err == nil {
			return name
		}
	}
	return ""
}

// writeNew writes name.txt or, where that exists, name-2.txt and so on.
func writeNew(name, text string) (string, error) {
	path := name + ".txt"
	for n := 2; ; n++ {
		file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if os.IsExist(err) && n < 100 {
			path = fmt.Sprintf("%s-%d.txt", name, n)
			continue
		}
		if err != nil {
			return "", err
		}
		_, err = file.WriteString(text)
		if closing := file.Close(); err == nil {
			err = closing
		}
		return path, err
	}
}

// guard wraps a command so that a panic in it is caught before Bubble Tea would print it into the screen that is about to
// be left.
func (p *Program) guard(command tea.Cmd) tea.Cmd {
	if command == nil {
		return nil
	}
	return func() (msg tea.Msg) {
		defer func() {
			if value := recover(); value != nil {
				p.crash(value, debug.Stack())
				msg = nil
			}
		}()
		return p.guardAll(command())
	}
}

// guardAll guards the commands within the message of tea.Batch or tea.Sequence and returns any other message as it is.
// The type of a sequence is not exported, but it is a slice of commands.
func (p *Program) guardAll(msg tea.Msg) tea.Msg {
	if msg == nil {
		return nil
	}
	list := reflect.ValueOf(msg)
	if list.Kind() != reflect.Slice || list.Type().Elem() != reflect.TypeFor[tea.Cmd]() {
		return msg
	}
	guarded := reflect.MakeSlice(list.Type(), list.Len(), list.Len())
	for i := range list.Len() {
		command, _ := list.Index(i).Interface().(tea.Cmd)
		guarded.Index(i).Set(reflect.ValueOf(p.guard(command)))
	}
	return guarded.Interface()
}
