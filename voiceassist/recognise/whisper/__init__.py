"""The listener ``whisper``: a large model that can only write phrases of the step."""
