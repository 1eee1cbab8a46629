// Package api has the operations of the system: load, ask the core, save.
// Pages, the JSON API and the commands are thin skins over the same Service;
// there is no HTTP here.
package api

import (
	"sync"
	"sync/atomic"
	"time"

	"github.com/google/uuid"

	"hardtack/api/access"
	"hardtack/api/exchange"
	"hardtack/db"
	"hardtack/pricing/calendar"
)

// Service answers for one database. It is safe for use by many goroutines.
type Service struct {
	db    *db.DB
	world *World
	now   func() time.Time
	newID func() string

	known struct { // what was worked out from the database, by its change
		sync.Mutex
		place cached[place]
	}
	many    int        // reports from which on pairs are kept as sums
	fitting sync.Mutex // one fits at a time; it takes a while
	beliefs atomic.Pointer[beliefs]
	asked   asked

	searches struct { // that keep a plan before their end, by voyage
		sync.Mutex
		of map[string]Search
	}

	public bool
	logins Logins
	codes  struct { // of second factors that did not hold, by account
		sync.Mutex
		wrong *access.Limits
	}
	hashing chan struct{}                   // a place for each password being hashed: that takes memory
	codec   func() (*exchange.Codec, error) // of messages to other databases; takes memory once it is asked for
}

// Options of a Service; the zero value takes every default.
type Options struct {
	Now   func() time.Time // default time.Now
	NewID func() string    // default a random UUID
	// Public makes all that is believed rest on what was told to everybody, as
	// on a shared server: a figure says no more than what is public.
	Public bool
	// Logins are the rules of logins on a shared server.
	Logins Logins
	// Many is from how many reports on prices are estimated from sums, which
	// need no memory for each report; default 300,000.
	Many int
	// Codec of messages to other databases, which takes tens of megabytes:
	// several services may share one. Default: one of its own, once it is needed.
	Codec *exchange.Codec
}

// manyAccounts is for how many accounts wrong codes are counted one by one.
const manyAccounts = 10_000

// New makes a Service on an open database and the data the program comes with.
func New(d *db.DB, w *World, o Options) *Service {
	s := &Service{db: d, world: w, now: o.Now, newID: o.NewID, public: o.Public, many: o.Many, hashing: make(chan struct{}, 2), codec: sync.OnceValues(exchange.NewCodec)}
	s.logins = o.Logins.orUsual()
	s.codes.wrong = access.NewLimits(wrongCodes, manyAccounts)
	if o.Codec != nil {
		s.codec = func() (*exchange.Codec, error) { return o.Codec, nil }
	}
	if s.now == nil {
		s.now = time.Now
	}
	if s.many == 0 {
		s.many = manyReports
	}
	if s.newID == nil {
		s.newID = uuid.NewString
	}
	s.beliefs.Store(&beliefs{})
	d.Now = s.now
	return s
}

// Today is the civil day, UTC.
func (s *Service) Today() calendar.Day { return calendar.Of(s.now()) }

// World is the data the program comes with.
func (s *Service) World() *World { return s.world }

// cached is a value with the change it was worked out at.
type cached[T any] struct {
	value T
	at    int64
	there bool
}
