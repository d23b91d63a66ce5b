"""Draws a procedure: its flow chart, and the circuit it is for."""
