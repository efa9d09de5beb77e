# shellcheck shell=bash
# What the trials of this folder have in common; they are the ones to run. They set
# -euo pipefail, stand in the top of the repository, and define stop, which ends what
# they began.

said() { printf '%5.1f s  %s\n' "$(seconds)" "$*"; }
fail() {
  echo "failed: $*" >&2
  exit 1
}
seconds() { echo "$(($(date +%s%N) / 100000000 - begun))" | sed 's/.$/.&/; s/^\./0./'; }
begun=$(($(date +%s%N) / 100000000))

# need ends the trial, aloud and without a fault, where a program is missing.
need() {
  local missing=
  for program in "$@"; do
    command -v "$program" >/dev/null || missing="$missing $program"
  done
  [ -z "$missing" ] && return
  echo "not tried; missing:$missing"
  exit 0
}

# await waits until a command succeeds: so many seconds, and what for.
await() {
  local end=$((SECONDS + $1)) what=$2
  shift 2
  until "$@"; do
    [ "$SECONDS" -lt "$end" ] || fail "waited in vain for $what"
    sleep 0.1
  done
}

# gone waits until a process that was told to end has ended, and ends it if need be.
gone() {
  for _ in {1..50}; do
    kill -0 "$1" 2>/dev/null || return 0
    sleep 0.1
  done
  kill -9 "$1" 2>/dev/null || true
}

# free_ports prints the first of so many ports in a row on which nobody listens.
free_ports() {
  local first at
  for _ in {1..50}; do
    first=$((20000 + RANDOM % 10000))
    for ((at = first; at < first + $1; at++)); do
      (: </dev/tcp/127.0.0.1/$at) 2>/dev/null && continue 2
    done
    echo "$first"
    return
  done
  fail "no free port"
}

tmp='' site=()

finish() {
  local code=$?
  trap - EXIT
  stop
  if [ $code != 0 ]; then tail -n 5 "$tmp"/*/*.log >&2 2>/dev/null || true; fi
  rm -rf "$tmp"
  exit $code
}

# prepare makes a temporary folder with the program, so many stations, and what one run
# makes of them.
prepare() {
  tmp=$(mktemp -d)
  trap finish EXIT
  trap 'exit 130' INT TERM HUP
  go build -o "$tmp/bin/" ./cmd/tankodds ./scripts/stations
  export PATH=$tmp/bin:$PATH
  unset TANKODDS
  stations -n "$1" -years 8 "$tmp/stations"
  # The flags of a site: their blanks and quotes must survive all shells.
  site=(--roof "140 m2 metal" --use "the cook's 150 L/day" --years 200)
  tankodds compare "$tmp/stations" "${site[@]}" --quiet --out "$tmp/whole" >/dev/null
  said "$1 stations, and one run over them"
}

# same compares two folders, byte for byte.
same() {
  diff -r "$1" "$2" >&2 || fail "$2 is not what one run writes"
  said "byte for byte what one run writes: $(find "$2" -type f | wc -l) files, $(du -sb "$2" | cut -f1) bytes"
}

# rows lists the rows of a part, and nothing of a line cut off.
rows() { grep '^{"check":.*}}$' "$1" 2>/dev/null || true; }

# goes_on says whether a part went on with the rows that it had: they are still its
# first, and no record was done twice but for those that cannot be read, which are
# tried again.
goes_on() { # part, its rows before
  local before twice
  before=$(wc -l <"$2")
  rows "$1" >"$tmp/rows"
  head -n "$before" "$tmp/rows" | cmp -s - "$2" || fail "$1 was begun anew"
  twice=$(grep -v '"grade":""' "$tmp/rows" | sed 's/.*"row":{"at":\([0-9]*\),.*/\1/' | sort | uniq -d)
  [ -z "$twice" ] || fail "$1: done twice: $twice"
  said "its $before finished records were not done again"
}
