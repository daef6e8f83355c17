package audit

import (
	"archive/zip"
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"strings"
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
	Blobs   int       `json:"blobs"`  // attachments
}

// The files of a backup.
const (
	backupEvents = "events.jsonl"
	backupPeople = "people.jsonl"
	backupAbout  = "about.json"
	backupBlobs  = "blobs/"     // and the SHA-256 of what is in it
	backupSums   = "SHA256SUMS" // of the files above, as sha256sum -c reads it; backups of earlier versions have none
)

// ErrBackup: the file is not a whole and true backup.
var ErrBackup = errors.New("not a whole backup")

// details is one line of the people file.
type details struct {
	Key     string          `json:"key"`
	Details json.RawMessage `json:"details"`
}

// Backup writes the log up to its present end, the details kept apart from it and the attachments as one zip file. The log may go on
// meanwhile: what is appended later is not in it. The file holds names and telephone numbers, so guard it.
func Backup(ctx context.Context, log events.Log, people events.PeopleStore, blobs events.BlobStore, made time.Time, to io.Writer) (About, error) {
	archive := &summed{Writer: zip.NewWriter(to)}
	file, err := archive.create(backupEvents)
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
	// After the log: whatever an event in it names was kept before that event was written.
	if about.Blobs, err = backupAttachments(ctx, archive, blobs); err != nil {
		return About{}, fmt.Errorf("backup, attachments: %w", err)
	}
	if err = archive.writeSums(); err != nil {
		return About{}, fmt.Errorf("backup: %w", err)
	}
	if file, err = archive.Create(backupAbout); err == nil {
		err = json.NewEncoder(file).Encode(about)
	}
	if err = errors.Join(err, archive.Close()); err != nil {
		return About{}, fmt.Errorf("backup: %w", err)
	}
	return about, nil
}

// summed is a zip file that remembers the SHA-256 of each file written to it.
type summed struct {
	*zip.Writer
	names []string
	sums  []hash.Hash
}

func (s *summed) create(name string) (io.Writer, error) {
	file, err := s.Create(name)
	sum := sha256.New()
	s.names, s.sums = append(s.names, name), append(s.sums, sum)
	return io.MultiWriter(file, sum), err
}

func (s *summed) writeSums() error {
	file, err := s.Create(backupSums)
	for i := range s.names {
		if err == nil {
			_, err = fmt.Fprintf(file, "%x  %s\n", s.sums[i].Sum(nil), s.names[i])
		}
	}
	return err
}

func backupDetails(ctx context.Context, archive *summed, people events.PeopleStore) (int, error) {
	file, err := archive.create(backupPeople)
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

func backupAttachments(ctx context.Context, archive *summed, blobs events.BlobStore) (int, error) {
	n := 0
	err := blobs.Blobs(ctx, func(hash string, data []byte) error {
		n++
		file, err := archive.create(backupBlobs + hash)
		if err == nil {
			_, err = file.Write(data)
		}
		return err
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
	if err := b.compareSums(); err != nil {
		return b.about, err
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
	n = 0
	if err := b.blobs(func([]byte) error { n++; return nil }); err != nil {
		return b.about, err
	}
	if n != b.about.Blobs {
		return b.about, fmt.Errorf("%w: it should hold %d attachments, and holds %d", ErrBackup, b.about.Blobs, n)
	}
	return b.about, nil
}

// compareSums compares every file named in the sums with its sum.
func (b backup) compareSums() error {
	file, err := b.files.Open(backupSums)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("%w: %w", ErrBackup, err)
	}
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		want, name, ok := strings.Cut(lines.Text(), "  ")
		if !ok {
			return errors.Join(fmt.Errorf("%w: a line of %s is no sum", ErrBackup, backupSums), file.Close())
		}
		if err := b.compareSum(name, want); err != nil {
			return errors.Join(err, file.Close())
		}
	}
	if err := errors.Join(lines.Err(), file.Close()); err != nil {
		return fmt.Errorf("%w: %w", ErrBackup, err)
	}
	return nil
}

func (b backup) compareSum(name, want string) error {
	file, err := b.files.Open(name)
	if err != nil {
		return fmt.Errorf("%w: %s: %w", ErrBackup, name, err)
	}
	sum := sha256.New()
	_, err = io.Copy(sum, file)
	if err = errors.Join(err, file.Close()); err != nil {
		return fmt.Errorf("%w: %s: %w", ErrBackup, name, err)
	}
	if hex.EncodeToString(sum.Sum(nil)) != want {
		return fmt.Errorf("%w: %s has other bytes than its sum says", ErrBackup, name)
	}
	return nil
}

// blobs calls each attachment, after its bytes were compared with the hash it is filed under.
func (b backup) blobs(each func([]byte) error) error {
	for _, file := range b.files.File {
		hash, ok := strings.CutPrefix(file.Name, backupBlobs)
		if !ok {
			continue
		}
		data, err := readBlob(file)
		if err != nil {
			return fmt.Errorf("%w: attachment %s: %w", ErrBackup, hash, err)
		}
		if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != hash {
			return fmt.Errorf("%w: attachment %s has other bytes than its hash says", ErrBackup, hash)
		}
		if err := each(data); err != nil {
			return err
		}
	}
	return nil
}

func readBlob(file *zip.File) ([]byte, error) {
	if file.UncompressedSize64 > events.MaxBlobBytes {
		return nil, fmt.Errorf("%d bytes: %w", file.UncompressedSize64, events.ErrTooLarge)
	}
	from, err := file.Open()
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(from, events.MaxBlobBytes+1))
	return data, errors.Join(err, from.Close())
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

// Restore brings a backup into an empty log and what is kept beside it. It is verified before anything is written, and what was
// written is compared with it afterwards.
func Restore(ctx context.Context, from io.ReaderAt, size int64, log events.Log, people events.PeopleStore, blobs events.BlobStore) (About, error) {
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
	if err == nil {
		err = b.blobs(func(data []byte) error { _, err := blobs.PutBlob(ctx, data); return err })
	}
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
