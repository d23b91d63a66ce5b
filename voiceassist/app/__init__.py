"""Joins the rooms: settings, names to objects, the loop."""
