package main

import (
	"fmt"
	"io"

	"hardtack/db"
)

type migrateCmd struct {
	To string `arg:"" optional:"" enum:"up,status,down," default:"status" help:"up (to this program's schema), status, or down (empty: all data gone, with --yes)."`

	Role string `help:"With up, on PostgreSQL: lets this role work with what is kept, and no more." placeholder:"NAME"`
	Yes  bool   `help:"Yes, all data shall go: for down only."`
}

// Help implements kong's HelpProvider.
func (migrateCmd) Help() string {
	return `On a boat the file is copied and migrated when it is opened; a shared PostgreSQL
is only migrated by this command, by the role that owns it; --role names another,
which may not change the schema, to serve as. Each migration is all or nothing; one that was
interrupted is put right by running it again.

Example:
  hardtack migrate status`
}

// migrated is what migrate tells.
type migrated struct {
	Have uint   `json:"have"`
	Want uint   `json:"want"`
	Copy string `json:"copy,omitempty"`
}

// Run migrates, or says where the database stands.
func (c *migrateCmd) Run(sh *shell) error {
	where, err := sh.database()
	if err != nil {
		return err
	}
	m := migrated{Want: db.Newest}
	switch c.To {
	case "up", "down":
		done, err := c.move(sh, where)
		if err != nil {
			return err
		}
		m.Have, m.Copy = done.To, done.Copy
	default:
		if m.Have, err = db.SchemaOf(sh.ctx, where); err != nil {
			return err
		}
	}
	return sh.emit(m, func(w io.Writer) error {
		p := printer{w: w}
		p.f("%s has schema %d; this program's is %d.\n", db.Redact(where), m.Have, m.Want)
		if m.Copy != "" {
			p.f("The file as it was: %s\n", m.Copy)
		}
		return p.err
	})
}

func (c *migrateCmd) move(sh *shell, where string) (db.Migration, error) {
	if c.To == "up" {
		done, err := db.Migrate(sh.ctx, where)
		if err == nil && c.Role != "" {
			err = db.Grant(sh.ctx, where, c.Role)
		}
		return done, err
	}
	if !c.Yes {
		return db.Migration{}, fmt.Errorf("%w: down takes all data away: say --yes, after a backup; nothing was changed", errUsage)
	}
	return db.MigrateTo(sh.ctx, where, 0)
}
