package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"hardtack/api"
)

type accountResetCmd struct {
	ID string `arg:"" help:"The account, see hardtack account list."`
}

// Run sets the password and prints it.
func (c *accountResetCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		text, err := s.ResetPassword(sh.ctx, c.ID)
		if err != nil {
			return err
		}
		return sh.emit(map[string]string{"password": text}, func(w io.Writer) error {
			_, err := fmt.Fprintln(w, text)
			return err
		})
	})
}

type accountPairCmd struct {
	ID string `arg:"" help:"The account, see hardtack account list."`
}

// Run shows the secret, reads a code of the authenticator from standard input,
// and prints the recovery codes.
func (c *accountPairCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		f, err := s.OfferFactorTo(sh.ctx, c.ID)
		if err != nil {
			return err
		}
		sh.say("Give the authenticator this secret: %s\nor open: %s\nThe code it shows, then Enter:", f.Secret, f.Address)
		code, err := bufio.NewReader(io.LimitReader(sh.in, 100)).ReadString('\n')
		if err != nil && err != io.EOF {
			return err
		}
		codes, err := s.ConfirmFactorOf(sh.ctx, c.ID, strings.TrimSpace(code))
		if err != nil {
			return err
		}
		return sh.emit(map[string][]string{"recovery_codes": codes}, func(w io.Writer) error {
			_, err := fmt.Fprintln(w, strings.Join(codes, "\n"))
			return err
		})
	})
}

type accountUnpairCmd struct {
	ID  string `arg:"" help:"The account, see hardtack account list."`
	Yes bool   `help:"Yes, you know who asks: the password alone is enough from then on."`
}

// Run takes it away.
func (c *accountUnpairCmd) Run(sh *shell) error {
	if !c.Yes {
		return fmt.Errorf("%w: make sure who asks, as when the account was made, then say --yes; nothing was changed", errUsage)
	}
	return sh.service(func(s *api.Service) error { return s.RemoveFactorOf(sh.ctx, c.ID) })
}
