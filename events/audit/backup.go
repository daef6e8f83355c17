package audit

import (
	"archive/zip"
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"valveround/events"
)

// About says what a backup holds. It is written last, so a backup that broke off has none.
type About struct {
	Made    time.Time `json:"made"`
	Records uint64    `json:"records"`
	Last    uint64    `json:"last_position"`
	Digest  string    `json:"digest"` // of the records, see Report.Digest
	People  int       `json:"people"` // details kept apart from the log
}

// The files of a backup.
const (
	backupEvents = "events.jsonl"
	backupPeople = "people.jsonl"
	backupAbout  = "about.json"
)

// ErrBackup: the file is not a whole and true backup.
var ErrBackup = errors.New("not a whole backup")

// details is one line of the people file.
type details struct {
	Key     string          `json:"key"`
	Details json.RawMessage `json:"details"`
}

// Backup writes the log up to its present end, and the details kept apart from it, as one zip file. The log may go on
// meanwhile: what is appended later is not in it. The file holds names and telephone numbers, so guard it.
func Backup(ctx context.Context, log events.Log, people events.PeopleStore, made time.Time, to io.Writer) (About, error) {
	archive := zip.NewWriter(to)
	file, err := archive.Create(backupEvents)
	if err != nil {
		return About{}, fmt.Errorf("backup: %w", err)
	}
	report, err := Export(ctx, log, file)
	if err != nil {
		return About{}, fmt.Errorf("backup: %w", err)
	}
	if !report.Whole() {
		return About{}, fmt.Errorf("backup: the log itself is not whole: %s", report)
	}
	about := About{Made: made.UTC(), Records: report.Records, Last: report.Last, Digest: report.Digest.String()}
	if about.People, err = backupDetails(ctx, archive, people); err != nil {
		return About{}, fmt.Errorf("backup, people: %w", err)
	}
	if file, err = archive.Create(backupAbout); err == nil {
		err = json.NewEncoder(file).Encode(about)
	}
	if err = errors.Join(err, archive.Close()); err != nil {
		return About{}, fmt.Errorf("backup: %w", err)
	}
	return about, nil
}

func backupDetails(ctx context.Context, archive *zip.Writer, people events.PeopleStore) (int, error) {
	file, err := archive.Create(backupPeople)
	if err != nil {
		return 0, err
	}
	encode, n := json.NewEncoder(file), 0
	err = people.All(ctx, func(key string, text []byte) error {
		n++
		return encode.Encode(details{key, text})
	})
	return n, err
}

// backup is an opened backup file.
type backup struct {
	files *zip.Reader
	about About
}

func openBackup(from io.ReaderAt, size int64) (backup, error) {
	files, err := zip.NewReader(from, size)
	if err != nil {
		return backup{}, fmt.Errorf("%w: %w", ErrBackup, err)
	}
	b := backup{files: files}
	file, err := files.Open(backupAbout)
	if err != nil {
		return b, fmt.Errorf("%w: it broke off before its end", ErrBackup)
	}
	err = errors.Join(json.NewDecoder(file).Decode(&b.about), file.Close())
	if err != nil {
		return b, fmt.Errorf("%w: %w", ErrBackup, err)
	}
	return b, nil
}

// VerifyBackup reads a backup as a whole: every hash of every history, the number of records, their digest.
func VerifyBackup(from io.ReaderAt, size int64) (About, error) {
	b, err := openBackup(from, size)
	if err != nil {
		return About{}, err
	}
	check := newChain()
	err = b.events(func(r events.Record) error { check.add(r); return nil })
	if err != nil {
		return b.about, err
	}
	if err := b.compare(check.result()); err != nil {
		return b.about, err
	}
	n := 0
	if err := b.people(func(details) error { n++; return nil }); err != nil {
		return b.about, err
	}
	if n != b.about.People {
		return b.about, fmt.Errorf("%w: it should hold details of %d people and sites, and holds %d", ErrBackup, b.about.People, n)
	}
	return b.about, nil
}

func (b backup) compare(r Report) error {
	if !r.Whole() || r.Records != b.about.Records || r.Last != b.about.Last || r.Digest.String() != b.about.Digest {
		return fmt.Errorf("%w: it should hold %d records with digest %s, and holds: %s", ErrBackup, b.about.Records, b.about.Digest, r)
	}
	return nil
}

func (b backup) events(each func(events.Record) error) error {
	file, err := b.files.Open(backupEvents)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrBackup, err)
	}
	decode := json.NewDecoder(bufio.NewReaderSize(file, 1<<16))
	for n := 1; ; n++ {
		r, err := nextRecord(decode)
		if errors.Is(err, io.EOF) {
			return file.Close()
		}
		if err != nil {
			return errors.Join(fmt.Errorf("%w: record %d: %w", ErrBackup, n, err), file.Close())
		}
		if err := each(r); err != nil {
			return errors.Join(err, file.Close())
		}
	}
}

func (b backup) people(each func(details) error) error {
	file, err := b.files.Open(backupPeople)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrBackup, err)
	}
	decode := json.NewDecoder(bufio.NewReader(file))
	for {
		var d details
		err := decode.Decode(&d)
		if errors.Is(err, io.EOF) {
			return file.Close()
		}
		if err != nil {
			return errors.Join(fmt.Errorf("%w: people: %w", ErrBackup, err), file.Close())
		}
		if err := each(d); err != nil {
			return errors.Join(err, file.Close())
		}
	}
}

// Restore brings a backup into an empty log and people store. It is verified before anything is written, and what was
// written is compared with it afterwards.
func Restore(ctx context.Context, from io.ReaderAt, size int64, log events.Log, people events.PeopleStore) (About, error) {
	about, err := VerifyBackup(from, size)
	if err != nil {
		return about, fmt.Errorf("restore: %w", err)
	}
	b, err := openBackup(from, size)
	if err != nil {
		return about, fmt.Errorf("restore: %w", err)
	}
	file, err := b.files.Open(backupEvents)
	if err != nil {
		return about, fmt.Errorf("restore: %w", err)
	}
	report, err := Load(ctx, file, log)
	if err = errors.Join(err, file.Close()); err != nil {
		return about, fmt.Errorf("restore: %w", err)
	}
	err = b.people(func(d details) error { return people.Put(ctx, d.Key, d.Details) })
	if err = errors.Join(err, b.compare(report)); err != nil {
		return about, fmt.Errorf("restore: %w", err)
	}
	if report, err = VerifyChain(ctx, log); err == nil {
		err = b.compare(report)
	}
	if err != nil {
		return about, fmt.Errorf("restore: reading back what was written: %w", err)
	}
	return about, nil
}
