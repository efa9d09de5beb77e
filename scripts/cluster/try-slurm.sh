#!/bin/bash
# Tries slurm.sh on a real Slurm of one node, on this machine's loopback: an array of 8
# shares of 200 made stations, one job of it stopped in the midst and queued again, and
# the merge after it. What comes out must be byte for byte what one run writes.
#
#   scripts/cluster/try-slurm.sh
#
# It needs Go and Debian's slurmctld, slurmd, slurm-client and munge, and says which is
# missing. All lies in a temporary folder; the daemons end with the script.
set -euo pipefail
cd "$(dirname "$0")/../.."
# shellcheck source=scripts/cluster/trying.sh
. scripts/cluster/trying.sh
need slurmctld slurmd sbatch squeue scontrol munged

# Nothing of another Slurm that this machine may belong to.
unset "${!SLURM_@}" "${!SBATCH_@}"
daemons=()
stop() {
  local pid
  if [ -n "${SLURM_CONF-}" ]; then # jobs outlive the daemons
    timeout 5 scancel --user="$user" 2>/dev/null || true
    for _ in {1..30}; do
      [ -n "$(timeout 2 squeue -h 2>/dev/null)" ] || break
      sleep 0.1
    done
  fi
  for pid in "${daemons[@]}"; do kill "$pid" 2>/dev/null || true; done
  for pid in "${daemons[@]}"; do gone "$pid"; done
}
prepare 200 # stop is called at the end

node=$(hostname -s) user=$(id -un) port=$(free_ports 2)
mkdir "$tmp/slurm" "$tmp/slurm/state" "$tmp/slurm/spool"
chmod 755 "$tmp" # munged wants a way to its socket that nobody else can write
cat >"$tmp/slurm/slurm.conf" <<CONF
ClusterName=trial
SlurmctldHost=$node(127.0.0.1)
SlurmctldPort=$port
SlurmdPort=$((port + 1))
SlurmUser=$user
SlurmdUser=$user
AuthType=auth/munge
CredType=cred/munge
# Credentials of a few seconds: a job that is queued again waits for the old to end.
AuthInfo=socket=$tmp/slurm/munge.socket,cred_expire=5
# The loopback alone, with IPv4 alone.
CommunicationParameters=NoInAddrAny,NoCtldInAddrAny
StateSaveLocation=$tmp/slurm/state
SlurmdSpoolDir=$tmp/slurm/spool
SlurmctldPidFile=$tmp/slurm/slurmctld.pid
SlurmdPidFile=$tmp/slurm/slurmd.pid
SlurmctldLogFile=$tmp/slurm/slurmctld.log
SlurmdLogFile=$tmp/slurm/slurmd.log
# What a container without systemd can do.
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
SwitchType=switch/none
MpiDefault=none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core_Memory
SchedulerParameters=batch_sched_delay=0,sched_interval=1
SlurmdParameters=config_overrides
ReturnToService=2
MailProg=$(command -v true)
KillWait=2
NodeName=$node NodeAddr=127.0.0.1 CPUs=2 RealMemory=2000
PartitionName=all Nodes=$node Default=YES MaxTime=INFINITE State=UP
CONF
echo "CgroupPlugin=cgroup/v1" >"$tmp/slurm/cgroup.conf"
export SLURM_CONF=$tmp/slurm/slurm.conf
(umask 077 && head -c 1024 /dev/urandom >"$tmp/slurm/munge.key")

daemon() { # its name, and the command that stays in the foreground
  local log=$tmp/slurm/$1.out
  shift
  "$@" >"$log" 2>&1 &
  daemons+=($!)
}
daemon munged munged --foreground --force --origin=127.0.0.1 --num-threads=2 --socket="$tmp/slurm/munge.socket" \
  --key-file="$tmp/slurm/munge.key" --pid-file="$tmp/slurm/munge.pid" --seed-file="$tmp/slurm/munge.seed" --log-file="$tmp/slurm/munged.log"
await 10 "munged's socket" test -S "$tmp/slurm/munge.socket"
daemon slurmctld slurmctld -D -c
daemon slurmd slurmd -D -N "$node"
idle() { [ "$(sinfo -h -o %T 2>/dev/null)" = idle ]; }
await 20 "Slurm's node" idle
said "Slurm $(slurmctld -V | cut -d' ' -f2) is up: a node of 2 processors"

# Jobs are begun by the submit script alone. Whatever the environment sets for it is
# taken off.
unset MEMORY CPUS ARRAY OPTIONS
export MEMORY=200M MERGE_MEMORY=500M TIME=5
jobs=$(scripts/cluster/slurm.sh 8 "$tmp/out" "$tmp/stations" "${site[@]}")
read -r array merge <<<"$jobs"
said "array $array of 8 jobs, and merge $merge after it"

# One of the jobs is stopped in the midst. On a fast machine it may end before that:
# then the next.
queued() { [ "$(squeue -h -o %t -j "$1" 2>/dev/null)" = PD ]; }
stopped=
for share in 1 3 4 5 6 7 8; do
  part=$tmp/out/parts/part-$share-of-8.jsonl
  await 60 "a row of share $share" test -s "$part"
  until [ "$(rows "$part" | wc -l)" -ge 4 ]; do sleep 0.02; done
  scontrol requeue "${array}_$share" 2>/dev/null || continue
  await 20 "the job of share $share to be queued again" queued "${array}_$share"
  rows "$part" >"$tmp/kept"
  if ! grep -q '^{"rows":' "$part"; then
    stopped=$share
    break
  fi
done
[ -n "$stopped" ] || fail "no job could be stopped in the midst"
said "share $stopped was stopped with $(wc -l <"$tmp/kept") of 25 records done, and its job is queued again"

ended() { [ -z "$(squeue -h -j "$array,$merge" 2>/dev/null)" ]; }
await 90 "the jobs" ended
[ -e "$tmp/out/all" ] || fail "the merge wrote nothing: $(cat "$tmp/out/log/"*.txt)"
said "all jobs have ended, the merge last: $(head -1 "$tmp/out/log/merge.txt")"

part=$tmp/out/parts/part-$stopped-of-8.jsonl
goes_on "$part" "$tmp/kept"
grep -q "Share $stopped of 8: 25 of 200 records" "$tmp/out/log/share-$stopped.txt" || fail "the log of share $stopped: $(cat "$tmp/out/log/share-$stopped.txt")"
same "$tmp/whole" "$tmp/out/all"

# A share that is submitted alone still is one of 8.
rm -r "$part" "$tmp/out/all"
jobs=$(ARRAY=$stopped scripts/cluster/slurm.sh 8 "$tmp/out" "$tmp/stations" "${site[@]}")
read -r array merge <<<"$jobs"
await 60 "the jobs" ended
[ -e "$part" ] || fail "share $stopped, submitted alone, made another part: $(ls "$tmp/out/parts")"
same "$tmp/whole" "$tmp/out/all"
said "share $stopped alone, submitted again (--array=$stopped), and the merge: the same"

# Shares that fail take the merge with them, and nothing waits for ever.
jobs=$(scripts/cluster/slurm.sh 2 "$tmp/none" "$tmp/nowhere" "${site[@]}")
read -r array merge <<<"$jobs"
await 60 "jobs that fail" ended
grep -q 'nowhere: cannot be read' "$tmp/none/log/share-2.txt" || fail "no word of what failed"
[ ! -e "$tmp/none/all" ] || fail "a merge of shares that failed"
said "a folder that is not there: the shares fail, and the merge goes with them"
