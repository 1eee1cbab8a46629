package api

import (
	"context"
	"errors"
	"fmt"
	"time"

	"hardtack/api/access"
	"hardtack/db"
)

// ErrCode is a second factor that is not shown: no code, one that does not
// hold, or one that was used. Nothing was changed.
var ErrCode = errors.New("want a code of the second factor that was not used yet, or a recovery code")

// TooOftenError says how long to wait before the next try.
type TooOftenError struct{ Wait time.Duration }

// Error says it in words.
func (e *TooOftenError) Error() string {
	return fmt.Sprintf("too many codes that do not hold: wait %s", e.Wait.Round(time.Second))
}

// TwoFactors is of whom a second factor is asked.
type TwoFactors string

// Of whom. Whoever has one in force always shows it.
const (
	ByWish     TwoFactors = "by-wish"
	Moderators TwoFactors = "moderators" // without it they do not moderate
	Everybody  TwoFactors = "everybody"  // without it a login is good for setting one up
)

func (t TwoFactors) of(r access.Role) bool {
	return t == Everybody && r != access.Boat || t == Moderators && r == access.Moderator
}

// wrongCodes is how many codes may be wrong: five, then one in five minutes,
// so that a million codes are not tried through.
var wrongCodes = access.Limit{Per: 1. / 300, Burst: 5}

// inForce is an account's second factor that is asked for; ok is false when
// there is none.
func (s *Service) inForce(ctx context.Context, account string) (f db.Factor, ok bool, err error) {
	f, err = s.db.Factor(db.As(ctx, account), account)
	if isNotFound(err) {
		return db.Factor{}, false, nil
	}
	return f, err == nil && f.SinceMs > 0, err
}

func (s *Service) secondSince(ctx context.Context, account string) (int64, error) {
	f, _, err := s.inForce(ctx, account)
	return f.SinceMs, err
}

// second holds a code against an account's second factor, and says how it was
// shown; without one there is nothing to show.
func (s *Service) second(ctx context.Context, account, code string) (how string, err error) {
	f, ok, err := s.inForce(ctx, account)
	if err != nil || !ok {
		return "", err
	}
	if code == "" {
		return "", ErrCode
	}
	return how, s.tryCode(account, func() (err error) {
		how, err = s.useCode(db.As(ctx, account), f, code)
		return err
	})
}

// tryCode counts codes that do not hold, one after another: many at once are no
// way around.
func (s *Service) tryCode(account string, try func() error) error {
	s.codes.Lock()
	defer s.codes.Unlock()
	if wait, ok := s.codes.wrong.Free(account, s.now()); !ok {
		return &TooOftenError{wait}
	}
	err := try()
	if errors.Is(err, ErrCode) {
		s.codes.wrong.Take(account, s.now())
	}
	return err
}

func (s *Service) useCode(ctx context.Context, f db.Factor, code string) (how string, err error) {
	if step, ok := access.StepOf(f.Secret, code, s.now()); ok {
		how, err = ", two factors", s.db.UseStep(ctx, f.Account, step)
	} else {
		how, err = ", recovery code", s.db.UseRecoveryCode(ctx, f.Account, access.RecoverySum(code))
	}
	if errors.Is(err, ErrStale) || isNotFound(err) {
		return "", ErrCode
	}
	return how, err
}

// OfferFactor draws a second factor for a caller who shows the password anew;
// it is asked for once it is confirmed. Errors: ErrNobody, ErrDenied (boats
// have none), ErrConflict (one is in force).
func (s *Service) OfferFactor(ctx context.Context, c access.Caller, password string) (access.Factor, error) {
	a, err := s.recognized(ctx, c, password)
	if err != nil {
		return access.Factor{}, err
	}
	return s.offer(ctx, c.Account, a)
}

// OfferFactorTo is OfferFactor by command on the server.
func (s *Service) OfferFactorTo(ctx context.Context, id string) (access.Factor, error) {
	a, err := s.db.Account(ctx, id)
	if err == nil && a.Password == "" {
		err = fmt.Errorf("second factor: %w: this account has keys and no password", ErrDenied)
	}
	if err != nil {
		return access.Factor{}, err
	}
	return s.offer(ctx, "", a)
}

func (s *Service) offer(ctx context.Context, by string, a db.Account) (access.Factor, error) {
	f, err := access.NewFactor(a.Name)
	if err != nil {
		return access.Factor{}, err
	}
	err = s.db.OfferFactor(ctx, by, a.ID, f.Secret)
	if errors.Is(err, ErrConflict) {
		err = fmt.Errorf("second factor: %w: one is in force; take it away first", ErrConflict)
	}
	return f, err
}

// Confirmed is a second factor put in force: a new login, and recovery codes,
// shown this once.
type Confirmed struct {
	Admitted
	RecoveryCodes []string `json:"recovery_codes"`
}

// ConfirmFactor puts in force what was offered, once a code shows that the
// authenticator has it. All other logins end. Errors: ErrNotFound (nothing is
// offered), ErrCode, a *TooOftenError.
func (s *Service) ConfirmFactor(ctx context.Context, c access.Caller, code string) (Confirmed, error) {
	codes, err := s.confirm(ctx, c.Account, c.Account, code)
	if err != nil {
		return Confirmed{}, err
	}
	a, err := s.db.Account(ctx, c.Account)
	if err != nil {
		return Confirmed{}, err
	}
	in, err := s.logIn(ctx, a, "log in, two factors", "")
	return Confirmed{in, codes}, err
}

// ConfirmFactorOf is ConfirmFactor by command on the server; it gives the
// recovery codes.
func (s *Service) ConfirmFactorOf(ctx context.Context, id, code string) ([]string, error) {
	return s.confirm(ctx, "", id, code)
}

func (s *Service) confirm(ctx context.Context, by, account, code string) (codes []string, err error) {
	f, err := s.db.Factor(db.As(ctx, account), account)
	if err != nil {
		return nil, err
	}
	if f.SinceMs > 0 {
		return nil, fmt.Errorf("second factor: %w: it is in force", ErrConflict)
	}
	codes, sums := access.NewRecoveryCodes()
	return codes, s.tryCode(account, func() error {
		step, ok := access.StepOf(f.Secret, code, s.now())
		if !ok {
			return ErrCode
		}
		f.SinceMs, f.Step = s.now().UnixMilli(), step
		return s.db.ConfirmFactor(ctx, by, f, sums, loginLabel)
	})
}

// RemoveFactor takes a caller's second factor away; both factors are shown
// anew, and all logins end. Errors: ErrNobody, ErrCode, ErrNotFound.
func (s *Service) RemoveFactor(ctx context.Context, c access.Caller, password, code string) error {
	if _, err := s.proved(ctx, c, password, code); err != nil {
		return err
	}
	return s.db.RemoveFactor(ctx, c.Account, c.Account, loginLabel)
}

// RemoveFactorOf is RemoveFactor by command on the server, for somebody whose
// authenticator and recovery codes are lost.
func (s *Service) RemoveFactorOf(ctx context.Context, id string) error {
	return s.db.RemoveFactor(ctx, "", id, loginLabel)
}
