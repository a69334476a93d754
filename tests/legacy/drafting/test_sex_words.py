"""Words for sex that the reading of cells does not know by itself."""


def table(*sexes):
    return [["Ring", "Sex"], *[[f"GC2381{at}", sex] for at, sex in enumerate(sexes)]]


def test_whole_words_are_explained_without_a_question(draft_rows):
    draft = draft_rows(table("Hane", "Hona", "Hona", "ok\u00e4nd"))
    assert draft.is_sure("Sex")
    assert draft["Sex"].codes == {"Hane": "M", "Hona": "F", "ok\u00e4nd": "U"}
    assert "'Hona' is F" in draft["Sex"].evidence


def test_letters_are_proposed_and_asked_about(draft_rows):
    draft = draft_rows(table("M", "V", "V", "M"))
    assert draft["Sex"].codes == {"V": "F"}
    assert "'V' is likely F" in draft["Sex"].ask


def test_a_word_that_is_not_known_keeps_the_question(draft_rows):
    draft = draft_rows(table("Hane", "Hona", "zzz", "zzz"))
    assert "'zzz'" in draft["Sex"].ask
    assert draft["Sex"].codes == {"Hane": "M", "Hona": "F"}
