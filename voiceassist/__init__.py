"""Offline, hands-free voice assistant for electrical diagnosis."""

import os
import sys

__version__ = "0.2.0"

# onnxruntime sends usage data, and keeps a device id under the user's cache, from the moment it is
# imported; only this variable, set before that, stops it. It stands here because every process of
# ours, and so every child, comes by here before it can import anything else.
os.environ["ORT_DISABLE_TELEMETRY"] = "1"
# numpy makes its threads when it is imported. More than one gain nothing on matrices so small, take
# the processor from the rest, and lengthen every start.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
if "numpy" in sys.modules:  # a script had it first: too late for the variable
    import threadpoolctl

    threadpoolctl.threadpool_limits(1, user_api="blas")
