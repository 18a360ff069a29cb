# check before a commit, whole in CI.
.PHONY: help check whole short fmt vet lint generated vulnerabilities licenses test fuzz hostile hostile-load document anything clients faults load spread move bench trade peers

help: ## list the targets
	@grep -E '^[a-z-]+:.*##' Makefile | sed -E 's/:.*## /\t/'

check: fmt vet lint generated short ## run before a commit: all but what takes minutes
whole: fmt vet lint generated vulnerabilities licenses test ## check everything that must pass before it lands, as CI does

fmt: ## check that gofmt has nothing to change
	@test -z "$$(gofmt -l api cmd db integration internal)" || { gofmt -l api cmd db integration internal; exit 1; }

vet: ## run go vet
	go vet ./...

lint: ## run staticcheck (pinned) and look for code nobody calls
	go run honnef.co/go/tools/cmd/staticcheck@v0.8.2 ./...
	@dead=$$(go run golang.org/x/tools/cmd/deadcode@v0.40.0 -test -filter '^overhang/(api|cmd|db|internal|integration)' ./...); \
		test -z "$$dead" || { echo "$$dead"; exit 1; }

generated: ## check that the typed client is what the document makes
	@before=$$(cksum client/*.go) && go generate ./client && test "$$before" = "$$(cksum client/*.go)" || \
		{ echo "client/ was not what api/openapi.yaml makes; it is now: look at it and check again"; exit 1; }

vulnerabilities: ## look for known ones in what the programs call, if the data can be reached
	@bash .ci/vulnerabilities.sh ./...

# Permissive licenses, which ask for no more than their text. DejaVu's Go package is
# BSD-3-Clause; the fonts in it are under Bitstream Vera's and Arev's, as permissive,
# which only forbid selling the fonts by themselves.
LICENSES = MIT,BSD-2-Clause,BSD-3-Clause,ISC,Apache-2.0
licenses: ## list the license of every module in the programs; fail on one that is not permissive
	@go run github.com/google/go-licenses@v1.6.0 check --ignore overhang --allowed_licenses=$(LICENSES) ./cmd/... 2>/dev/null || \
		{ go run github.com/google/go-licenses@v1.6.0 check --ignore overhang --allowed_licenses=$(LICENSES) ./cmd/...; exit 1; }
	@go run github.com/google/go-licenses@v1.6.0 report --ignore overhang ./cmd/... 2>/dev/null | awk -F, '{print $$3 "\t" $$1}' | sort

test: ## run every test, as the README says
	go test -timeout 60m ./...

short: ## run the tests that need no built program, no browser and not thousands of plays
	go test -short ./...

FUZZTIME ?= 3s
fuzz: ## run every fuzz target for FUZZTIME (3s)
	@grep -roE '^func Fuzz\w+' internal --include=*_test.go | sed 's/:func / /' | sort | while read file target; do \
		go test ./$$(dirname $$file) -run '^$$' -fuzz "^$$target$$" -fuzztime $(FUZZTIME) || exit 1; done

DURATION ?= 10m
REQUESTS ?= 200000
SEED ?= 1
hostile: ## attack it as hostile readers did, then with REQUESTS (200000) made-up requests in every role, in 1 GB
	go test ./internal/stress/call ./internal/plan ./internal/database/... ./internal/staff -count=1 -run 'ManyDepths|CheckStops|Apart|Bounded|Canceled|LastOut|StartedAgain|Weak|Canonical|Login|Password|Edited'
	go test ./internal/reports/... ./internal/tags/postgres -count=1 -run 'WideCharacters|Names|Safe|HistoryOfOld'
	go test ./internal/httpapi ./internal/door ./internal/lanes -count=1 -timeout 60m -run 'UnknownKeys|Bounds|RoleBeforeBody|EngineShare|SignInShare|Brake|BruteForce|JoinTries|Addresses|OtherSites|OwnersEnd|Makers|OpenLink|SameQueries|Named|Forgery|Walls|SlowBodies|WorstCall|ClientLeaves|NoRoom|Anything'
	go test ./integration/strain -count=1 -v -timeout 300m -run 'TestHostile$$' -hostile $(REQUESTS) -hostile-seed $(SEED)

document: ## lint the API document with two independent linters (npm); nothing above information
	npx --yes @redocly/cli@2.77.0 lint api/openapi.yaml
	@d=$$(mktemp -d) && echo 'extends: ["spectral:oas"]' >$$d/rules.yaml && \
		npx --yes @stoplight/spectral-cli@6.16.3 lint --ruleset $$d/rules.yaml --fail-severity warn api/openapi.yaml

anything: ## send REQUESTS (200000) made-up requests in every role: no undocumented status, no body that differs
	go test ./internal/httpapi -count=1 -v -timeout 300m -run 'TestAnything' -requests $(REQUESTS) -seed $(SEED)

clients: ## make clients in Go and TypeScript (npm) from the document; thirteen calls each must agree
	go test ./integration -count=1 -v -run 'TestClients$$' -clients

hostile-load: ## time an analyst and a coordinator while 20 hostile clients of another program attack
	go test ./integration/strain -count=1 -v -timeout 60m -run TestHostileLoad -hostile-load $(DURATION)

faults: ## cause every fault many times while analysts tag, and print a table (minutes; as root for all of it)
	go test ./integration/strain -run TestFaults -faults -v -count=1 -timeout 60m

LOAD ?=
load: ## run 200 analysts and 20 coordinators during imports of a season for DURATION (10m): times, errors, memory (LOAD=-reading: 20 readers of boards, one import)
	go test ./integration/strain -run TestLoad -load $(DURATION) $(LOAD) -v -count=1 -timeout 90m

spread: ## move a partition between three PostgreSQL servers while it is written and read: nothing lost, and times
	go test ./integration/strain -run 'TestSpread$$' -spread 5s -v -count=1

MOVE ?= 20000
move: ## move a program of MOVE (20000) plays to another installation by the steps of RUNNING.md while it is used
	go test ./integration/strain -run 'TestMove$$' -move $(MOVE) -v -count=1 -timeout 60m

bench: ## measure evaluations per second of the engine, next to the floor
	go test ./internal/stress -run '^$$' -bench . -benchmem
	go test ./internal/plan -run '^$$' -bench . -benchtime 10x

trade: ## run the engine against the trade's check rows
	go test ./internal/stress/... -run TestTrade -v

PEERS ?=
peers: ## time our answers and imports against bare pgx, DuckDB, SQLite, R and COPY in one run (PEERS="-plays 10000000" for an archive)
	cd integration/peers && CGO_ENABLED=1 go test -count=1 . && CGO_ENABLED=1 go run . $(PEERS)
