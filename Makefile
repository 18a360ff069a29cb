# One check for developers and CI alike.
.PHONY: help check fmt vet lint test fuzz bench trade

help: ## this list
	@grep -E '^[a-z]+:.*##' Makefile | sed -E 's/:.*## /\t/'

check: fmt vet lint test ## everything that must hold before a commit lands

fmt: ## no file needs gofmt
	@test -z "$$(gofmt -l api cmd db integration internal)" || { gofmt -l api cmd db integration internal; exit 1; }

vet: ## go vet
	go vet ./...

lint: ## staticcheck, pinned
	go run honnef.co/go/tools/cmd/staticcheck@v0.8.2 ./...

test: ## the README's test command
	go test ./...

FUZZTIME ?= 3s
fuzz: ## every fuzz target for FUZZTIME (3s)
	@grep -roE '^func Fuzz\w+' internal --include=*_test.go | sed 's/:func / /' | sort | while read file target; do \
		go test ./$$(dirname $$file) -run '^$$' -fuzz "^$$target$$" -fuzztime $(FUZZTIME) || exit 1; done

bench: ## evaluations per second of the engine, beside the floor
	go test ./internal/stress -run '^$$' -bench . -benchmem

trade: ## the engine against the trade's check rows
	go test ./internal/stress/... -run TestTrade -v
