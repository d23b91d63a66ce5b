"""The pronouncing dictionary."""

from voiceassist.recognise.dictionary import Dictionary


def test_it_knows_the_words_of_its_library_and_ours_first() -> None:
    known = Dictionary("amps AE M P S\nfifteen F IH F\n")
    assert known("amps") == [("AE", "M", "P", "S")]
    assert known("fifteen") == [("F", "IH", "F")]
    assert ("F", "IH", "F", "T", "IY", "N") in Dictionary()("fifteen")


def test_a_word_may_have_several_pronunciations_or_none() -> None:
    known = Dictionary("farad F EH R AH D\nfarad(2) F EH R AE D\n")
    assert len(known("farad")) == 2
    assert len(known("either")) >= 2
    assert not known("zzyzx")
    assert not known("either(2)")
