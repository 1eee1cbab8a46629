// Bench measures the planner on seeded random briefs and prints tables: plans
// and proven bounds against time, growth of time against size, and a general
// solver on the exported model. Best totals known are kept in
// testdata/instances/best.csv. Beside it stand what lied prices do to plans, and
// the time of the price model. Everything planned and priced is invented.
//
//	go run ./cmd/bench plans --size small --seeds 3
//	go run ./cmd/bench growth
//	go run ./cmd/bench general --size small --first 1 --seconds 10,60
//	go run ./cmd/bench walk --size small --seeds 4
//	go run ./cmd/bench liars --size small --seeds 4
//	go run ./cmd/bench prices
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"

	"github.com/alecthomas/kong"
)

type commands struct {
	Plans   plansCmd   `cmd:"" help:"First plan, cost after given times, bound and gap, for random briefs."`
	Growth  growthCmd  `cmd:"" help:"Time against the number of needs and of stops, with the exponent."`
	General generalCmd `cmd:"" help:"A general solver on the exported model, one brief at a time."`
	Walk    walkCmd    `cmd:"" help:"Seasons walked with what may turn out otherwise, with and without caution."`
	Prices  pricesCmd  `cmd:"" help:"Time of the price model's fit and answers against the number of reports, with the exponents."`
	Liars   liarsCmd   `cmd:"" help:"What plans made with lied estimates cost at true prices."`
}

func main() {
	var c commands
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	k := kong.Parse(&c, kong.Description("Measure the planner and the price model."), kong.UsageOnError())
	k.BindTo(ctx, (*context.Context)(nil))
	if err := k.Run(); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}
