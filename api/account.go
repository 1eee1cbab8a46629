package api

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"hardtack/api/access"
	"hardtack/db"
)

// What access adds to the kinds of errors. Nothing was changed.
var (
	ErrNobody = errors.New("no such key or password")
	ErrDenied = errors.New("not allowed")
)

// Registration is who may make an account.
type Registration string

// The ways of registering.
const (
	ByInvitation Registration = "invitation"
	Open         Registration = "open"
	Closed       Registration = "closed"
)

// Applicant is somebody who wants an account.
type Applicant struct {
	Name       string      `json:"name"`
	Role       access.Role `json:"role,omitempty"`     // default boat
	Password   string      `json:"password,omitempty"` // of skippers and moderators
	Invitation string      `json:"invitation,omitempty"`
}

// Account is an account as its owner sees it.
type Account struct {
	ID      string      `json:"id"`
	Name    string      `json:"name"`
	Role    access.Role `json:"role"`
	State   string      `json:"state"`
	Created time.Time   `json:"created"`
	Second  bool        `json:"second_factor,omitempty"` // one is in force; told to the owner only
}

// Admitted is a new account, or a login, with its key: shown this once.
type Admitted struct {
	Account Account `json:"account"`
	Key     string  `json:"key"`
}

func accountOf(a db.Account) Account {
	return Account{ID: a.ID, Name: a.Name, Role: access.Role(a.Role), State: a.State, Created: time.UnixMilli(a.CreatedMs).UTC()}
}

// Register makes an account and its first key. Errors: ErrInvalid, ErrConflict
// (the name is taken), ErrDenied (registration is not open to that).
func (s *Service) Register(ctx context.Context, a Applicant, how Registration) (Admitted, error) {
	open := how == Open && a.Role != access.Moderator && a.Invitation == ""
	if how == Closed || !open && a.Invitation == "" {
		return Admitted{}, fmt.Errorf("registration: %w: an invitation is needed; nothing was changed", ErrDenied)
	}
	invitation := ""
	if !open {
		invitation = access.SumOf(strings.TrimSpace(a.Invitation))
	}
	return s.admit(ctx, a, invitation)
}

// AddAccount makes an account by command on the server: nobody is asked.
func (s *Service) AddAccount(ctx context.Context, a Applicant) (Admitted, error) {
	return s.admit(ctx, a, "")
}

func (s *Service) admit(ctx context.Context, a Applicant, invitation string) (Admitted, error) {
	if a.Role == "" {
		a.Role = access.Boat
	}
	var fs faults
	name := foldName(a.Name)
	if n := utf8.RuneCountInString(name); n < 3 || n > 40 || strings.ContainsFunc(name, notInName) {
		fs.add("name", quote(a.Name), "3 to 40 letters, digits, blanks, dashes or dots")
	}
	if !slices.Contains(access.Roles(), a.Role) {
		fs.add("role", quote(string(a.Role)), "boat, skipper or moderator")
	}
	kept := ""
	switch {
	case a.Role == access.Boat && a.Password != "":
		fs.add("password", "one", "none for a boat: it has keys")
	case a.Role != access.Boat && len(fs) == 0:
		var err error
		if kept, err = access.HashPassword(a.Password, name); err != nil {
			fs = append(fs, Fault{Path: "password", Problem: err.Error()})
		}
	}
	if err := fs.err("account"); err != nil {
		return Admitted{}, err
	}
	account := db.Account{ID: s.newID(), Name: name, Role: string(a.Role), Password: kept, State: db.Active, CreatedMs: s.now().UnixMilli()}
	err := s.db.AddAccount(ctx, account, invitation, s.now().UnixMilli())
	if isNotFound(err) {
		return Admitted{}, fmt.Errorf("registration: %w: the invitation is not known, used, or not for a %s; nothing was changed", ErrDenied, a.Role)
	}
	if err != nil {
		return Admitted{}, err
	}
	key, err := s.addKey(ctx, account.ID, "first", access.ScopesOf(a.Role), 0)
	return Admitted{accountOf(account), key}, err
}

func foldName(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

func notInName(r rune) bool {
	return !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" -.", r)
}

// AccountOf is a caller's own account.
func (s *Service) AccountOf(ctx context.Context, c access.Caller) (Account, error) {
	a, err := s.db.Account(db.As(ctx, c.Account), c.Account)
	if err != nil {
		return Account{}, err
	}
	out := accountOf(a)
	_, out.Second, err = s.inForce(ctx, c.Account)
	return out, err
}

// Accounts are all of them, for a moderator.
func (s *Service) Accounts(ctx context.Context) ([]Account, error) {
	all, err := s.db.Accounts(ctx)
	out := make([]Account, 0, len(all))
	for _, a := range all {
		out = append(out, accountOf(a))
	}
	return out, err
}

// SetState lets an account work or not; suspended, it loses its keys. By whom
// is kept. ErrNotFound when there is none of that id.
func (s *Service) SetState(ctx context.Context, by, id, state string) (Account, error) {
	if state != db.Active && state != db.Suspended {
		var fs faults
		fs.add("state", quote(state), "active or suspended")
		return Account{}, fs.err("account")
	}
	a, err := s.db.Account(ctx, id)
	if err != nil {
		return Account{}, err
	}
	if a.State == db.Erased {
		return Account{}, fmt.Errorf("account: %w", ErrNotFound)
	}
	a.State = state
	return accountOf(a), s.db.SetAccount(ctx, by, a, "set "+state)
}

// Erase takes away whatever says whose an account's reports are; the prices
// stay, as somebody's.
func (s *Service) Erase(ctx context.Context, by, id string) error {
	return s.db.EraseAccount(ctx, by, id, "erased-"+s.newID())
}

// Invite makes an invitation that holds for some days, and gives its words.
func (s *Service) Invite(ctx context.Context, by string, role access.Role, days int) (string, error) {
	var fs faults
	if !slices.Contains(access.Roles(), role) {
		fs.add("role", quote(string(role)), "boat, skipper or moderator")
	}
	if days < 1 || days > 365 {
		fs.add("days", fmt.Sprint(days), "1 to 365")
	}
	if err := fs.err("invitation"); err != nil {
		return "", err
	}
	secret, now := access.NewSecret(), s.now()
	return secret.Text, s.db.AddInvitation(ctx, db.Invitation{
		Sum: secret.Sum, Role: string(role), Issuer: by, CreatedMs: now.UnixMilli(), EndsMs: now.AddDate(0, 0, days).UnixMilli(),
	})
}

// Audit is what was done to accounts and to others' reports, after a number.
func (s *Service) Audit(ctx context.Context, after int64, limit int) ([]db.Audited, error) {
	return s.db.Audit(ctx, after, limit)
}
