package main

import (
	"fmt"
	"io"
	"strings"

	"hardtack/api"
	"hardtack/api/access"
)

type accountCmd struct {
	Add     accountAddCmd     `cmd:"" help:"Add an account; its first key is printed this once."`
	Invite  accountInviteCmd  `cmd:"" help:"Print an invitation for one account."`
	List    accountListCmd    `cmd:"" default:"withargs" help:"Show all accounts."`
	Key     accountKeyCmd     `cmd:"" help:"Print a new key of an account, this once."`
	Reset   accountResetCmd   `cmd:"" help:"Print a password for somebody who forgot theirs: it holds for a day, to set another with."`
	Pair    accountPairCmd    `cmd:"" help:"Set up an account's second factor; its recovery codes are printed this once."`
	Unpair  accountUnpairCmd  `cmd:"" help:"Take a second factor away whose device and recovery codes are lost."`
	Suspend accountSuspendCmd `cmd:"" help:"Suspend an account; its keys end."`
	Resume  accountResumeCmd  `cmd:"" help:"Let a suspended account work again."`
	Erase   accountEraseCmd   `cmd:"" help:"Take away whatever says whose an account's reports are."`
}

// Help implements kong's HelpProvider.
func (accountCmd) Help() string {
	return `Accounts of a shared server, see "hardtack serve --accounts". A boat of its own
needs none. What is done here is written into the audit trail.

Moderators need a second factor unless the server's setting says otherwise:
"account pair" sets one up, or they do it themselves by the API.

Example:
  hardtack account add "the committee boat"`
}

type accountAddCmd struct {
	Name string `arg:"" help:"3 to 40 letters, digits, blanks, dashes, dots."`
	Role string `help:"boat, skipper or moderator." enum:"boat,skipper,moderator" default:"boat"`
}

// Run adds the account. A password comes from standard input.
func (c *accountAddCmd) Run(sh *shell) error {
	a := api.Applicant{Name: c.Name, Role: access.Role(c.Role)}
	if a.Role != access.Boat {
		sh.say("Password, then Enter:")
		b, err := io.ReadAll(io.LimitReader(sh.in, 1000))
		if err != nil {
			return err
		}
		a.Password = strings.TrimRight(string(b), "\r\n")
	}
	return sh.service(func(s *api.Service) error {
		done, err := s.AddAccount(sh.ctx, a)
		if err != nil {
			return err
		}
		return sh.emit(done, func(w io.Writer) error {
			_, err := fmt.Fprintf(w, "%s\n%s\n", done.Account.ID, done.Key)
			return err
		})
	})
}

type accountInviteCmd struct {
	Role string `help:"boat, skipper or moderator." enum:"boat,skipper,moderator" default:"boat"`
	Days int    `help:"How long it holds." default:"14"`
}

// Run makes the invitation.
func (c *accountInviteCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		text, err := s.Invite(sh.ctx, "", access.Role(c.Role), c.Days)
		if err != nil {
			return err
		}
		return sh.emit(map[string]string{"invitation": text}, func(w io.Writer) error {
			_, err := fmt.Fprintln(w, text)
			return err
		})
	})
}

type accountListCmd struct{}

// Run shows all accounts.
func (accountListCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		all, err := s.Accounts(sh.ctx)
		if err != nil {
			return err
		}
		return sh.emit(all, func(w io.Writer) error {
			p := columns(w)
			for _, a := range all {
				p.f("%s\t%s\t%s\t%s\n", a.ID, a.Name, a.Role, a.State)
			}
			if len(all) == 0 {
				p.f("No accounts.\n")
			}
			return p.end()
		})
	})
}

type accountKeyCmd struct {
	ID    string   `arg:"" help:"The account, see hardtack account list."`
	Label string   `help:"What the key is used by." default:"by command"`
	Scope []string `help:"reports, accounts, moderate." default:"reports"`
	Days  int      `help:"How long it holds; 0: until it is revoked."`
}

// Run makes the key.
func (c *accountKeyCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		key, err := s.KeyFor(sh.ctx, c.ID, c.Label, c.Scope, c.Days)
		if err != nil {
			return err
		}
		return sh.emit(map[string]string{"key": key}, func(w io.Writer) error {
			_, err := fmt.Fprintln(w, key)
			return err
		})
	})
}

type accountSuspendCmd struct {
	ID string `arg:"" help:"The account."`
}

// Run suspends it.
func (c *accountSuspendCmd) Run(sh *shell) error { return setState(sh, c.ID, "suspended") }

type accountResumeCmd struct {
	ID string `arg:"" help:"The account."`
}

// Run lets it work again.
func (c *accountResumeCmd) Run(sh *shell) error { return setState(sh, c.ID, "active") }

func setState(sh *shell, id, state string) error {
	return sh.service(func(s *api.Service) error {
		a, err := s.SetState(sh.ctx, "", id, state)
		if err != nil {
			return err
		}
		return sh.emit(a, func(w io.Writer) error {
			_, err := fmt.Fprintf(w, "%s is %s.\n", a.Name, a.State)
			return err
		})
	})
}

type accountEraseCmd struct {
	ID  string `arg:"" help:"The account."`
	Yes bool   `help:"Yes, erase it: that cannot be undone."`
}

// Run erases it.
func (c *accountEraseCmd) Run(sh *shell) error {
	if !c.Yes {
		return fmt.Errorf("%w: erasing cannot be undone: say --yes; nothing was changed", errUsage)
	}
	return sh.service(func(s *api.Service) error { return s.Erase(sh.ctx, "", c.ID) })
}
