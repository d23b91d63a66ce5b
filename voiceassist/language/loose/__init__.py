"""Words of loose talk by topic, from the rules of a language; ``Loosely`` holds them together.

A method that takes ``text`` cuts it into words by itself; others get the words that the parser cut.
"""
