package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"valveround/events/audit"
	"valveround/events/natslog"
)

type backupCommand struct {
	asking
	Dir string `help:"Folder of a log that is not being served." type:"existingdir" xor:"source" required:""`
	Out string `arg:"" help:"File to write; it must not exist yet. It holds names and telephone numbers." type:"path"`
}

// Run makes the file under another name, reads it back, and gives it its name only when it is whole.
func (c *backupCommand) Run(ctx context.Context, s streams) error {
	if _, err := os.Stat(c.Out); err == nil {
		return fmt.Errorf("%s is there already; a backup never overwrites one", c.Out)
	}
	part := c.Out + ".part"
	f, err := os.OpenFile(part, os.O_RDWR|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	about, err := c.fill(ctx, f)
	if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
		err = os.Rename(part, c.Out)
	}
	if err != nil {
		return errors.Join(err, os.Remove(part))
	}
	fmt.Fprintf(s.out, "%s holds %d records up to position %d, details of %d people and sites and %d attachments; read back and verified.\nPasswords, sessions and phones' keys are not in it.\nDigest %s\n",
		c.Out, about.Records, about.Last, about.People, about.Blobs, about.Digest)
	return nil
}

func (c *backupCommand) fill(ctx context.Context, f *os.File) (audit.About, error) {
	if c.Server != "" {
		if err := c.get(ctx, "/api/log/backup", f); err != nil {
			return audit.About{}, err
		}
	} else {
		err := withLog(ctx, c.Dir, func(log *natslog.Store) error {
			_, err := audit.Backup(ctx, log, log, log, time.Now(), f)
			return err
		})
		if err != nil {
			return audit.About{}, err
		}
	}
	return verifyFile(f)
}

func verifyFile(f *os.File) (audit.About, error) {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return audit.About{}, err
	}
	return audit.VerifyBackup(f, size)
}

type restoreCommand struct {
	From string `arg:"" help:"Backup to restore." type:"existingfile"`
	Dir  string `arg:"" help:"New folder for the log; it must be empty or not exist." type:"path"`
}

func (c *restoreCommand) Run(ctx context.Context, s streams) error {
	f, err := os.Open(c.From)
	if err != nil {
		return err
	}
	about, err := c.restore(ctx, f)
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s holds %d records, details of %d people and sites and %d attachments, as backed up on %s; read back and verified.\nDigest %s\n",
		c.Dir, about.Records, about.People, about.Blobs, about.Made.Format("2006-01-02 15:04 MST"), about.Digest)
	return nil
}

// restore verifies before it makes the folder, so that a broken backup leaves nothing behind.
func (c *restoreCommand) restore(ctx context.Context, f *os.File) (audit.About, error) {
	about, err := verifyFile(f)
	if err != nil {
		return about, err
	}
	store, err := natslog.Open(ctx, natslog.Config{Dir: c.Dir, Create: true})
	if err != nil {
		return about, err
	}
	size, err := f.Seek(0, io.SeekEnd)
	if err == nil {
		about, err = audit.Restore(ctx, f, size, store, store, store)
	}
	return about, errors.Join(err, store.Close())
}
