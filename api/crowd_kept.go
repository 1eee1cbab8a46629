package api

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"strings"

	"hardtack/db"
	"hardtack/pricing/calendar"
	"hardtack/pricing/estimate"
)

// keptForm is of how sums are kept.
const keptForm = 1

// crowdDays is how long sums go on with the basis they began with: reporters,
// shops, seasons and spreads are learned anew then.
const crowdDays = 7

// keptHead is the first part of the sums as they are kept. The second is the ids
// of the reports their basis was fitted to, the others are the sums.
type keptHead struct {
	Form    int          `json:"form"`
	At      int64        `json:"at"`    // the change up to which reports are in
	Day     calendar.Day `json:"day"`   // on which they stand
	Began   calendar.Day `json:"began"` // the basis's day
	Reports int          `json:"reports"`
	Print   string       `json:"print"` // of the basis
	SHA256  string       `json:"sha256"`
}

// errNotKept is that there are no sums that could be gone on with.
var errNotKept = errors.New("no sums of these reports and this program are kept")

// keep keeps the sums for whoever starts next, with nothing of a report but its
// id. What cannot be kept is added up again then: not a failure of what is
// under way.
func (s *Service) keep(ctx context.Context, c *crowd) error {
	sum := sha256.New()
	c.parts(func(part []byte) bool { sum.Write(part); return true })
	head, err := json.Marshal(keptHead{keptForm, c.at, c.day, c.began, c.reports, c.print, hex.EncodeToString(sum.Sum(nil))})
	if err != nil {
		return err
	}
	err = s.db.PutSums(ctx, func(yield func([]byte) bool) {
		if yield(head) {
			c.parts(yield)
		}
	})
	if err != nil {
		return ctx.Err()
	}
	return nil
}

// parts are the sums but for their head.
func (c *crowd) parts(yield func([]byte) bool) {
	if yield([]byte(strings.Join(c.sample, "\n"))) {
		c.large.Parts()(yield)
	}
}

// keptCrowd is the crowd as it was kept, with what it was fitted to as it is now.
// The error is errNotKept when there is none of use: of another day, program or
// place, torn, or of reports that are not what they were.
func (s *Service) keptCrowd(ctx context.Context, until int64, today calendar.Day) (*crowd, error) {
	var c *crowd
	var head keptHead
	sum, number := sha256.New(), 0
	err := s.db.EachSums(ctx, func(part []byte) (err error) {
		number++
		if number == 1 {
			return s.mayGoOn(ctx, part, &head, until, today)
		}
		sum.Write(part)
		if number == 2 {
			c, err = s.begunAgain(ctx, head, strings.Split(string(part), "\n"))
			return err
		}
		if c.large.Load(part) != nil {
			return errNotKept
		}
		return nil
	})
	switch {
	case err != nil:
		return nil, err
	case c == nil || hex.EncodeToString(sum.Sum(nil)) != head.SHA256:
		return nil, errNotKept
	}
	c.large.Solve()
	return c, nil
}

// mayGoOn reads the head and says whether the sums may be gone on with.
func (s *Service) mayGoOn(ctx context.Context, part []byte, head *keptHead, until int64, today calendar.Day) error {
	if json.Unmarshal(part, head) != nil || head.Form != keptForm || head.At > until || head.Reports <= s.many || !mayServe(head.Began, head.Day, today) {
		return errNotKept
	}
	places, err := s.db.Change(ctx, db.KindRate, db.KindPort)
	if err == nil && places > head.At {
		return errNotKept
	}
	return err
}

// mayServe says whether sums that stand on a day, of a basis of an earlier one,
// may be gone on with.
func mayServe(began, day, today calendar.Day) bool {
	return day <= today && today-began < crowdDays
}

// begunAgain fits the basis anew, to the reports it was fitted to.
func (s *Service) begunAgain(ctx context.Context, head keptHead, sample []string) (*crowd, error) {
	there, err := s.db.ReportsByID(ctx, sample)
	if err != nil {
		return nil, err
	}
	if len(there) != len(sample) {
		return nil, errNotKept
	}
	in, err := s.evidence(ctx, head.Began)
	if err != nil {
		return nil, err
	}
	for _, id := range sample {
		in.Reports = append(in.Reports, there[id])
	}
	c := begin(in)
	if c.print != head.Print {
		return nil, errNotKept
	}
	c.at, c.day, c.reports = head.At, head.Day, head.Reports
	return c, nil
}

// begin makes a crowd of a basis that has heard no reports yet.
func begin(in estimate.Input) *crowd {
	basis := estimate.Fit(in)
	c := &crowd{Model: basis, large: estimate.NewLarge(basis), day: in.Day, began: in.Day, print: estimate.Print(basis, in.Reports)}
	for _, r := range in.Reports {
		c.sample = append(c.sample, r.ID)
	}
	return c
}
