package sheet

import (
	"errors"
	"fmt"
)

// Limits keep one upload from filling the machine. Zero fields take the defaults.
type Limits struct {
	MaxBytes         int64 // of the file as it came; default 32 MiB
	MaxUnzippedBytes int64 // of all parts of a spreadsheet unzipped; default 512 MiB
	MaxRows          int   // of one sheet, blank ones included; default 200,000
	MaxCols          int   // default 300
}

func (l Limits) orDefaults() Limits {
	if l.MaxBytes <= 0 {
		l.MaxBytes = 32 << 20
	}
	if l.MaxUnzippedBytes <= 0 {
		l.MaxUnzippedBytes = 512 << 20
	}
	if l.MaxRows <= 0 {
		l.MaxRows = 200_000
	}
	if l.MaxCols <= 0 {
		l.MaxCols = 300
	}
	return l
}

// What Read may answer instead of tables. The messages that wrap them are meant for the user.
var (
	ErrTooLarge       = errors.New("too large")
	ErrNotSpreadsheet = errors.New("not a spreadsheet this program can read")
	ErrEncrypted      = errors.New("protected by a password")
	ErrEmpty          = errors.New("nothing in it")
)

func fileError(name string, err error) error { return fmt.Errorf("reading %s: %w", name, err) }

func tooLarge(name string, size, limit int64) error {
	return fmt.Errorf("%s holds %d MB, the limit is %d MB: split the list, or raise the limit: %w",
		name, size>>20, limit>>20, ErrTooLarge)
}

func tooMany(name string, limits Limits) error {
	return fmt.Errorf("%s has more than %d rows or %d columns: split the list, or remove what lies far below and beside it: %w",
		name, limits.MaxRows, limits.MaxCols, ErrTooLarge)
}
