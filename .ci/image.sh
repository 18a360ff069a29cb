#!/usr/bin/env bash
# Builds the Dockerfile's image, runs it against a PostgreSQL in a container, and
# looks at it from outside. Needs a Docker engine and the image local/postgres:15.
set -eu
cd "$(dirname "$0")/.."
dir=$(mktemp -d)
clear() { docker rm -f overhang-ci overhang-ci-db >/dev/null 2>&1 || true; rm -rf "$dir"; }
trap clear EXIT
fail() { echo "image: $*"; docker logs overhang-ci 2>&1 | tail -5; exit 1; }

# The engine may have no network: the modules come along, the builder from this machine.
git ls-files -co --exclude-standard | tar -cT - | tar -x -C "$dir"
(cd "$dir" && go mod vendor)
bash .ci/go-image.sh local/golang
DOCKER_BUILDKIT=0 docker build -q --network none --build-arg BUILDER=local/golang -t local/overhang "$dir" >/dev/null 2>"$dir/said" || fail "$(cat "$dir/said")"

docker run -d --name overhang-ci-db -e POSTGRES_USER=overhang -e POSTGRES_PASSWORD=secret local/postgres:15 >/dev/null
db=$(docker inspect -f '{{.NetworkSettings.IPAddress}}' overhang-ci-db)
until docker exec overhang-ci-db pg_isready -q -h 127.0.0.1 -U overhang; do sleep 0.2; [ $((tries = ${tries:-0} + 1)) -lt 100 ] || fail "no database"; done
docker run -d --name overhang-ci -p 127.0.0.1::8080 --read-only --cap-drop ALL --security-opt no-new-privileges --health-interval 1s \
  -e OVERHANG_DATABASE_URL="postgres://overhang:secret@$db/overhang?sslmode=disable" local/overhang >/dev/null
at=http://$(docker port overhang-ci 8080)
for _ in $(seq 100); do curl -fsS "$at/readyz" >/dev/null 2>&1 && break; sleep 0.2; done
[ "$(curl -s "$at/readyz")" = ready ] || fail "/readyz does not answer"
curl -fsS "$at/sign-in" | grep -q '<form' || fail "no page to sign in"
docker logs overhang-ci 2>/dev/null | grep -q '/join?invitation=' || fail "no link for the first owner"
docker exec overhang-ci /api health || fail "api health"
docker exec overhang-ci /api health -url http://127.0.0.1:8080/no-such 2>/dev/null && fail "api health finds everything well"
for _ in $(seq 50); do [ "$(docker inspect -f '{{.State.Health.Status}}' overhang-ci)" = healthy ] && break; sleep 0.2; done
[ "$(docker inspect -f '{{.State.Health.Status}}' overhang-ci)" = healthy ] || fail "never healthy"
[ "$(docker top overhang-ci -eo pid,uid | awk 'END { print $2 }')" = 65532 ] || fail "runs as another user than 65532"
docker exec overhang-ci /bin/sh -c true >/dev/null 2>&1 && fail "there is a shell"
docker run --rm --entrypoint /ingest local/overhang -h 2>&1 | grep -q -- -program || fail "no ingest"

# A request that is under way when the container is stopped gets its answer: half of
# its body comes after the signal.
port=${at##*:}
exec 3<>"/dev/tcp/127.0.0.1/$port"
printf 'POST /sign-in HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 23\r\n\r\nlogin=nobody' >&3
sleep 0.5
docker kill -s TERM overhang-ci >/dev/null
for _ in $(seq 50); do docker logs overhang-ci 2>&1 | grep -q msg=stopping && break; sleep 0.1; done
printf '&password=x' >&3
head -1 <&3 | grep -q ' 422 ' || fail "a request under way was cut off by SIGTERM"
exec 3>&-
[ "$(docker wait overhang-ci)" = 0 ] || fail "SIGTERM: not a clean end"
echo "image: $(docker image inspect -f '{{.Size}}' local/overhang | awk '{printf "%.1f MB", $1 / 1e6}'), ready, healthy, no shell, user 65532, drained at SIGTERM"
