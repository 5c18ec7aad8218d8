package journal

import (
	"io/fs"
	"os"
	"slices"
	"time"

	"example.com/legclock/internal/plan"
)

// CreateOn is Create on a disk that fails as the test says.
func CreateOn(faults *Faults, path string, header Header, p *plan.Plan, wall func() time.Time) (*Writer, error) {
	return createOn(faultyDisk{faults}, path, header, p, wall)
}

// ResumeOn is Resume on a disk that fails as the test says.
func ResumeOn(faults *Faults, path string, wall func() time.Time) (*Writer, Contents, string, error) {
	return resumeOn(faultyDisk{faults}, path, nil, wall)
}

// Faults says what a disk does before each of its operations: nil is as it should be. Short writes write half before the error.
type Faults struct {
	Fault  func(operation string) error
	Short  bool
	synced []syncedFile
}

// syncedFile is how much of a file would outlive the loss of power.
type syncedFile struct {
	file fs.FileInfo
	size int64
}

// Synced is how many bytes of a file would outlive the loss of power: those that a sync has been told of.
func (f *Faults) Synced(path string) int64 {
	info, err := os.Stat(path)
	if err != nil {
		return 0
	}
	for _, known := range slices.Backward(f.synced) {
		if os.SameFile(known.file, info) {
			return min(known.size, info.Size())
		}
	}
	return 0
}

type faultyDisk struct{ *Faults }

type faultyFile struct {
	systemFile
	*Faults
}

func (d faultyDisk) create(path string) (file, error) {
	return d.opened("create", systemDisk{}.create, path)
}

func (d faultyDisk) open(path string) (file, error) {
	return d.opened("open", systemDisk{}.open, path)
}

// opened is a file of the machine's that fails as its disk does.
func (d faultyDisk) opened(operation string, open func(path string) (file, error), path string) (file, error) {
	if err := d.Fault(operation); err != nil {
		return nil, err
	}
	f, err := open(path)
	if err != nil {
		return nil, err
	}
	return faultyFile{f.(systemFile), d.Faults}, nil
}

func (d faultyDisk) stat(path string) (fs.FileInfo, error) {
	if err := d.Fault("stat"); err != nil {
		return nil, err
	}
	return systemDisk{}.stat(path)
}

func (d faultyDisk) remove(path string) error { return systemDisk{}.remove(path) }

func (d faultyDisk) keepName(path string) {
	if d.Fault("name") == nil {
		systemDisk{}.keepName(path)
	}
}

func (f faultyFile) append(data []byte, end int64) (int, error) {
	if err := f.Fault("write"); err != nil {
		if f.Short {
			n, _ := f.systemFile.append(data[:len(data)/2], end)
			return n, err
		}
		return 0, err
	}
	return f.systemFile.append(data, end)
}

func (f faultyFile) Sync() error {
	if err := f.Fault("sync"); err != nil {
		return err
	}
	if err := f.systemFile.Sync(); err != nil {
		return err
	}
	info, err := f.Stat()
	f.synced = append(f.synced, syncedFile{info, info.Size()})
	return err
}

func (f faultyFile) Truncate(size int64) error {
	if err := f.Fault("truncate"); err != nil {
		return err
	}
	return f.systemFile.Truncate(size)
}

func (f faultyFile) lock() (string, error) {
	if err := f.Fault("lock"); err != nil {
		return "no locks here", nil
	}
	return f.systemFile.lock()
}
