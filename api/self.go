package api

import (
	"context"
	"database/sql"

	"hardtack/db"
)

// Me is the reporter that reports entered here bear unless told otherwise: an
// id made once for this database, which tells nothing about anybody.
func (s *Service) Me(ctx context.Context) (string, error) {
	return s.db.MetaOr(ctx, "reporter", s.newID())
}

// Ready says whether the database answers.
func (s *Service) Ready(ctx context.Context) error {
	_, err := s.db.Change(ctx)
	return err
}

// Away says whether an error is that the database cannot be reached just now; a
// repeat may find it.
func Away(err error) bool { return db.Away(err) }

// Walled says whether the database itself keeps accounts apart.
func (s *Service) Walled(ctx context.Context) (bool, error) { return s.db.Walled(ctx) }

// Pool tells of the connections to the database.
func (s *Service) Pool() sql.DBStats { return s.db.Pool() }

// Backup writes everything that is kept to a new file, as of one moment, while
// others may write on. ErrConflict when the name is taken.
func (s *Service) Backup(ctx context.Context, path string) (db.BackupInfo, error) {
	return s.db.BackupFile(ctx, path)
}
