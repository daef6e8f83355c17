package natslog

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// Kinds of store, as the mark says them.
const (
	kindStandalone = "standalone"
	kindCluster    = "cluster"
)

// Files in a store folder. The server's own files lie in a folder below it.
const (
	lockFile     = "lock"
	markFile     = "store.json"
	positionFile = "position"
	serverFolder = "nats"
)

// mark says whose folder this is. It is written before the stream is made (Created still zero)
// and again after, so that a start cut short can be finished and a lost stream is seen as lost.
type mark struct {
	Format  int       `json:"format"`
	Kind    string    `json:"kind"`
	Stream  string    `json:"stream"`
	Created time.Time `json:"created"` // of the stream, by the server's clock
}

// unfinished: the log was being made when the process ended. Nothing was ever written to it.
func (m *mark) unfinished() bool { return m.Created.IsZero() }

// folder is a locked store folder.
type folder struct {
	path string
	lock *os.File
}

// openFolder makes the folder if need be and locks it against a second process.
// The lock ends with the process, however it ends.
func openFolder(path string) (*folder, error) {
	if err := os.MkdirAll(path, 0o700); err != nil {
		return nil, fmt.Errorf("make the store folder: %w", err)
	}
	if err := onlyKnownFiles(path); err != nil {
		return nil, err
	}
	lock, err := os.OpenFile(filepath.Join(path, lockFile), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, fmt.Errorf("lock the store folder: %w", err)
	}
	if err := syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		_ = lock.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, fmt.Errorf("store folder %s: %w", path, ErrInUse)
		}
		return nil, fmt.Errorf("lock the store folder %s: %w", path, err)
	}
	return &folder{path: path, lock: lock}, nil
}

// onlyKnownFiles refuses a folder that holds something but no mark.
func onlyKnownFiles(path string) error {
	entries, err := os.ReadDir(path)
	if err != nil {
		return fmt.Errorf("read the store folder: %w", err)
	}
	marked, strange := false, ""
	for _, entry := range entries {
		switch entry.Name() {
		case markFile:
			marked = true
		case lockFile, markFile + ".new", "lost+found": // a start cut short; the root of a mounted disk
		default:
			strange = entry.Name()
		}
	}
	if !marked && strange != "" {
		return fmt.Errorf("store folder %s holds %q and no %s: %w; choose an empty folder", path, strange, markFile, ErrNotAStore)
	}
	return nil
}

func (f *folder) close() error { return f.lock.Close() }

func (f *folder) file(name string) string { return filepath.Join(f.path, name) }

// mark reads the mark; nil when the folder is new.
func (f *folder) mark() (*mark, error) {
	text, err := os.ReadFile(f.file(markFile))
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read the mark of the store: %w", err)
	}
	var m mark
	if err := json.Unmarshal(text, &m); err != nil {
		return nil, fmt.Errorf("read the mark %s: %w", f.file(markFile), err)
	}
	if m.Format != 1 || (m.Kind != kindStandalone && m.Kind != kindCluster) {
		return nil, fmt.Errorf("the mark %s says format %d, kind %q, which this program does not know", f.file(markFile), m.Format, m.Kind)
	}
	return &m, nil
}

func (f *folder) writeMark(m mark) error {
	text, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return fmt.Errorf("write the mark of the store: %w", err)
	}
	return f.replace(markFile, append(text, '\n'))
}

// position is the highest acknowledged position that was noted down; zero when none was.
func (f *folder) position() (uint64, error) {
	text, err := os.ReadFile(f.file(positionFile))
	if errors.Is(err, os.ErrNotExist) {
		return 0, nil
	}
	if err != nil {
		return 0, fmt.Errorf("read the last position: %w", err)
	}
	n, err := strconv.ParseUint(strings.TrimSpace(string(text)), 10, 64)
	if err != nil {
		return 0, fmt.Errorf("read the last position in %s: %w", f.file(positionFile), err)
	}
	return n, nil
}

func (f *folder) writePosition(n uint64) error {
	return f.replace(positionFile, []byte(strconv.FormatUint(n, 10)+"\n"))
}

// replace writes a file so that after a power cut either the old or the new text is there.
func (f *folder) replace(name string, text []byte) error {
	final := f.file(name)
	file, err := os.OpenFile(final+".new", os.O_CREATE|os.O_WRONLY|os.O_TRUNC, 0o600)
	if err != nil {
		return fmt.Errorf("write %s: %w", final, err)
	}
	_, err = file.Write(text)
	err = errors.Join(err, file.Sync(), file.Close())
	if err == nil {
		err = os.Rename(final+".new", final)
	}
	if err == nil {
		err = syncFolder(f.path)
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", final, err)
	}
	return nil
}

func syncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// free is the room left on the folder's disk, in bytes.
func (f *folder) free() (uint64, error) {
	var stat syscall.Statfs_t
	if err := syscall.Statfs(f.path, &stat); err != nil {
		return 0, fmt.Errorf("ask for the room left on the disk of %s: %w", f.path, err)
	}
	return stat.Bavail * uint64(stat.Bsize), nil
}
