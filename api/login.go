package api

import (
	"context"
	"fmt"
	"strings"
	"time"

	"hardtack/api/access"
	"hardtack/db"
)

// session is how long a login holds.
const session = 12 * time.Hour

// Login gives a key for a while to whoever knows the password. The error is
// ErrNobody whatever was wrong.
func (s *Service) Login(ctx context.Context, name, password string) (Admitted, error) {
	if strings.ContainsFunc(foldName(name), notInName) {
		return Admitted{}, ErrNobody
	}
	a, err := s.db.AccountNamed(ctx, foldName(name))
	if err != nil && !isNotFound(err) {
		return Admitted{}, err
	}
	s.hashing <- struct{}{} // each takes 19 MiB
	ok := access.CheckPassword(password, a.Password)
	<-s.hashing
	if !ok || a.State != db.Active {
		return Admitted{}, ErrNobody
	}
	key, err := s.addKey(ctx, a.ID, loginLabel, access.ScopesOf(access.Role(a.Role)), session)
	return Admitted{accountOf(a), key}, err
}

// ChangePassword takes another password in the place of the one that is known,
// ends all logins, and gives a new one. Errors: ErrNobody (the old one is
// wrong), ErrInvalid, ErrDenied (boats have none).
func (s *Service) ChangePassword(ctx context.Context, c access.Caller, old, password string) (Admitted, error) {
	a, err := s.db.Account(ctx, c.Account)
	if err != nil {
		return Admitted{}, err
	}
	if a.Password == "" {
		return Admitted{}, fmt.Errorf("password: %w: a boat has keys and no password", ErrDenied)
	}
	s.hashing <- struct{}{}
	ok := access.CheckPassword(old, a.Password)
	kept, bad := access.HashPassword(password, a.Name)
	<-s.hashing
	if !ok {
		return Admitted{}, ErrNobody
	}
	if bad != nil {
		return Admitted{}, &InvalidError{What: "password", Faults: []Fault{{Path: "password", Problem: bad.Error()}}}
	}
	if err := s.db.SetPassword(ctx, a.ID, a.Password, kept, loginLabel); err != nil {
		return Admitted{}, err
	}
	key, err := s.addKey(ctx, a.ID, loginLabel, access.ScopesOf(access.Role(a.Role)), session)
	return Admitted{accountOf(a), key}, err
}

// loginLabel is that of keys given for a password.
const loginLabel = "login"

// Caller is who a key belongs to; ErrNobody when it is none that holds.
func (s *Service) Caller(ctx context.Context, key string) (access.Caller, error) {
	prefix, ok := access.PrefixOf(key)
	if !ok {
		return access.Caller{}, ErrNobody
	}
	k, err := s.db.Key(ctx, prefix)
	if isNotFound(err) {
		return access.Caller{}, ErrNobody
	}
	if err != nil {
		return access.Caller{}, err
	}
	now := s.now().UnixMilli()
	if !access.Fits(key, k.Sum) || k.RevokedMs != 0 || k.EndsMs != 0 && k.EndsMs <= now {
		return access.Caller{}, ErrNobody
	}
	a, err := s.db.Account(ctx, k.Account)
	if err != nil {
		return access.Caller{}, err
	}
	if a.State != db.Active {
		return access.Caller{}, ErrNobody
	}
	c := access.Caller{Account: a.ID, Role: access.Role(a.Role)}
	for _, w := range strings.Fields(k.Scopes) {
		c.Scopes = append(c.Scopes, access.Scope(w))
	}
	return c, nil
}
