# make test    everything a change must pass
# make build   the program, in bin/
# make demo    the demo season on the terminal, then served
# make release everything a release has, in dist/
# make holes   known holes the program can reach
# make size    how large the program is, and what it takes at rest
# make cover   how much of each package its tests reach
# make mutate  how many small changes of the core the tests notice
# make race    every test under the race detector
# make drill   the long form of the drills: kills, power cuts, full disks, damage

STATICCHECK = honnef.co/go/tools/cmd/staticcheck@v0.8.2
TIMEOUT     = 25m

.PHONY: test build demo drill release holes size cover mutate tools lint fmt vet staticcheck unit race budget quick

test: tools lint unit budget

build:
	go build -trimpath -ldflags=-s -o bin/hardtack ./cmd/hardtack

demo:
	go run ./cmd/hardtack demo

# What the tests need beside Go: a C compiler for -race, PostgreSQL, a browser for the pages, and two
# solvers as second opinion on the planner.
tools:
	.ci/tools

lint: fmt vet staticcheck

fmt:
	@unformatted=$$(gofmt -l api cmd db pricing route seed); \
	test -z "$$unformatted" || { echo "gofmt -w these files:"; echo "$$unformatted"; exit 1; }

# Also as for a small computer aboard, whose int has 32 bits.
vet:
	go vet ./...
	GOOS=linux GOARCH=arm CGO_ENABLED=0 go build ./api/... ./db/... ./pricing/... ./route/...

staticcheck:
	go run $(STATICCHECK) ./...

# CI=1 makes a missing tool a failure. Where nearly all the time goes into plans, which one goroutine makes, or into
# databases, the race detector would make minutes of seconds: those packages run without it here, and with it by make race.
# Where the search shares its work out it runs with it here too, in these tests, both of which must be there.
CREW = TestWorkersDoNotMatter|TestEachPieceIsDoneOnce
LONG = hardtack/(api|api/rest|api/web|cmd/hardtack|db/dbtest|route/plan|route/plan/internal/search|route/risk|route/underway)$$

unit:
	CI=1 CGO_ENABLED=1 .ci/postgres go test -race -timeout $(TIMEOUT) $$(go list ./... | grep -Ev '$(LONG)')
	test $$(go test -list '$(CREW)' ./route/plan/internal/search | grep -c ^Test) -eq 2
	CGO_ENABLED=1 go test -race -run '$(CREW)' ./route/plan/internal/search
	CI=1 .ci/postgres go test -timeout $(TIMEOUT) $$(go list ./... | grep -E '$(LONG)')

# Everything under the race detector; about an hour.
race:
	CI=1 CGO_ENABLED=1 .ci/postgres go test -race -timeout 60m ./...

# Fails where something takes twice the time it took; not under -race.
budget:
	go test -count=1 -run TestNothingTakesTwiceItsTime ./cmd/hardtack

# Without -race, for the minutes between two edits.
quick:
	.ci/postgres go test ./...

# As root, for the power cuts; about half an hour.
drill: tools
	.ci/drill

release:
	.ci/release

holes:
	.ci/holes

cover:
	.ci/cover

mutate:
	.ci/mutate

size:
	.ci/size
