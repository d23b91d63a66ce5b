"""Makes the weights of the project's own ear: texts, speech, noise, and the run that learns."""
