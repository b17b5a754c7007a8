# SPDX-License-Identifier: Apache-2.0
"""examples/cluster on real engines on this machine: cluster_test.py PROGRAM

A single-node Slurm (munged, slurmctld, slurmd) of its own, in a folder of its own, and GNU Parallel with several local
"hosts". 8 shards; one is killed and run again; merged, the results are those of one run. Skipped (77) where the
engines are not installed (Debian: parallel, slurm-wlm, munge), Slurm also where this is not root.
"""
import os
import pathlib
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import unittest

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
DEMO = SOURCE / "data" / "demo"
CLUSTER = SOURCE / "examples" / "cluster"
PROGRAM = ""
COUNT = 8
SLURM = ("munged", "mungekey", "slurmctld", "slurmd", "sbatch", "scancel", "squeue", "sinfo")
# What stands for coolband on the engines.
FRONT = """#!{python}
import os, subprocess, sys, time
if "{shard}" not in sys.argv or os.path.exists("{marker}"):
    os.execv("{program}", ["{program}", *sys.argv[1:]])
process = subprocess.Popen(["{program}", *sys.argv[1:]])
while process.poll() is None:
    if os.path.exists("{lock}") and os.path.getsize("{lock}") > 0:
        process.kill()
        break
    time.sleep(0.001)
with open("{marker}", "w") as marker:
    marker.write(str(process.wait()))
sys.exit(137)
"""
OUTPUTS = ("fleet.txt", "fleet.csv", "fleet.jsonl", "fleet.json", "fleet.html")


def missing(*programs):
    path = os.environ.get("PATH", "") + ":/usr/sbin:/sbin"
    return [name for name in programs if shutil.which(name, path=path) is None]


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_until(true, seconds, what):
    end = time.monotonic() + seconds
    while not true():
        if time.monotonic() > end:
            raise AssertionError(f"waited in vain: {what}")
        time.sleep(0.2)


class OnEngines(unittest.TestCase):
    def setUp(self):
        temporary = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        self.addCleanup(temporary.cleanup)
        self.here = pathlib.Path(temporary.name)
        self.environment = os.environ | {"COOLBAND": PROGRAM, "PATH": os.environ["PATH"] + ":/usr/sbin:/sbin"}
        for copy in range(16):
            shutil.copytree(DEMO / f"warden-{copy % 3 + 1}", self.here / "logs" / f"ranger-{copy}")
        for path in (self.here / "logs").rglob("*"):
            os.utime(path, (1_000_000_000, 1_000_000_000))

    def call(self, *arguments, code=0, **more):
        result = subprocess.run([*map(str, arguments)], cwd=self.here, env=self.environment, capture_output=True,
                                text=True, timeout=300, check=False, **more)
        self.assertEqual(result.returncode, code, (arguments, result.stdout[-1500:], result.stderr[-1500:]))
        return result.stdout

    def one_run(self):
        """The whole fleet in one run with the bands of the shards, as a merge of one store tells it."""
        self.call("sh", CLUSTER / "shard.sh", 1, 1, "logs", "one")
        self.call("sh", CLUSTER / "merge.sh", 1, "one")
        return {name: (self.here / "one" / name).read_bytes() for name in OUTPUTS}

    def require_same(self, expected):
        for name in OUTPUTS:
            # Bands lie beside the stores of their own run.
            got = (self.here / "out" / name).read_bytes().replace(b"out/bands", b"one/bands")
            self.assertTrue(got == expected[name], f"{name} differs")

    def kill_shard_once(self, number):
        """Puts a program in front of coolband that kills the shard at its first start, as soon as it holds its store."""
        lock = self.here / "out/stores" / str(number) / "lock"
        front = self.here / "front.py"
        front.write_text(FRONT.format(python=sys.executable, program=PROGRAM, lock=str(lock), marker=str(self.marker()),
                                      shard=f"{number}/{COUNT}"))
        front.chmod(0o755)
        self.environment["COOLBAND"] = str(front)

    def marker(self):
        return self.here / "killed"

    def require_killed(self, told):
        self.assertTrue(self.marker().exists(), "the shard was never begun\n" + told)
        self.assertEqual(self.marker().read_text(), str(-signal.SIGKILL), "the shard was over before it could be killed")

    @unittest.skipIf(missing("parallel"), "GNU Parallel is not installed (Debian: parallel)")
    def test_gnu_parallel_with_several_hosts(self):
        expected = self.one_run()
        wrapper = self.here / "ssh"
        wrapper.write_text('#!/bin/sh\n# A host that is this machine: takes "HOST COMMAND" as ssh does, and sets SHELL as '
                           'sshd does.\nwhile [ "${1#-}" != "$1" ]; do shift; done\necho "$1" >>"$HOSTS_LOG"; shift\n'
                           '[ "$1" != -- ] || shift\nSHELL=/bin/sh exec sh -c "$*"\n')
        wrapper.chmod(0o755)
        self.environment |= {"PARALLEL_SSH": str(wrapper), "HOSTS_LOG": str(self.here / "hosts.log")}
        self.kill_shard_once(2)
        told = self.call("sh", CLUSTER / "gnu-parallel.sh", COUNT, "logs", "out", "1/anna,1/berta,1/clara")
        met = set((self.here / "hosts.log").read_text().split())
        self.assertEqual(met, {"anna", "berta", "clara"}, told)
        self.require_killed(told)
        self.require_same(expected)

    def start(self, *arguments):
        log = open(self.here / "daemons.log", "ab")
        process = subprocess.Popen([*map(str, arguments)], env=self.environment, stdout=log, stderr=log)
        log.close()

        def stop():
            process.terminate()
            try:
                process.wait(20)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
        self.addCleanup(stop)
        return process

    def start_slurm(self):
        state = self.here / "slurm"
        for name in ("", "ctld", "d"):
            (state / name).mkdir(mode=0o755)
        self.here.chmod(0o755)
        munge = self.here / "munge"
        munge.mkdir(mode=0o755)
        self.call("mungekey", "--create", "--keyfile", munge / "key")
        self.start("munged", "--foreground", "--force", "--key-file", munge / "key", "--socket", munge / "socket",
                   "--pid-file", munge / "pid", "--log-file", munge / "log", "--seed-file", munge / "seed")
        wait_until((munge / "socket").exists, 30, "munged")
        host = socket.gethostname().split(".")[0]
        (state / "cgroup.conf").write_text("IgnoreSystemd=yes\n")
        (state / "slurm.conf").write_text(f"""ClusterName=alone
SlurmctldHost={host}(127.0.0.1)
SlurmctldPort={free_port()}
SlurmdPort={free_port()}
AuthType=auth/munge
AuthInfo=socket={munge}/socket
CredType=cred/munge
SlurmUser=root
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
MpiDefault=none
ReturnToService=2
StateSaveLocation={state}/ctld
SlurmdSpoolDir={state}/d
SlurmctldPidFile={state}/ctld.pid
SlurmdPidFile={state}/d.pid
SlurmctldLogFile={state}/ctld.log
SlurmdLogFile={state}/d.log
SchedulerType=sched/builtin
SelectType=select/cons_tres
NodeName={host} NodeAddr=127.0.0.1 CPUs={os.cpu_count()} State=UNKNOWN
PartitionName=all Nodes={host} Default=YES MaxTime=INFINITE State=UP
""")
        self.environment["SLURM_CONF"] = str(state / "slurm.conf")
        self.start("slurmctld", "-D", "-c", "-f", state / "slurm.conf")
        self.start("slurmd", "-D", "-f", state / "slurm.conf")
        ready = ["sinfo", "-h", "-o", "%t"]
        wait_until(lambda: subprocess.run(ready, env=self.environment, capture_output=True, text=True,
                                          check=False).stdout.strip() == "idle", 60, "the node to be idle")

    def told_by_daemons(self):
        text = ""
        for path in (self.here / "daemons.log", self.here / "slurm/ctld.log", self.here / "slurm/d.log"):
            if path.exists():
                text += f"--- {path.name}\n" + path.read_text(errors="replace")[-2500:]
        return text

    @unittest.skipIf(missing(*SLURM), "Slurm is not installed (Debian: slurm-wlm, munge)")
    @unittest.skipIf(os.geteuid() != 0, "a node of one's own needs root")
    def test_a_job_array_of_slurm(self):
        try:
            self.start_slurm()
        except AssertionError as error:
            self.fail(f"{error}\n{self.told_by_daemons()}")
        expected = self.one_run()
        submit = ["sbatch", "--parsable", "--wait", f"--export=ALL,COUNT={COUNT},COOLBAND_CLUSTER={CLUSTER}"]
        script = [str(CLUSTER / "slurm-array.sbatch"), "logs", "out"]
        self.kill_shard_once(2)
        submitted = subprocess.run([*submit, f"--array=1-{COUNT}", *script], cwd=self.here, env=self.environment,
                                   capture_output=True, text=True, timeout=300, check=False)
        told = submitted.stdout + submitted.stderr
        self.require_killed(told)
        self.assertNotEqual(submitted.returncode, 0, told)
        # The merge does not take a fleet with a hole in it.
        self.call("sh", CLUSTER / "merge.sh", COUNT, "out", code=3)
        self.call(*submit, "--array=2", *script)
        self.call("sh", CLUSTER / "merge.sh", COUNT, "out")
        self.require_same(expected)


if __name__ == "__main__":
    PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
    if missing("parallel") and (missing(*SLURM) or os.geteuid() != 0):
        print("skipped: neither GNU Parallel nor Slurm is installed (Debian: parallel, slurm-wlm, munge)")
        sys.exit(77)
    unittest.main(argv=sys.argv[:1], verbosity=2)
