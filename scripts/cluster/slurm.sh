#!/bin/bash
# Shares a comparison out over a Slurm cluster: an array of jobs, one a share, and a
# job after it that puts the parts together.
#
#   scripts/cluster/slurm.sh SHARES FOLDER [SITE.yaml] RECORDS… [flags of compare]
#
# The parts come to FOLDER/parts, what the jobs print to FOLDER/log, the comparison
# to FOLDER/all. FOLDER, the records and tankodds must be seen by every node under the
# same names. What is not finished, whatever the cause, is gone on with when the same
# is typed again: a record that is done is not done twice. Where nobody has set Slurm's
# MaxArraySize, SHARES may be up to 1,000.
#
# It prints the numbers of the two jobs. These may be set before:
#   MEMORY=500M        of a share: one core needs 90 MB (DEVELOPERS.md)
#   MERGE_MEMORY=2G    of the merge: 60 MB and 27 kB a record
#   TIME=4:00:00       of a share: a record of 30 years takes 0.4 s of a core, so a
#                      share of 5,000 half an hour; and of the merge: 10 ms a record
#   CPUS=1             cores of a share; more shares do as well as more cores
#   ARRAY=1-N          the shares to work on, such as 3,7 where the others are there
#   TANKODDS=tankodds  the program
#   OPTIONS=           more for the sbatch of both, such as "--partition=long"
set -euo pipefail

case ${1-} in
share) # of so many, into a folder: what a job of the array runs
  # How many shares there are is said, and not asked of Slurm: a job of an array
  # that is submitted again counts those submitted with it.
  shares=$2 parts=$3
  shift 3
  exec "${TANKODDS:-tankodds}" compare "$@" --quiet --workers "${SLURM_CPUS_PER_TASK:-1}" \
    --shard "$SLURM_ARRAY_TASK_ID/$shares" --out "$parts"
  ;;
merge) # the parts of a folder, into another: what the job after them runs
  exec "${TANKODDS:-tankodds}" compare --merge "$2" --quiet --out "$3"
  ;;
esac

shares=${1-} folder=${2-}
if ! [[ $shares =~ ^[1-9][0-9]*$ ]] || [ $# -lt 3 ]; then
  echo "usage: $0 SHARES FOLDER [SITE.yaml] RECORDS… [flags of compare]" >&2
  exit 2
fi
shift 2
mkdir -p "$folder/parts" "$folder/log"
read -ra options <<<"${OPTIONS-}"
options+=(--parsable --ntasks=1 --requeue --open-mode=append --time="${TIME:-4:00:00}")

array=$(sbatch "${options[@]}" --job-name=tankodds --array="${ARRAY:-1-$shares}" --cpus-per-task="${CPUS:-1}" \
  --mem="${MEMORY:-500M}" --output="$folder/log/share-%a.txt" "$0" share "$shares" "$folder/parts" "$@")
array=${array%%;*} # of several clusters, the number alone
# A share that fails leaves nothing to put together: the merge then goes too.
merge=$(sbatch "${options[@]}" --job-name=tankodds-merge --dependency="afterok:$array" --kill-on-invalid-dep=yes \
  --mem="${MERGE_MEMORY:-2G}" --output="$folder/log/merge.txt" "$0" merge "$folder/parts" "$folder/all")
echo "$array ${merge%%;*}"
