"""A model of the circuit under test: parts and conditions in, what a meter shows out."""
