#!/bin/bash
# Shares a comparison out with GNU parallel over the cores of this machine, or over
# several machines, and puts the parts together.
#
#   scripts/cluster/parallel.sh SHARES FOLDER [SITE.yaml] RECORDS… [flags of compare]
#
# The parts come to FOLDER/parts, the comparison to FOLDER/all. What is stopped or
# fails is gone on with when the same is typed again: a share that is done is left
# out, a record that is done is not done twice. A share takes one core, so there should
# be several for each. These may be set before:
#   HOSTS=FILE   of machines, one a line as --sshloginfile takes it (8/user@machine: eight
#                at a time). FOLDER, the records and tankodds must be seen by all of them
#                under the same names.
#   JOBS=2       shares at a time on each machine; without it one a core
#   TANKODDS=tankodds   the program
set -euo pipefail

shares=${1-} folder=${2-}
if ! [[ $shares =~ ^[1-9][0-9]*$ ]] || [ $# -lt 3 ]; then
  echo "usage: $0 SHARES FOLDER [SITE.yaml] RECORDS… [flags of compare]" >&2
  exit 2
fi
shift 2
mkdir -p "$folder/parts"

# A command a line, its words safe from the shells of the machines.
command=$(printf '%q ' "${TANKODDS:-tankodds}" compare "$@" --quiet --workers 1 --out "$folder/parts" --shard)
# What is done is known by its number alone, so another study has a log of its own.
log=$folder/log-$(cksum <<<"$command$shares" | cut -d' ' -f1)
where=()
[ -z "${HOSTS-}" ] || where+=(--sshloginfile "$HOSTS" --workdir "$PWD")
[ -z "${JOBS-}" ] || where+=(--jobs "$JOBS")

# --resume-failed is --resume, and begins anew what failed or was stopped too.
for share in $(seq "$shares"); do
  echo "$command$share/$shares"
done | parallel "${where[@]}" --joblog "$log" --resume-failed
exec "${TANKODDS:-tankodds}" compare --merge "$folder/parts" --quiet --out "$folder/all"
