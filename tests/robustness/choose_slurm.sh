#!/usr/bin/env bash
# Runs tools/choose-slurm on a Slurm of its own (munged, slurmctld, slurmd) in a folder of its own, and compares the
# results byte by byte with those of one process. Exit 77: Slurm is not there or does not start on this machine.
#
#     choose_slurm.sh PROGRAM SOURCE_FOLDER
set -euo pipefail
program=$1 source=$2
export PATH=$PATH:/usr/sbin:/sbin
skip() {
    echo "skipped: $1"
    exit 77
}
for tool in munged slurmctld slurmd sbatch sinfo squeue; do
    command -v $tool >/dev/null || skip "$tool is not installed (Debian: slurm-wlm and munge)"
done

work=$(mktemp -d)
daemons=()
end() {
    for ((k = ${#daemons[@]} - 1; k >= 0; --k)); do kill "${daemons[k]}" 2>/dev/null && wait "${daemons[k]}" || true; done
    rm -rf "$work"
}
trap end EXIT
chmod 755 "$work"
mkdir "$work"/{state,spool,munge,run}

free_port() { python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])'; }
host=$(hostname -s) user=$(id -un)
cat >"$work/slurm.conf" <<CONF
ClusterName=test
SlurmctldHost=$host(127.0.0.1)
SlurmctldPort=$(free_port)
SlurmdPort=$(free_port)
SlurmUser=$user
SlurmdUser=$user
AuthType=auth/munge
AuthInfo=socket=$work/munge/socket
CredType=cred/munge
StateSaveLocation=$work/state
SlurmdSpoolDir=$work/spool
SlurmctldPidFile=$work/slurmctld.pid
SlurmdPidFile=$work/slurmd.pid
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
AccountingStorageType=accounting_storage/none
SwitchType=switch/none
MpiDefault=none
MailProg=/bin/true
SchedulerType=sched/builtin
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
ReturnToService=2
NodeName=$host NodeAddr=127.0.0.1 CPUs=2 State=UNKNOWN
PartitionName=test Nodes=$host Default=YES MaxTime=INFINITE State=UP
CONF
export SLURM_CONF=$work/slurm.conf
head -c 1024 /dev/urandom >"$work/munge/key"
chmod 600 "$work/munge/key"

start() { # NAME COMMAND...
    "${@:2}" >"$work/$1.log" 2>&1 &
    daemons+=($!)
}
start munged munged --foreground --force --socket="$work/munge/socket" --key-file="$work/munge/key" \
    --pid-file="$work/munge/pid" --seed-file="$work/munge/seed" --log-file="$work/munge/log"
for ((k = 0; k < 100; ++k)); do [[ -S $work/munge/socket ]] && break || sleep 0.1; done
start slurmctld slurmctld -D -f "$SLURM_CONF"
start slurmd slurmd -D -f "$SLURM_CONF" -N "$host"
for ((k = 0; k < 150; ++k)); do [[ $(sinfo -h -o %t 2>/dev/null) == idle ]] && break || sleep 0.2; done
if [[ $(sinfo -h -o %t 2>/dev/null) != idle ]]; then
    tail -n 5 "$work"/{munged,slurmctld,slurmd}.log "$work/munge/log" || true
    skip "a Slurm of one machine does not start here"
fi

mkdir "$work/sweep"
cd "$work/sweep"
"$source/tests/robustness/small_sweep.sh" "$source" >s.toml
export PULLCAST=$program SBATCH_TIMELIMIT=10
"$program" choose s.toml --out alone >/dev/null 2>alone.log || { cat alone.log; exit 1; }

"$source/tools/choose-slurm" s.toml 3 out/shared
for ((k = 0; k < 900; ++k)); do [[ -n $(squeue -h) ]] && sleep 0.2 || break; done
failed=0
[[ -d out/shared ]] || { echo "there are no results:"; failed=1; }
for name in choice.json combinations.csv runs.csv; do
    cmp alone/$name out/shared/$name || failed=1
done
for k in 1 2 3; do [[ -s out/shared.$k-of-3.runs ]] || { echo "shard $k wrote nothing"; failed=1; }; done
if ((failed)); then tail -n 20 out/*.log "$work"/slurm*.log; fi
exit $failed
