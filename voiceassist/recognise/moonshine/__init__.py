"""The listener ``moonshine``: a neural decoder that can only spell phrases of the step."""
