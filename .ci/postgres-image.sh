#!/usr/bin/env bash
# Makes a PostgreSQL image from the server installed on this machine, without a
# registry, for the container tests: an empty root with its programs and their
# libraries, and an entrypoint that behaves as testcontainers expects.
set -eu
image=$1
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT
bin=$(pg_config --bindir) lib=$(pg_config --pkglibdir) share=$(pg_config --sharedir)
mkdir -p "$root"/{tmp,var/run/postgresql,var/lib/postgresql,usr/local/bin,etc,bin,dev,proc,sys}
chmod 1777 "$root/tmp"
# awk and grep are for testcontainers, which looks for the open port from inside.
tools="/bin/sh /usr/bin/setpriv /usr/bin/id /bin/mkdir /bin/chown /bin/chmod /bin/mktemp /bin/rm /bin/cat /bin/sleep /usr/bin/env /bin/ls /usr/bin/mawk /bin/grep"
list=$({ for f in "$bin"/{postgres,initdb,pg_ctl,psql,createdb,pg_isready} $tools "$lib"/*.so; do
  echo "$f"; ldd "$f" 2>/dev/null | grep -oE '/[^ ]+' || true; done
  echo "$lib"; echo "$share"; echo /usr/lib/locale/C.utf8; echo /usr/share/zoneinfo; } | sort -u | grep -v -i llvm)
tar -C / -ch --exclude='usr/share/locale/*' --exclude='*/lib/bitcode' --exclude='*.bc' --exclude='*llvmjit*' $(echo "$list" | sed 's#^/##') 2>/dev/null | tar -C "$root" -x
printf 'root:x:0:0:root:/root:/bin/sh\npostgres:x:999:999::/var/lib/postgresql:/bin/sh\n' >"$root/etc/passwd"
printf 'root:x:0:\npostgres:x:999:\n' >"$root/etc/group"
ln -sf mawk "$root/usr/bin/awk"
install -m 755 "$(dirname "$0")/postgres-entrypoint.sh" "$root/usr/local/bin/docker-entrypoint.sh"
tar -C "$root" -c . | docker import -c 'ENTRYPOINT ["docker-entrypoint.sh"]' -c 'CMD ["postgres"]' -c 'EXPOSE 5432' \
  -c "ENV PATH=$bin:/usr/local/bin:/usr/bin:/bin" - "$image" >/dev/null
