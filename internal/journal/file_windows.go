//go:build windows

package journal

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

func createFile(path string) (*os.File, error) { return openAlone(path, windows.CREATE_NEW) }

func openFile(path string) (*os.File, error) { return openAlone(path, windows.OPEN_EXISTING) }

// openAlone opens a file that others may read but not write meanwhile: that is the lock, and it goes with the process.
func openAlone(path string, disposition uint32) (*os.File, error) {
	name, err := windows.UTF16PtrFromString(path)
	if err != nil {
		return nil, &os.PathError{Op: "open", Path: path, Err: err}
	}
	handle, err := windows.CreateFile(name, windows.GENERIC_READ|windows.GENERIC_WRITE, windows.FILE_SHARE_READ, nil,
		disposition, windows.FILE_ATTRIBUTE_NORMAL, 0)
	switch {
	case errors.Is(err, windows.ERROR_SHARING_VIOLATION):
		return nil, errLocked
	case err != nil:
		return nil, &os.PathError{Op: "open", Path: path, Err: err}
	}
	return os.NewFile(uintptr(handle), path), nil
}

// appendTo writes at the end of the file as this process left it: nobody else can have written.
func appendTo(file *os.File, data []byte, end int64) (int, error) { return file.WriteAt(data, end) }

// lockFile has nothing to do: the file was opened for this process alone.
func lockFile(*os.File) (caution string, err error) { return "", nil }

// unsyncable is the error of a file system that can't be told to write now.
func unsyncable(err error) bool { return errors.Is(err, windows.ERROR_NOT_SUPPORTED) }

func syncFolder(string) {} // a folder can't be synced here

// Held reports whether a process has a journal open for writing. Where that can't be told, it is taken to be so.
func Held(path string) bool {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return errors.Is(err, windows.ERROR_SHARING_VIOLATION) || !errors.Is(err, os.ErrPermission)
	}
	return file.Close() != nil
}
