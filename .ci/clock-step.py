# Moves a machine's clock for one program alone, to see what it does; Linux on amd64, with gdb. The program is run without a vDSO, so that it asks the
# kernel for the time, and CLOCK_REALTIME is answered with the seconds more that stand in a file:
#
#   echo 0 >offset
#   sh -c 'echo $$ >pid; kill -STOP $$; exec legclock fly round.yaml'    # in one terminal
#   PID=$(cat pid) OFFSET=offset gdb -q -batch -x .ci/clock-step.py   # in another
#   echo 3600 >offset                                                    # an hour ahead
#
# Now and then gdb loses the program as it is attached ("No registers"): begin again.
import os
import signal
import struct

import gdb

for setting in ("pagination off", "confirm off", "print thread-events off", "auto-load no", "debuginfod enabled off", "language c"):
    try:
        gdb.execute("set " + setting, to_string=True)
    except gdb.error:  # one that this gdb does not have
        pass
pid = int(os.environ["PID"])
gdb.execute("attach %d" % pid, to_string=True)
gdb.execute("handle all nostop noprint pass", to_string=True)
gdb.execute("catch exec", to_string=True)
os.kill(pid, signal.SIGCONT)
gdb.execute("continue", to_string=True)
memory = gdb.selected_inferior()


def word(at):
    return struct.unpack("<Q", bytes(memory.read_memory(at, 8)))[0]


# The stack of a new program: arguments, environment, auxiliary vector. There AT_SYSINFO_EHDR becomes AT_IGNORE.
at = int(gdb.parse_and_eval("(unsigned long)$rsp"))
at += 8 * (word(at) + 2)
while word(at):
    at += 8
at += 8
while word(at):
    if word(at) == 33:
        memory.write_memory(at, struct.pack("<Q", 1))
    at += 16

gdb.execute("delete", to_string=True)
gdb.execute("catch syscall clock_gettime", to_string=True)
while True:  # until the program has ended, which is an error to gdb
    gdb.execute("continue", to_string=True)
    done, clock = (int(gdb.parse_and_eval("(long)" + register)) for register in ("$rax", "$rdi"))
    if done == 0 and clock == 0:
        seconds = int(open(os.environ["OFFSET"]).read() or 0)  # empty while it is being written
        to = int(gdb.parse_and_eval("(unsigned long)$rsi"))
        now = struct.unpack("<q", bytes(memory.read_memory(to, 8)))[0]
        memory.write_memory(to, struct.pack("<q", now + seconds))
