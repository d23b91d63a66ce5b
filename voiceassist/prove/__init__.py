"""Proves a procedure: every fault is put into its circuit, and the steps must find it."""
