"""Speech models that the user supplies: kept in one place, whole, and checked."""
