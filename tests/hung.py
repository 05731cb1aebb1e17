"""When a test stops waiting for a child: far beyond what a loaded machine takes, so that only a hang is given up."""

HUNG = 900  # seconds; two children that took 20 s alone took over 120 beside a load of 35 on two cores
