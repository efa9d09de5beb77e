#!/bin/bash
# Tries parallel.sh with GNU parallel: 8 shares of 104 made stations, one of which fails
# at first, stopped in the midst and gone on with; and where sshd is there, over two machines, which are this one
# under two names. What comes out must be byte for byte what one run writes.
#
#   scripts/cluster/try-parallel.sh
#
# It needs Go and Debian's parallel, and for the second half openssh-server. All lies in
# a temporary folder; what is begun ends with the script.
set -euo pipefail
cd "$(dirname "$0")/../.."
# shellcheck source=scripts/cluster/trying.sh
. scripts/cluster/trying.sh
need parallel setsid

work='' sshd=''
stop() {
  if [ -n "$work" ]; then kill -- "-$work" 2>/dev/null && sleep 0.1 && kill -- "-$work" 2>/dev/null; fi
  if [ -n "$sshd" ]; then kill "$sshd" 2>/dev/null; fi
  for pid in $work $sshd; do gone "$pid"; done
}
prepare 104
unset HOSTS
export JOBS=2

# A share that fails at first: its part cannot be written.
fault=$tmp/out/parts/part-1-of-8.jsonl
mkdir -p "$fault"

# It is stopped as people stop it: twice, as the first time GNU parallel waits for what
# runs. The records done by then stay.
share=(scripts/cluster/parallel.sh 8 "$tmp/out" "$tmp/stations" "${site[@]}")
setsid "${share[@]}" >"$tmp/first.log" 2>&1 &
work=$!
part=$tmp/out/parts/part-4-of-8.jsonl
until [ "$(rows "$part" | wc -l)" -ge 4 ]; do
  kill -0 "$work" 2>/dev/null || fail "it ended by itself: $(cat "$tmp/first.log")"
  sleep 0.02
done
kill -- "-$work"
sleep 0.1
kill -- "-$work" 2>/dev/null || true
wait "$work" && fail "it could not be stopped in the midst"
work=
rows "$part" >"$tmp/kept"
awk -F'\t' 'NR > 1 && $7 == 0 && $8 == 0 { print "Share " $1 " of 8" }' "$tmp"/out/log-* >"$tmp/done"
grep -q 'part-1-of-8.jsonl cannot be written' "$tmp/first.log" || fail "share 1 did not fail: $(cat "$tmp/first.log")"
! grep -q '^{"rows":' "$part" || fail "share 4 had ended before it was stopped"
[ ! -e "$tmp/out/all" ] || fail "parts were put together that are not whole"
said "stopped with $(wc -l <"$tmp/kept") of 13 records of share 4 done, $(wc -l <"$tmp/done") shares done, and share 1 failed"

rmdir "$fault"
"${share[@]}" >"$tmp/second.log" 2>&1 || fail "$(cat "$tmp/second.log")"
goes_on "$part" "$tmp/kept"
[ -s "$tmp/done" ] || fail "no share was done before it was stopped"
! grep -F -f "$tmp/done" "$tmp/second.log" || fail "shares that were done were begun again"
same "$tmp/whole" "$tmp/out/all"

need /usr/sbin/sshd ssh ssh-keygen
mkdir "$tmp/ssh" && chmod 700 "$tmp/ssh"
port=$(free_ports 1)
ssh-keygen -q -t ed25519 -N '' -f "$tmp/ssh/host"
ssh-keygen -q -t ed25519 -N '' -f "$tmp/ssh/key"
cat >"$tmp/ssh/sshd_config" <<CONF
ListenAddress 127.0.0.1
Port $port
HostKey $tmp/ssh/host
AuthorizedKeysFile $tmp/ssh/key.pub
PidFile none
StrictModes no
UsePAM no
PermitRootLogin prohibit-password
PasswordAuthentication no
SetEnv PATH=$PATH
CONF
cat >"$tmp/ssh/config" <<CONF
Host one two
  HostName 127.0.0.1
  Port $port
  IdentityFile $tmp/ssh/key
  IdentitiesOnly yes
  UserKnownHostsFile $tmp/ssh/known
  StrictHostKeyChecking accept-new
  LogLevel ERROR
CONF
[ "$(id -u)" != 0 ] || mkdir -p /run/sshd # where Debian's sshd leaves its rights
/usr/sbin/sshd -D -e -f "$tmp/ssh/sshd_config" >"$tmp/ssh/sshd.log" 2>&1 &
sshd=$!
export PARALLEL_SSH="ssh -F $tmp/ssh/config" HOSTS=$tmp/hosts
there() { ssh -F "$tmp/ssh/config" one true 2>/dev/null; }
await 10 sshd there
printf '1/%s\n' one two >"$HOSTS"
unset JOBS
stations -n 24 -years 8 "$tmp/fewer"
tankodds compare "$tmp/fewer" "${site[@]}" --quiet --out "$tmp/near" >/dev/null
scripts/cluster/parallel.sh 8 "$tmp/far" "$tmp/fewer" "${site[@]}" >"$tmp/third.log" 2>&1 || fail "$(cat "$tmp/third.log")"
for host in one two; do
  cut -f2 "$tmp"/far/log-* | grep -q "$host" || fail "$host did nothing: $(cut -f2 "$tmp"/far/log-*)"
done
said "24 stations over two machines by ssh, $(cut -f2 "$tmp"/far/log-* | grep -c one) shares at the first, $(cut -f2 "$tmp"/far/log-* | grep -c two) at the second"
same "$tmp/near" "$tmp/far/all"
