#!/usr/bin/env bash
# Holds RUNNING.md to its word: its units, alert rules and proxy are taken out of the
# page and run, the proxy with the program behind it, on loopback. As root, on Debian
# with nginx, prometheus (for promtool) and systemd's programs.
set -eu
cd "$(dirname "$0")/.."
dir=$(mktemp -d)
chmod 755 "$dir"
pids=
clear() { for p in $pids; do kill "$p" 2>/dev/null && wait "$p" 2>/dev/null || true; done; rm -rf "$dir"; }
trap clear EXIT
fail() { echo "RUNNING.md: $*"; tail -3 "$dir/log" 2>/dev/null || true; exit 1; }
port() { echo $((20000 + RANDOM % 10000)); }

# Every block that begins with the path of its file.
awk -v dir="$dir" '/^```/ { out = "" } /^# \// { n = split($2, p, "/"); out = dir "/" p[n] } out { print > out }' RUNNING.md
CGO_ENABLED=0 go build -o "$dir/api" ./cmd/api

for unit in overhang.service overhang-backup.service overhang-backup.timer; do
  sed -i "s#/usr/local/bin/overhang-api#$dir/api#" "$dir/$unit"
  said=$(systemd-analyze verify --man=no "$dir/$unit" 2>&1) && [ -z "$said" ] || fail "$unit: $said"
done
systemd-analyze security --offline=yes --threshold=15 --no-pager "$dir/overhang.service" >"$dir/score" || fail "$(tail -1 "$dir/score")"
cp .ci/alerts.yaml "$dir"
{ promtool check rules "$dir/overhang.rules.yaml" && promtool test rules "$dir/alerts.yaml"; } >"$dir/log" || fail "the alert rules: $(cat "$dir/log")"

# The program behind the proxy of the page, by other ports and a certificate of its own.
web=$(port) tls=$(port) app=$(port) metrics=$(port)
mkdir "$dir/film"
head -c 3000000 /dev/urandom >"$dir/film/a.mp4"
OVERHANG_DATA_DIR="$dir/data" "$dir/api" -listen "127.0.0.1:$app" -metrics "127.0.0.1:$metrics" -films "ours=$dir/film" >"$dir/link" 2>"$dir/log" &
pids=$!
openssl req -x509 -newkey rsa:2048 -nodes -keyout "$dir/key.pem" -out "$dir/cert.pem" -days 2 -subj /CN=overhang.example -addext subjectAltName=DNS:overhang.example 2>/dev/null
sed -i "s#/etc/ssl/overhang#$dir#; s#127.0.0.1:8080#127.0.0.1:$app#; s#listen 443#listen 127.0.0.1:$tls#; s#listen 80#listen 127.0.0.1:$web#" "$dir/overhang"
printf 'daemon off; pid %s/pid; error_log %s/log; events {} http { access_log off; client_body_temp_path %s/body; proxy_temp_path %s/proxy; include %s/overhang; }\n' "$dir" "$dir" "$dir" "$dir" "$dir" >"$dir/nginx.conf"
nginx -c "$dir/nginx.conf" 2>>"$dir/log" &
pids="$! $pids"

at=https://overhang.example:$tls
ask() { curl -sS --cacert "$dir/cert.pem" --resolve "overhang.example:$tls:127.0.0.1" -c "$dir/jar" -b "$dir/jar" "$@"; }
for _ in $(seq 150); do grep -q invitation "$dir/link" && [ "$(ask "$at/readyz" 2>/dev/null)" = ready ] && break; sleep 0.2; done
link=$(grep -o 'invitation=.*' "$dir/link") || fail "no link for the first owner"
ask -D "$dir/head" -o /dev/null "$at/join" -d "$link" -d login=head -d name=Invented -d 'password=correct horse battery staple' -d program_code=ours -d program_name=Invented -d level=high_school
grep -qi '^set-cookie: __Host-overhang=.*Secure' "$dir/head" || fail "signed in without a cookie for HTTPS alone: $(cat "$dir/head")"
grep -qi '^strict-transport-security' "$dir/head" || fail "no Strict-Transport-Security"
ask "$at/v1/me" | grep -q '"login":"head"' || fail "not signed in behind the proxy"
[ "$(ask -o /dev/null -w '%{http_code}' -X POST -H 'Origin: https://evil.example' "$at/sign-out")" = 403 ] || fail "a page of another site signs people out"
id() { grep -oE '"id":"[^"]+"' | head -1 | cut -d'"' -f4; }
make() { ask -H 'Content-Type: application/json' "$at/v1/programs/ours/$1" -d "$2" | id; }
game=$(make games "{\"opponent_id\":\"$(make opponents '{"code":"o1","name":"Invented"}')\",\"label\":\"week 1\"}")
film=$(make films "{\"game_id\":\"$game\",\"location\":\"$dir/film/a.mp4\"}")
ask -r 1000000-1999999 -D "$dir/head" -o "$dir/part" "$at/v1/programs/ours/films/$film/video"
grep -q ' 206' "$dir/head" && cmp -s "$dir/part" <(tail -c +1000001 "$dir/film/a.mp4" | head -c 1000000) || fail "a part of a film: $(cat "$dir/head")"
[ "$(curl -s --resolve "overhang.example:$web:127.0.0.1" -o /dev/null -w '%{http_code}' "http://overhang.example:$web/")" = 301 ] || fail "HTTP is not sent to HTTPS"

# The page names no metric that is not there; a counter shows itself once it has counted.
{ curl -s "http://127.0.0.1:$metrics/metrics"; grep -o '"overhang_[a-z_]*' internal/httpapi/metrics.go | tr -d '"'; } | grep -oE '^overhang_[a-z_]+' >"$dir/names"
for name in $(grep -oE '\boverhang_(request|pool|lane|replica|question)[a-z_]+' RUNNING.md | sort -u); do
  grep -qx "$name" "$dir/names" || fail "no metric is called $name"
done
echo "RUNNING.md: units verified, $(grep -o 'exposure level.*' "$dir/score" | cut -d: -f2 | awk '{ print $1 }') of 10 exposed; alert rules fire; signed in and a part of a film by TLS"
