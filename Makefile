# Each target is one command that can be typed by hand; ci is the whole check, as a fresh machine runs it.
LINT = github.com/golangci/golangci-lint/v2/cmd/golangci-lint@v2.15.0

check: fmt-check vet lint test

build:
	go build ./cmd/platen
test:
	go test -shuffle=on ./...
race:
	go test -race ./...
vet:
	go vet ./...
lint:
	go run $(LINT) run ./...
fmt:
	gofmt -w cmd examples features toolgen
fmt-check:
	@test -z "$$(gofmt -l cmd examples features toolgen | tee /dev/stderr)"
golden:
	go test $$(grep -rl --include='*_test.go' 'flag.Bool("update"' . | xargs dirname | sort -u) -update
fuzz:
	.ci/fuzz 240
bench:
	go test -run '^$$' -bench . ./...
examples:
	go run ./cmd/platen build examples/parts_tray.yaml
ci:
	CI=true bash .ci/run
.PHONY: check build test race vet lint fmt fmt-check golden fuzz bench examples ci
