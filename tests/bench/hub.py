"""How many learners a JupyterHub holds: ``python -m tests.bench.hub ADDRESS SHEET``.

ADDRESS is that of a hub that runs, SHEET the file with user names and passwords that ``packlearn
hub`` wrote. Each learner logs in, opens the third lesson, answers its questions up to the sliders
and moves one, all of them at the same time and once every two seconds. Memory and processor time
are read from /proc, so run it as the administrator and on the hub's machine. What the learners
lock in is deleted: use a class of its own for it.
"""

import argparse
import os
import pwd
import random
import statistics
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.bench.hub_learner import Learner, passwords

MOVES, PAUSE_S = 15, 2.0
FORGET = "from packlearn.records import Records; Records.default().forget_all()"
TICK_S = 1 / os.sysconf("SC_CLK_TCK")


def processes(users):
    """Number of a process -> group it is counted in."""
    ids = {pwd.getpwnam(user).pw_uid for user in users}
    found = {}
    for path in Path("/proc").glob("[0-9]*"):
        try:
            words = (path / "cmdline").read_bytes().replace(b"\0", b" ").decode(errors="replace")
            if path.stat().st_uid in ids:
                found[path.name] = "kernels" if "ipykernel" in words else "servers"
            elif "jupyterhub" in words.partition(" -f")[0] or "jupyterhub_idle" in words:
                found[path.name] = "hub"
            elif "configurable-http-proxy" in words:
                found[path.name] = "proxy"
            elif words.startswith("postgres"):
                found[path.name] = "database"
        except OSError:
            continue
    found[str(os.getpid())] = "this bench"
    return found


def memory_mb(found):
    """Group -> memory in MB, of shared parts each process's share (PSS)."""
    sums = {}
    for number, group in found.items():
        try:
            lines = Path(f"/proc/{number}/smaps_rollup").read_text().splitlines()
        except OSError:
            continue
        kb = next(int(line.split()[1]) for line in lines if line.startswith("Pss:"))
        sums[group] = sums.get(group, 0) + kb / 1000
    return sums


def seconds(found):
    """Number of a process -> processor time so far, in seconds."""
    spent = {}
    for number in found:
        try:
            after = Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue
        spent[number] = (int(after[11]) + int(after[12])) * TICK_S
    return spent


def arrive(learner, barrier):
    """Log in with all others at once and open the lesson; seconds to the page, and to its life."""
    barrier.wait()
    start = time.perf_counter()
    learner.log_in()
    page = time.perf_counter() - start
    assert learner.open_lesson(), (learner.user, *learner.troubles)
    return page, time.perf_counter() - start


def drag(learner, barrier):
    """Move a slider again and again; milliseconds of each move."""
    barrier.wait()
    time.sleep(random.uniform(0, PAUSE_S))
    spent = []
    for _ in range(MOVES):
        start = time.perf_counter()
        spent.append(learner.move(learner.slider))
        time.sleep(max(0.0, PAUSE_S - (time.perf_counter() - start)))
    return spent


def answer(learner, barrier):
    """Lock predictions in until the sliders open; milliseconds of each."""
    barrier.wait()
    learner.slider = learner.unveil()
    return learner.lock_ms


def together(pool, step, learners):
    """What each learner's step gives; all begin at the same moment."""
    barrier = threading.Barrier(len(learners))
    return list(pool.map(lambda one: step(one, barrier), learners))


def leave(learner, barrier):
    """Delete what was locked in, and stop the server."""
    barrier.wait()
    assert learner.until_idle(learner.run(FORGET)), (learner.user, *learner.troubles)
    learner.stop()


def tail(values):
    """Median and 95 % of some values."""
    return statistics.median(values), sorted(values)[int(0.95 * (len(values) - 1))]


def measure(hub, known, count):
    """One line of the table, for so many learners at a time."""
    learners = [Learner(hub, user, known[user]) for user in list(known)[:count]]
    users = [one.user for one in learners]
    with ThreadPoolExecutor(count) as pool:
        pages = together(pool, arrive, learners)
        locks = [ms for each in together(pool, answer, learners) for ms in each]
        found = processes(users)
        memory = memory_mb(found)
        before, start = seconds(found), time.perf_counter()
        load = os.getloadavg()[0]
        moves = [ms for each in together(pool, drag, learners) for ms in each]
        spent, after = time.perf_counter() - start, seconds(found)
        together(pool, leave, learners)
    share = {}
    for number, group in found.items():
        used = after.get(number, 0) - before.get(number, 0)
        share[group] = share.get(group, 0) + 100 * used / spent
    begun = sum(before.get(n, 0) for n, group in found.items() if group in ("servers", "kernels"))
    return {
        "begun": begun / count,
        "load": (load, os.getloadavg()[0]),
        "page": max(page for page, _ in pages),
        "alive": tail([alive for _, alive in pages]) + (max(alive for _, alive in pages),),
        "lock": tail(locks),
        "move": tail(moves),
        "memory": memory,
        "share": share,
    }


def show(count, told):
    """Print one measurement."""
    memory, share = told["memory"], told["share"]
    own = (memory.get("servers", 0) + memory.get("kernels", 0)) / count
    print(f"{count} learners, load of the machine {told['load'][0]:.1f} to {told['load'][1]:.1f}")
    alive = "median {:.1f} s, 95 % {:.1f} s, last {:.1f} s".format(*told["alive"])
    print(f"  all log in at once, first lesson alive: {alive}")
    print(f"  processor time of each server and kernel up to here: {told['begun']:.1f} s")
    print("  locking in: median {:.0f} ms, 95 % {:.0f} ms".format(*told["lock"]))
    print("  moving a slider: median {:.0f} ms, 95 % {:.0f} ms".format(*told["move"]))
    print(
        f"  memory of each learner: {own:.0f} MB (server {memory['servers'] / count:.0f}, "
        f"kernel {memory['kernels'] / count:.0f})"
    )
    for what, values, unit in (("memory", memory, "MB"), ("processor", share, "%")):
        parts = ", ".join(f"{group} {values[group]:.1f} {unit}" for group in sorted(values))
        print(f"  {what}: {parts}", flush=True)


def main():
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("hub")
    parser.add_argument("sheet")
    parser.add_argument("--learners", type=int, nargs="+", default=[1, 10, 20])
    parser.add_argument("--runs", type=int, default=1)
    args = parser.parse_args()
    known = passwords(args.sheet)
    for _ in range(args.runs):
        for count in args.learners:
            show(count, measure(args.hub, known, count))


if __name__ == "__main__":
    main()
