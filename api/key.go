package api

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"hardtack/api/access"
	"hardtack/api/exchange"
	"hardtack/db"
	"hardtack/pricing"
)

// Key is a key as its owner sees it: never itself.
type Key struct {
	Prefix  string         `json:"prefix"`
	Label   string         `json:"label"`
	Scopes  []access.Scope `json:"scopes"`
	Created time.Time      `json:"created"`
	Ends    *time.Time     `json:"ends,omitempty"`
	Revoked *time.Time     `json:"revoked,omitempty"`
	Used    *time.Time     `json:"used,omitempty"` // of a login, to the minute
}

// NewKey makes a key of a caller's account, with no more scopes than the
// caller has. Days is how long it holds; 0: until it is revoked. The key is
// shown this once.
func (s *Service) NewKey(ctx context.Context, c access.Caller, label string, scopes []access.Scope, days int) (string, error) {
	var fs faults
	if want := wantText(label, maxName); want != "" || label == "" || label == loginLabel {
		fs.add("label", quote(label), "a word for what it is used by")
	}
	if len(scopes) == 0 {
		scopes = []access.Scope{access.Reports}
	}
	for i, w := range scopes {
		if !slices.Contains(c.Scopes, w) {
			fs.add(fmt.Sprintf("scopes[%d]", i), quote(string(w)), "one the key has that asks")
		}
	}
	if days < 0 || days > 3650 {
		fs.add("days", fmt.Sprint(days), "0 to 3650")
	}
	if err := fs.err("key"); err != nil {
		return "", err
	}
	return s.addKey(ctx, c.Account, label, scopes, time.Duration(days)*24*time.Hour)
}

func (s *Service) addKey(ctx context.Context, account, label string, scopes []access.Scope, holds time.Duration) (string, error) {
	text, k := s.newKey(account, label, scopes, holds)
	return text, s.db.AddKey(db.As(ctx, account), k)
}

func (s *Service) newKey(account, label string, scopes []access.Scope, holds time.Duration) (text string, k db.Key) {
	secret, now := access.NewSecret(), s.now()
	words := make([]string, len(scopes))
	for i, w := range scopes {
		words[i] = string(w)
	}
	k = db.Key{Prefix: secret.Prefix, Account: account, Sum: secret.Sum, Scopes: strings.Join(words, " "), Label: label, CreatedMs: now.UnixMilli()}
	if holds > 0 {
		k.EndsMs = now.Add(holds).UnixMilli()
	}
	return secret.Text, k
}

// Keys are those of a caller's account, revoked ones too.
func (s *Service) Keys(ctx context.Context, c access.Caller) ([]Key, error) {
	all, err := s.db.Keys(db.As(ctx, c.Account), c.Account)
	out := make([]Key, 0, len(all))
	for _, k := range all {
		key := Key{Prefix: k.Prefix, Label: k.Label, Created: time.UnixMilli(k.CreatedMs).UTC(), Ends: moment(k.EndsMs), Revoked: moment(k.RevokedMs), Used: moment(k.UsedMs)}
		for _, w := range strings.Fields(k.Scopes) {
			key.Scopes = append(key.Scopes, access.Scope(w))
		}
		out = append(out, key)
	}
	return out, err
}

func moment(ms int64) *time.Time {
	if ms == 0 {
		return nil
	}
	t := time.UnixMilli(ms).UTC()
	return &t
}

// RevokeKey ends a key of a caller's account; ErrNotFound for anybody else's.
func (s *Service) RevokeKey(ctx context.Context, c access.Caller, prefix string) error {
	return s.db.RevokeKey(db.As(ctx, c.Account), c.Account, prefix)
}

// ClaimReporter makes a reporter's id the caller's own if it is nobody's yet.
// ErrDenied when it is another account's, ErrInvalid when it can be nobody's.
func (s *Service) ClaimReporter(ctx context.Context, c access.Caller, reporter string) error {
	if want := wantText(reporter, maxName); want != "" {
		var fs faults
		fs.add("reporter", quote(reporter), want)
		return fs.err("report")
	}
	others, err := s.db.ClaimReporters(ctx, c.Account, []string{reporter})
	if err == nil && len(others) > 0 {
		err = fmt.Errorf("reporter %s: %w: it is another account's; nothing was changed", quote(reporter), ErrDenied)
	}
	return err
}

// Owns says whether a report is of one of the caller's reporters.
func (s *Service) Owns(ctx context.Context, c access.Caller, r pricing.Report) (bool, error) {
	mine, err := s.db.Reporters(db.As(ctx, c.Account), c.Account)
	return slices.Contains(mine, r.Reporter), err
}

// OwnReporters are the reporters' ids of a caller's account.
func (s *Service) OwnReporters(ctx context.Context, c access.Caller) ([]string, error) {
	return s.db.Reporters(db.As(ctx, c.Account), c.Account)
}

// memberTerms are what an account may bring: reports of its own reporters.
func (s *Service) memberTerms(ctx context.Context, c access.Caller, p *exchange.Party, ask exchange.Ask) (exchange.Terms, error) {
	rs, err := p.Brought(ask)
	if err != nil {
		return exchange.Terms{}, err
	}
	var reporters []string
	for _, r := range rs {
		if !slices.Contains(reporters, r.Reporter) && exchange.Check(r) == "" {
			reporters = append(reporters, r.Reporter)
		}
	}
	others, err := s.db.ClaimReporters(ctx, c.Account, reporters)
	if err != nil {
		return exchange.Terms{}, err
	}
	told, err := s.published(ctx)
	if err != nil {
		return exchange.Terms{}, err
	}
	return exchange.Terms{Carrier: c.Account, Shelf: told, May: func(r db.Record) string {
		if slices.Contains(others, r.Reporter) {
			return "its reporter is another account's"
		}
		return ""
	}}, nil
}

// KeyFor makes a key of an account by command on the server. Errors as NewKey,
// and ErrNotFound.
func (s *Service) KeyFor(ctx context.Context, account, label string, scopes []string, days int) (string, error) {
	a, err := s.db.Account(ctx, account)
	if err != nil {
		return "", err
	}
	var words []access.Scope
	for _, w := range scopes {
		words = append(words, access.Scope(w))
	}
	c := access.Caller{Account: a.ID, Role: access.Role(a.Role), Scopes: access.ScopesOf(access.Role(a.Role))}
	return s.NewKey(ctx, c, label, words, days)
}
