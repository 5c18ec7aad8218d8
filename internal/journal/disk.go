package journal

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// disk is what a Writer needs of the file system. Tests put one that fails in its place.
type disk interface {
	create(path string) (file, error) // a new file, for this process alone where the system has that
	open(path string) (file, error)
	stat(path string) (fs.FileInfo, error)
	remove(path string) error
}

// file is an open journal. It writes at its end.
type file interface {
	io.Reader
	io.Closer
	append(data []byte, end int64) (int, error)
	Truncate(size int64) error
	Sync() error
	Stat() (fs.FileInfo, error)
	// lock takes the file for this process; caution says why that can't be done here.
	lock() (caution string, err error)
}

// systemDisk is the disk of the machine.
type systemDisk struct{}

func (systemDisk) create(path string) (file, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, err
	}
	f, err := createFile(path)
	if err != nil {
		return nil, err
	}
	syncFolder(filepath.Dir(path))
	return systemFile{f}, nil
}

func (systemDisk) open(path string) (file, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, err
	}
	return systemFile{f}, nil
}

func (systemDisk) stat(path string) (fs.FileInfo, error) { return os.Stat(path) }

func (systemDisk) remove(path string) error { return os.Remove(path) }

// systemFile is a file of the machine's.
type systemFile struct{ *os.File }

func (f systemFile) append(data []byte, end int64) (int, error) { return appendTo(f.File, data, end) }

func (f systemFile) lock() (string, error) { return lockFile(f.File) }
