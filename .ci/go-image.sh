#!/usr/bin/env bash
# Makes a builder image from the Go installed on this machine, without a registry:
# what the Dockerfile needs of golang:1.26 and no more.
set -eu
goroot=$(go env GOROOT) empty=$(mktemp -d)
trap 'rm -rf "$empty"' EXIT
mkdir -m 1777 "$empty/tmp"
tar -ch --exclude="${goroot#/}/test" -C / "${goroot#/}" etc/ssl/certs/ca-certificates.crt -C "$empty" tmp |
  docker import -c "ENV PATH=$goroot/bin" - "$1" >/dev/null
