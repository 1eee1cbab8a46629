package main

import (
	"fmt"
	"io"
	"os"

	"hardtack/api"
	"hardtack/db"
)

type backupCmd struct {
	Save    backupSaveCmd    `cmd:"" default:"withargs" help:"Write everything that is kept to one file."`
	Restore backupRestoreCmd `cmd:"" help:"Read a backup into an empty database, of either kind."`
}

// Help implements kong's HelpProvider.
func (backupCmd) Help() string {
	return `A backup is one file with its own checksum, the same from SQLite and PostgreSQL.
Taking one does not disturb others at work, and it is read back before it gets
its name. A restore checks the whole file first and is all or nothing.

Example:
  hardtack backup save season.backup`
}

type backupSaveCmd struct {
	File string `arg:"" help:"The file to write; it appears whole or not at all."`
}

// Run writes the backup and reads it back.
func (c *backupSaveCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		bar := sh.progress("backing up")
		info, err := s.Backup(sh.ctx, c.File)
		bar.done()
		if err != nil {
			return err
		}
		return sh.emit(info, func(w io.Writer) error {
			p := printer{w: w}
			p.f("%s: %s; read back and whole. Keep a copy off the boat.\n", c.File, backupWords(info))
			return p.err
		})
	})
}

type backupRestoreCmd struct {
	File string `arg:"" help:"The backup."`
	Over bool   `help:"Replace what the database holds. Only if the backup has all of it: a newer database is never replaced."`
	Dry  bool   `help:"Only say what would be done."`
}

// Run restores the backup; a damaged one changes nothing.
func (c *backupRestoreCmd) Run(sh *shell) error {
	where, err := sh.database()
	if err != nil {
		return err
	}
	f, err := os.Open(c.File)
	if err != nil {
		return err
	}
	defer f.Close()
	bar := sh.progress("restoring")
	done, err := db.RestoreTo(sh.ctx, where, f, db.Restoring{Over: c.Over, Dry: c.Dry})
	bar.done()
	if err != nil {
		return fmt.Errorf("%s: %w", c.File, err)
	}
	return sh.emit(done, func(w io.Writer) error {
		p := printer{w: w}
		p.f("%s: whole, %s.\n", c.File, backupWords(done.BackupInfo))
		if done.Dry {
			p.f("Dry run: %s was not touched; a restore would put these rows there and take %d away.\n", db.Redact(where), done.Replaced)
			return p.err
		}
		p.f("Restored into %s; %d rows gave way.\n", db.Redact(where), done.Replaced)
		return p.err
	})
}
