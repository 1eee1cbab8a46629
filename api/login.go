package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"hardtack/api/access"
	"hardtack/db"
)

// Logins are the rules of logins on a shared server; the zero value takes every
// default.
type Logins struct {
	Quiet time.Duration // a login not used for so long ends; default 1 h
	Most  int           // logins of one account that hold at once; default 5
	Two   TwoFactors    // default of those who wish
}

// session is how long a login holds at most, and quiet how long without use:
// NIST SP 800-63B-4 has 24 h and 1 h for two factors (from memory).
const (
	session    = 12 * time.Hour
	usualQuiet = time.Hour
	usualMost  = 5
	// noted is how often the use of a login is written down.
	noted = time.Minute
)

func (l Logins) orUsual() Logins {
	return Logins{cmp.Or(l.Quiet, usualQuiet), cmp.Or(l.Most, usualMost), cmp.Or(l.Two, ByWish)}
}

// Credentials are what somebody shows to log in.
type Credentials struct {
	Name, Password string
	Code           string        // of the second factor, or a recovery code; empty: none
	Follows        access.Caller // whose login this takes the place of; the zero value is none
}

// Login gives a key for a while to whoever knows the password and, where there
// is a second factor, has a code. The error is ErrNobody whatever was wrong
// with name and password, ErrCode when they are right and the code is not, a
// *TooOftenError when too many codes were wrong.
func (s *Service) Login(ctx context.Context, with Credentials) (Admitted, error) {
	if strings.ContainsFunc(foldName(with.Name), notInName) {
		return Admitted{}, ErrNobody
	}
	a, err := s.db.AccountNamed(ctx, foldName(with.Name))
	if err != nil && !isNotFound(err) {
		return Admitted{}, err
	}
	if !s.knows(a, with.Password) || a.State != db.Active {
		return Admitted{}, ErrNobody
	}
	how, err := s.second(ctx, a.ID, with.Code)
	if err != nil {
		return Admitted{}, err
	}
	follows := ""
	if with.Follows.Account == a.ID {
		follows = with.Follows.Login
	}
	return s.logIn(ctx, a, "log in"+how, follows)
}

// knows says whether a password is an account's, in a time that does not tell
// whether there is one. One that ends by itself is none after that.
func (s *Service) knows(a db.Account, password string) bool {
	s.hashing <- struct{}{} // each takes 19 MiB
	ok := access.CheckPassword(password, a.Password)
	<-s.hashing
	ends, temporary := access.EndOfPassword(a.Password)
	return ok && (!temporary || s.now().Before(ends))
}

func (s *Service) logIn(ctx context.Context, a db.Account, how, follows string) (Admitted, error) {
	scopes, err := s.loginScopes(ctx, a)
	if err != nil {
		return Admitted{}, err
	}
	text, k := s.newKey(a.ID, loginLabel, scopes, session)
	err = s.db.AddLogin(db.As(ctx, a.ID), db.Login{Key: k, Follows: follows, Most: s.logins.Most, How: how})
	return Admitted{accountOf(a), text}, err
}

// loginScopes are those a login of an account has: with a password that ends,
// or without a second factor that is asked for, it may put that right and no
// more.
func (s *Service) loginScopes(ctx context.Context, a db.Account) ([]access.Scope, error) {
	role := access.Role(a.Role)
	if _, temporary := access.EndOfPassword(a.Password); temporary {
		return []access.Scope{access.Accounts}, nil
	}
	if s.logins.Two.of(role) {
		since, err := s.secondSince(ctx, a.ID)
		if err != nil {
			return nil, err
		}
		if since == 0 {
			return []access.Scope{access.Accounts}, nil
		}
	}
	return access.ScopesOf(role), nil
}

// NewPassword is a change of password: what is known, and what comes after.
type NewPassword struct {
	Old, Password string
	Code          string // of the second factor, where there is one
}

// ChangePassword takes another password in the place of the one that is known,
// ends all logins, and gives a new one. Errors: ErrNobody (the old one is
// wrong), ErrCode, ErrInvalid, ErrDenied (boats have none).
func (s *Service) ChangePassword(ctx context.Context, c access.Caller, n NewPassword) (Admitted, error) {
	a, err := s.proved(ctx, c, n.Old, n.Code)
	if err != nil {
		return Admitted{}, err
	}
	s.hashing <- struct{}{}
	kept, bad := access.HashPassword(n.Password, a.Name)
	<-s.hashing
	if bad != nil {
		return Admitted{}, &InvalidError{What: "password", Faults: []Fault{{Path: "password", Problem: bad.Error()}}}
	}
	if err := s.db.SetPassword(ctx, a.ID, a.ID, a.Password, kept, loginLabel, "change password"); err != nil {
		return Admitted{}, err
	}
	a.Password = kept
	return s.logIn(ctx, a, "log in", "")
}

// recognized is a caller's account once the password has been shown anew.
func (s *Service) recognized(ctx context.Context, c access.Caller, password string) (db.Account, error) {
	a, err := s.db.Account(ctx, c.Account)
	if err != nil {
		return db.Account{}, err
	}
	if a.Password == "" {
		return db.Account{}, fmt.Errorf("%w: a boat has keys and no password", ErrDenied)
	}
	if !s.knows(a, password) {
		return db.Account{}, ErrNobody
	}
	return a, nil
}

// proved is a caller's account once the password and, where there is one, the
// second factor have been shown anew.
func (s *Service) proved(ctx context.Context, c access.Caller, password, code string) (db.Account, error) {
	a, err := s.recognized(ctx, c, password)
	if err == nil {
		_, err = s.second(ctx, a.ID, code)
	}
	return a, err
}

// resetHolds is how long a password holds that was set for somebody.
const resetHolds = 24 * time.Hour

// ResetPassword sets a password for somebody who forgot theirs, by command on
// the server, and gives it: it holds for a day, and is good for setting another.
// Logins end; a second factor stays. ErrNotFound, ErrDenied (boats have none).
func (s *Service) ResetPassword(ctx context.Context, id string) (string, error) {
	a, err := s.db.Account(ctx, id)
	if err != nil {
		return "", err
	}
	if a.Password == "" {
		return "", fmt.Errorf("password: %w: this account has keys and no password", ErrDenied)
	}
	s.hashing <- struct{}{}
	text, kept := access.TemporaryPassword(s.now().Add(resetHolds))
	<-s.hashing
	return text, s.db.SetPassword(ctx, "", a.ID, a.Password, kept, loginLabel, "reset password")
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
	if !access.Fits(key, k.Sum) || !s.holds(k) {
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
	if k.Label == loginLabel {
		c.Login = k.Prefix
		if now := s.now().UnixMilli(); now-k.UsedMs >= noted.Milliseconds() {
			if err := s.db.UseKey(ctx, k.Prefix, now); err != nil && !errors.Is(err, ErrFull) { // reads go on, and the login ends the sooner
				return access.Caller{}, err
			}
		}
	}
	return s.narrowed(ctx, c, k)
}

// holds says whether a key is neither revoked nor over, nor a login's that was
// not used for long.
func (s *Service) holds(k db.Key) bool {
	now := s.now().UnixMilli()
	if k.RevokedMs != 0 || k.EndsMs != 0 && k.EndsMs <= now {
		return false
	}
	return k.Label != loginLabel || now-max(k.CreatedMs, k.UsedMs) < s.logins.Quiet.Milliseconds()
}

// narrowed takes moderating from a moderator's key that was made before a
// second factor was shown, where one is asked for.
func (s *Service) narrowed(ctx context.Context, c access.Caller, k db.Key) (access.Caller, error) {
	if !s.logins.Two.of(access.Moderator) || c.Role != access.Moderator || !slices.Contains(c.Scopes, access.Moderate) {
		return c, nil
	}
	since, err := s.secondSince(ctx, c.Account)
	if err == nil && (since == 0 || k.CreatedMs < since) {
		c.Scopes = slices.DeleteFunc(c.Scopes, func(w access.Scope) bool { return w == access.Moderate })
	}
	return c, err
}
