// Package client calls on another Hardtack server: a shared one, or a boat's
// alongside. It is made for links that are slow and break: small messages,
// patient waiting, and a visit that goes on where it was cut.
package client

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"hardtack/api"
	"hardtack/api/exchange"
)

// Client talks to one server. It is safe for use by many goroutines.
type Client struct {
	base string
	key  string
	http *http.Client
	wait func(context.Context, time.Duration) error
	max  int
}

// Options of a client; the zero value takes every default.
type Options struct {
	Key   string       // of an account there; empty: none
	HTTP  *http.Client // default one that gives a message of 16 kB time at 1 kbit/s
	Tries int          // how often a message is tried before giving up; default 8
	// Wait waits; default by the machine's clock.
	Wait func(context.Context, time.Duration) error
}

// Problem is what the server said when it refused.
type Problem struct {
	Status int    `json:"status"`
	Title  string `json:"title"`
	Detail string `json:"detail"`
	after  time.Duration
}

// Error is title and detail.
func (p *Problem) Error() string {
	return fmt.Sprintf("the server says %d %s", p.Status, strings.TrimSuffix(p.Title+": "+p.Detail, ": "))
}

// ErrAddress is a server address that cannot be called.
var ErrAddress = errors.New("no address of a server")

// New makes a client of a server's address, http:// or https://; with a key
// https:// unless the server is near.
func New(address string, o Options) (*Client, error) {
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil {
		return nil, fmt.Errorf("%w: %q, want http://HOST:PORT or https://HOST", ErrAddress, address)
	}
	if o.Key != "" && u.Scheme == "http" && !near(u.Hostname()) {
		return nil, fmt.Errorf("%w: %q: anybody on the way could read the key, want https://", ErrAddress, address)
	}
	c := &Client{base: strings.TrimRight(u.String(), "/"), key: o.Key, http: o.HTTP, wait: o.Wait, max: o.Tries}
	if c.http == nil {
		c.http = patient()
	}
	if c.wait == nil {
		c.wait = sleep
	}
	if c.max == 0 {
		c.max = 8
	}
	return c, nil
}

// Name is what the server is called: its address.
func (c *Client) Name() string { return c.base }

// Close lets go of the connections that are kept for the next message.
func (c *Client) Close() { c.http.CloseIdleConnections() }

// patient gives slow links time but notices dead ones.
func patient() *http.Client {
	return &http.Client{
		Timeout: 5 * time.Minute,
		Transport: &http.Transport{
			Proxy:               http.ProxyFromEnvironment,
			DialContext:         (&net.Dialer{Timeout: time.Minute, KeepAlive: 30 * time.Second}).DialContext,
			TLSHandshakeTimeout: time.Minute, IdleConnTimeout: time.Minute, MaxIdleConnsPerHost: 1, DisableCompression: true,
		},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }, // a key goes nowhere else
	}
}

func sleep(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-t.C:
		return nil
	}
}

// Exchange exchanges with the server until neither has anything more. A
// message that was lost is sent again, which changes nothing if it had arrived.
func (c *Client) Exchange(ctx context.Context, s *api.Service, v exchange.Visit) (exchange.Done, error) {
	v.Peer = c.base
	return s.Exchange(ctx, v, c.Post)
}

// Post carries one message of an exchange there and its answer back.
func (c *Client) Post(ctx context.Context, message []byte) ([]byte, error) {
	return c.post(ctx, "/v1/exchange", exchangeType, message)
}

const exchangeType = "application/vnd.hardtack.exchange"

// post sends a body until it is answered. Only what a repeat may cure is
// repeated: the link, and a server that is busy or being put right.
func (c *Client) post(ctx context.Context, path, contentType string, body []byte) ([]byte, error) {
	for try := 1; ; try++ {
		answer, err := c.once(ctx, path, contentType, body)
		var p *Problem
		switch {
		case err == nil:
			return answer, nil
		case ctx.Err() != nil, try >= c.max, errors.As(err, &p) && !p.passing():
			return nil, err
		}
		pause := time.Second << min(try-1, 6)
		if p != nil && p.after > 0 {
			pause = p.after
		}
		if err := c.wait(ctx, pause); err != nil {
			return nil, err
		}
	}
}

func (p *Problem) passing() bool {
	return p.Status == http.StatusTooManyRequests || p.Status == http.StatusServiceUnavailable || p.Status == http.StatusBadGateway || p.Status == http.StatusGatewayTimeout
}

func (c *Client) once(ctx context.Context, path, contentType string, body []byte) (answer []byte, err error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, c.base+path, bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	r.Header.Set("Content-Type", contentType)
	r.Header.Set("User-Agent", "hardtack")
	if c.key != "" {
		r.Header.Set("Authorization", "Bearer "+c.key)
	}
	resp, err := c.http.Do(r)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, resp.Body.Close()) }()
	answer, err = io.ReadAll(io.LimitReader(resp.Body, exchange.MaxMessage+1))
	if err != nil {
		return nil, err
	}
	if resp.StatusCode != http.StatusOK {
		return nil, problemOf(resp, answer)
	}
	if t, _, _ := mime.ParseMediaType(resp.Header.Get("Content-Type")); t != contentType {
		return nil, fmt.Errorf("%s answers with %q: %w", c.base, t, exchange.ErrUnreadable)
	}
	return answer, nil
}

func problemOf(resp *http.Response, body []byte) error {
	p := &Problem{Status: resp.StatusCode, Title: http.StatusText(resp.StatusCode)}
	if json.Unmarshal(body, p) != nil || p.Status != resp.StatusCode {
		p = &Problem{Status: resp.StatusCode, Title: http.StatusText(resp.StatusCode)} // somebody else's page
	}
	if s, err := time.ParseDuration(resp.Header.Get("Retry-After") + "s"); err == nil {
		p.after = min(s, 5*time.Minute)
	}
	return p
}
