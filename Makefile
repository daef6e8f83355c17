# Valveround: build, run, test. `make help` lists the targets.

SHELL := /bin/bash
.SHELLFLAGS := -eu -o pipefail -c
.DEFAULT_GOAL := help

PORT    ?= 8080
VERSION ?= $(shell git describe --tags --always --dirty 2>/dev/null || echo unknown)
WEB     := services/console/web
BIN     := bin/valveround
LOGS    := test-results

# The race detector rebuilds every dependency once more and slows the tests
# down, so it is kept for the packages that share memory between goroutines.
RACE_PACKAGES ?= ./events/keeper ./events/natslog ./services/console ./services/dispatch ./services/intake ./services/crew ./services/signin ./services/authority
# Tests that kill a server in the middle of its work, or run three at once that
# must hear from each other in time, run by themselves: beside other work they
# would measure the machine.
KILL_PACKAGES ?= ./events/keeper/killtest
# A log is synced to its disk at every word, and tests make many logs. Where this
# machine has room in memory they lie there, so that a test takes what our
# program takes and not what the disk does; what is killed stays on the disk.
ROOMY := $(shell [ -w /dev/shm ] && df -Pk /dev/shm | awk 'END { if ($$4 > 4000000) print "/dev/shm" }')
IN_MEMORY := $(if $(ROOMY),TMPDIR=$(ROOMY) GOTMPDIR=$(or $(GOTMPDIR),$(TMPDIR),/tmp))
THREE_SERVERS := ^TestThreeServers
# Of the search, what two workers share: the rest takes minutes under race.
TWO_WORKERS := ^TestWorkersAgree$$
LINTER := github.com/golangci/golangci-lint/v2/cmd/golangci-lint@v2.15.0

export CGO_ENABLED = 0

GO_SOURCES  = $(shell find cmd events geo planner services -name '*.go' -not -path '*/node_modules/*')
WEB_SOURCES = $(shell find $(WEB)/src $(WEB)/public -type f) $(WEB)/index.html $(WEB)/crew.html $(WEB)/sign-in.html \
              $(WEB)/vite.config.ts $(WEB)/tsconfig.json

.PHONY: help run build test types bench bench-all profile lint clean need-tools need-readers need-browser \
        fetch-go test-go test-kill test-race test-web test-e2e

help: ## list the targets
	@grep -hE '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 14

run: $(BIN) ## build and serve the demo county on 127.0.0.1:PORT (8080)
	$(BIN) serve --demo --port $(PORT)

build: $(BIN) ## build the pages and bin/valveround

$(BIN): $(WEB)/dist/index.html $(GO_SOURCES) go.mod go.sum cmd/valveround/default.pgo
	go build -ldflags "-X main.version=$(VERSION)" -o $@ ./cmd/valveround

$(WEB)/node_modules/.package-lock.json: $(WEB)/package-lock.json | need-tools
	cd $(WEB) && npm ci --no-fund --no-audit
	@touch $@

$(WEB)/dist/index.html: $(WEB)/node_modules/.package-lock.json $(WEB_SOURCES)
	cd $(WEB) && npm run build
	@touch $@

## ---- tests -----------------------------------------------------------------

# Every runner writes its log to test-results; the closing lines are shown
# together at the end. A failing runner stops the run and shows its own end.
# What waits for the network goes side by side, what measures a server or a
# browser by itself.
test: need-tools ## run every check: go, kill, race, pages, browser
	@mkdir -p $(LOGS)
	@$(MAKE) --no-print-directory -j3 test-web need-browser fetch-go
	@$(MAKE) --no-print-directory test-go
	@$(MAKE) --no-print-directory test-kill
	@$(MAKE) --no-print-directory test-race
	@$(MAKE) --no-print-directory test-e2e
	@echo
	@echo "closing lines"
	@for log in go kill race; do \
	  printf '%-6s %s\n' $$log "$$(grep -c '^ok' $(LOGS)/$$log.log || true) packages ok; $$(grep -E '^(ok|FAIL|skipped)' $(LOGS)/$$log.log | tail -1 | tr -s '\t ' ' ')"; \
	done
	@printf '%-6s %s\n' tsc "$$(tail -1 $(LOGS)/tsc.log)"
	@for log in pages e2e; do printf '%-6s %s\n' $$log "$$(grep -E '^ *Tests ' $(LOGS)/$$log.log | tail -1 | sed 's/^ *//')"; done

# Vet goes over each package with its tests, all checks of it, as they are built.
test-go: $(WEB)/dist/index.html
	@mkdir -p $(LOGS)
	$(IN_MEMORY) go test -vet=all -skip "$(THREE_SERVERS)" $$(go list ./... | grep -vxF "$$(go list $(KILL_PACKAGES))") 2>&1 | tee $(LOGS)/go.log

test-kill: $(WEB)/dist/index.html
	@mkdir -p $(LOGS)
	{ go test -vet=all -count=1 $(KILL_PACKAGES) && $(IN_MEMORY) go test -vet=off -count=1 -run "$(THREE_SERVERS)" ./events/natslog; } 2>&1 | tee $(LOGS)/kill.log

test-race: $(WEB)/dist/index.html
	@mkdir -p $(LOGS)
	@if ! command -v cc >/dev/null; then \
	  echo "skipped: the race detector needs a C compiler; on Debian: apt-get install gcc libc6-dev" | tee $(LOGS)/race.log; \
	else { $(IN_MEMORY) CGO_ENABLED=1 go test -race -vet=off -short -skip "$(THREE_SERVERS)" $(RACE_PACKAGES) && \
	  $(IN_MEMORY) CGO_ENABLED=1 go test -race -vet=off -short -run "$(TWO_WORKERS)" ./planner/routing; } 2>&1 | tee $(LOGS)/race.log; fi

test-web: $(WEB)/node_modules/.package-lock.json
	@mkdir -p $(LOGS)
	cd $(WEB) && npm run --silent check && echo "tsc: no type errors" | tee $(CURDIR)/$(LOGS)/tsc.log
	cd $(WEB) && NO_COLOR=1 npm run --silent test 2>&1 | tee $(CURDIR)/$(LOGS)/pages.log

test-e2e: $(BIN) need-browser
	@mkdir -p $(LOGS)
	cd $(WEB) && $(IN_MEMORY) NO_COLOR=1 VALVEROUND=$(CURDIR)/$(BIN) npm run --silent e2e 2>&1 | tee $(CURDIR)/$(LOGS)/e2e.log

types: $(BIN) ## write the pages' types anew from the server's description
	cd $(WEB) && VALVEROUND=$(CURDIR)/$(BIN) npm run --silent types

bench: ## run every benchmark once, with its numbers
	go test -run '^$$' -bench . -benchtime 1x -benchmem ./...

# Long tables are made in pieces: a second run goes on where the first stopped.
BENCHMARKS ?= benchmarks
bench-all: $(BIN) ## plan every published instance of BENCHMARKS (folder), long; resumes
	@mkdir -p $(LOGS)/routes
	$(BIN) bench routes --instances $(BENCHMARKS)/solomon --seconds 10 --workers 2 --csv $(LOGS)/routes/solomon.csv
	$(BIN) bench routes --instances $(BENCHMARKS)/solomon --seconds 60 --workers 2 --objective fleet --csv $(LOGS)/routes/solomon-fleet.csv
	for n in 2 4 10; do \
	  $(BIN) bench routes --instances $(BENCHMARKS)/homberger --only "*_$${n}_*" --seconds 60 --workers 2 --csv $(LOGS)/routes/homberger-$$n.csv; \
	done
	$(BIN) bench routes --instances $(BENCHMARKS)/homberger --only "*_10_*" --seconds 60 --csv $(LOGS)/routes/homberger-10-one.csv

# What the compiler should make fast: the route search, on a week and on ten days.
profile: ## measure anew what bin/valveround is built with (cmd/valveround/default.pgo)
	@mkdir -p $(LOGS)
	go test -trimpath -run '^$$' -bench 'County|Scale/visits=2000$$' -benchtime 1x -o $(LOGS)/routing.test \
	  -cpuprofile $(LOGS)/routing.prof ./planner/routing
	go tool pprof -proto -output cmd/valveround/default.pgo $(LOGS)/routing.prof

lint: ## run the linters of .golangci.yml (fetches them the first time)
	go run $(LINTER) run ./...

clean: ## remove what the build makes (not the demo's store)
	rm -rf bin $(LOGS)
	find $(WEB)/dist -mindepth 1 -not -name .keep -delete

## ---- what a fresh machine lacks ---------------------------------------------

need-tools:
	@command -v go >/dev/null || { echo "Go 1.26 or later is needed: https://go.dev/dl"; exit 1; }
	@command -v npm >/dev/null || { echo "Node.js 20.19 or later with npm is needed: https://nodejs.org"; exit 1; }

fetch-go: need-tools
	@go list -deps -test ./... >/dev/null

# Second readers of what we write, which share no code with us: of the exported
# log in another language, and of the certificates.
need-readers:
	@if command -v python3 >/dev/null && command -v openssl >/dev/null; then :; \
	elif [ -f /etc/debian_version ] && [ "$$(id -u)" = 0 ]; then \
	  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq python3 openssl >/dev/null; \
	else echo "Python 3 and openssl are needed for two tests, which read an export and certificates with them."; exit 1; fi

# The browser tests use the system's Chromium, read PDFs with poppler and take
# a backup apart with unzip. On Debian as root they are installed; elsewhere the
# reader is told what to do.
need-browser: need-readers
	@if command -v certutil >/dev/null && { [ -n "$${CHROMIUM:-}" ] || command -v chromium >/dev/null || command -v chromium-browser >/dev/null; }; then :; \
	elif [ -f /etc/debian_version ] && [ "$$(id -u)" = 0 ]; then \
	  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium libnss3-tools >/dev/null; \
	else echo "Chromium and certutil (NSS tools) are needed for the browser tests. Install them; CHROMIUM may name a path."; exit 1; fi
	@if command -v pdftotext >/dev/null && command -v pdftoppm >/dev/null && command -v unzip >/dev/null; then :; \
	elif [ -f /etc/debian_version ] && [ "$$(id -u)" = 0 ]; then \
	  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq poppler-utils unzip >/dev/null; \
	else echo "poppler's pdftotext and pdftoppm, and unzip, are needed for the browser tests."; exit 1; fi
