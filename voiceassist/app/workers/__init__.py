"""Who does what is large: this process, others on this computer, or a cluster of computers."""
