"""What loose talk is understood and heard by, made from labelled phrases."""
