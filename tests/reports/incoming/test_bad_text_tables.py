"""Bad text tables (CSV), B41 to B50: each is read, asked about or refused in words."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.reports.incoming.filling import preview, taken_in
from workbench.domain.problem import HardstandError, Severity
from workbench.domain.project import Project
from workbench.reports.incoming.cells import Incoming
from workbench.reports.incoming.reading import read_incoming


def read(data: bytes, separator: str = "") -> Incoming:
    return read_incoming("boats.csv", data, separator=separator)


def fields(data: bytes) -> list[list[str]]:
    """What stands in the rows."""
    (sheet,) = read(data).sheets
    return [[cell.text for cell in row.cells.values()] for row in sheet.rows]


def refusal(data: bytes) -> tuple[str, str]:
    """Where and with which sentence a file is refused."""
    with pytest.raises(HardstandError) as caught:
        read(data)
    (problem,) = caught.value.problems
    assert problem.severity is Severity.REFUSED
    assert problem.remedy
    return problem.where, problem.message


def names(project: Project) -> set[str]:
    return {one.boat.name for one in project.boats.values()}


@pytest.mark.parametrize(
    ("mark", "words"), [(";", "semicolons"), ("\t", "tabs"), ("|", "bars"), (",", "commas")]
)
def test_b41_the_separator_is_found_out_and_said(mark: str, words: str) -> None:
    text = f"Name{mark}Price{mark}Lies at\nZoe{mark}20000{mark}North Yard\n"

    incoming = read(text.encode())

    assert fields(text.encode())[1] == ["Zoe", "20000", "North Yard"]
    assert incoming.read_as == f"Text in UTF-8, columns divided by {words}."
    assert incoming.read_as in preview(text).read_as


def test_b41_a_line_that_states_the_separator_counts() -> None:
    data = b"sep=|\r\nName|Price, asked\r\nZoe|20,000\r\n"

    assert fields(data) == [["Name", "Price, asked"], ["Zoe", "20,000"]]


def test_b41_the_separator_can_be_set_by_hand() -> None:
    (sheet,) = read(b"a;b,c\n1;2,3\n", separator=",").sheets

    assert [cell.text for cell in sheet.rows[0].cells.values()] == ["a;b", "c"]


TEXT = "Name;Lies at\nZoë;Löwen Yard\n"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (TEXT.encode("utf-8"), "UTF-8"),
        (b"\xef\xbb\xbf" + TEXT.encode("utf-8"), "UTF-8"),
        (b"\xff\xfe" + TEXT.encode("utf-16-le"), "UTF-16"),
        (b"\xfe\xff" + TEXT.encode("utf-16-be"), "UTF-16"),
        (TEXT.encode("utf-16-le"), "UTF-16"),
        (TEXT.encode("utf-16-be"), "UTF-16"),
        (TEXT.encode("cp1252"), "the Windows western code page"),
    ],
)
def test_b42_the_encoding_is_found_out_and_said(data: bytes, words: str) -> None:
    assert fields(data) == [["Name", "Lies at"], ["Zoë", "Löwen Yard"]]
    assert f"Text in {words}," in read(data).read_as


def test_b42_two_encodings_in_one_file_are_read_line_by_line_and_told_of() -> None:
    data = "Name;Lies at\nZoë;North\n".encode() + "Björn;Süd\n".encode("cp1252")

    assert fields(data)[1:] == [["Zoë", "North"], ["Björn", "Süd"]]
    (told,) = read(data).notices
    assert told.where == "boats.csv, line 2"
    assert "two encodings" in told.message


def test_b42_a_mark_that_lies_is_refused() -> None:
    where, message = refusal(b"\xef\xbb\xbfName\nZo\xeb\n")

    assert where == "boats.csv"
    assert "cannot be read as the text it says it is" in message


@pytest.mark.parametrize(
    "text",
    [
        'Name;Notes\nZoe;"never closed\nMax;fine\nTom;fine\n',
        'Name;Notes\nZoe;"closed" and more\nMax;fine\n',
    ],
)
def test_b43_a_quotation_mark_that_is_never_closed_is_refused_with_its_line(text: str) -> None:
    where, message = refusal(text.encode())

    assert where == "boats.csv, line 2"
    assert "never closed" in message


def test_b44_line_ends_inside_a_field_and_of_an_old_kind_are_read() -> None:
    assert fields(b'Name;Notes\r\nZoe;"two\r\nlines"\r\n')[1] == ["Zoe", "two\nlines"]
    assert fields(b"Name;Notes\rZoe;one\rMax;two\r")[2] == ["Max", "two"]


def test_b44_lines_after_a_field_with_line_ends_keep_their_numbers() -> None:
    (sheet,) = read(b'Name;Notes\nZoe;"two\nlines"\nMax;one\n').sheets

    assert [row.number for row in sheet.rows] == [1, 2, 4]


def test_b45_a_row_of_another_length_is_a_fault_of_that_row() -> None:
    found = preview("Name;Price;Lies at\nZoe;20000;North\nMax;30000\nTom;1;2;3\n")

    assert [(one.where, one.message) for one in found.faults] == [
        ("file.csv, line 3", "It has 2 fields and the headings 3."),
        ("file.csv, line 4", "It has 4 fields and the headings 3."),
    ]
    assert found.edit is None


def test_b46_a_field_of_ten_megabytes_is_refused() -> None:
    where, message = refusal(b"Name;Notes\nZoe;" + b"x" * 10_000_000 + b"\n")

    assert where == "boats.csv, line 2"
    assert message == "A field is longer than 1,048,576 signs."


@pytest.mark.parametrize("note", ['=HYPERLINK("http://x";"y")', "+1", "-1", "@x", "＝1"])
def test_b47_p6_what_could_act_stays_text_and_loses_only_the_apostrophe_of_export(
    note: str,
) -> None:
    kept = io.StringIO()
    csv.writer(kept, delimiter=";").writerows(
        [["Name", "Notes"], ["Zoe", note], ["Max", f"'{note}"]]
    )

    after = taken_in(kept.getvalue())

    assert after.boats["zoe"].boat.private_note == note
    assert after.boats["max"].boat.private_note == note


def test_b48_a_nought_in_the_bytes_is_refused_with_its_place() -> None:
    _, message = refusal(b"Name;Price\nZoe;2\x000000\n")

    assert message == "It is no text: byte 16 is nought."


def test_b49_a_decimal_comma_between_commas_is_shown_as_what_it_may_be() -> None:
    found = preview("Name,Price,Lies at\nZoe,20500,50,North\n")

    (fault,) = found.faults
    assert fault.where == "file.csv, line 2"
    assert fault.message == "It has 4 fields and the headings 3."
    assert "comma inside a number" in fault.remedy
    assert found.edit is None


def test_b49_a_quoted_decimal_comma_between_commas_is_read() -> None:
    price = taken_in('Name,Price,Lies at\nZoe,"20500,50",North\n').boats["zoe"].boat.asking_price

    assert price is not None
    assert str(price.amount) == "20500.50"


@pytest.mark.parametrize("text", [" \n", "\n\n"])
def test_b50_a_file_without_words_has_nought_rows(text: str) -> None:
    assert [one.message for one in preview(text).faults] == ["There is nothing in it: 0 rows."]


def test_b50_headings_alone_are_nought_rows() -> None:
    found = preview("Name;Price;Lies at\n")

    assert found.rows == 0
    assert found.edit is None
    assert found.faults == ()
    assert "0 rows" in found.summary()


def test_b78_all_line_ends_are_one_in_what_is_kept() -> None:
    note = taken_in('Name;Notes\nZoe;"a\r\nb\u2028c\rd"\n').boats["zoe"].boat.private_note

    assert note == "a\nb\nc\nd"


def test_b71_b72_control_signs_and_lone_surrogates_are_taken_out() -> None:
    data = b"\xff\xfe" + "Name;Notes\nZoe;a\x07b\x1b[0m\n".encode("utf-16-le")

    assert fields(data)[1] == ["Zoe", "ab[0m"]


@given(
    st.lists(
        st.lists(
            st.text(
                st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=12
            ),
            min_size=3,
            max_size=3,
        ),
        min_size=1,
        max_size=8,
    )
)
def test_what_the_standard_writer_writes_is_read_as_it_was(rows: list[list[str]]) -> None:
    """RFC 4180 by the csv module of the standard library."""
    signs = tuple("'=+-@＝＋－＠\ufeff")
    plain = [
        [f"x{field}" if field.startswith(signs) or not field.strip() else field for field in row]
        for row in rows
    ]
    kept = io.StringIO()
    csv.writer(kept, delimiter=";", quoting=csv.QUOTE_ALL).writerows([["a", "b", "c"], *plain])

    (sheet,) = read_incoming("x.csv", kept.getvalue().encode(), separator=";").sheets

    assert [[cell.text for cell in row.cells.values()] for row in sheet.rows[1:]] == [
        [
            field.replace("\ufeff", "").replace("\ufffe", "\ufffd").replace("\uffff", "\ufffd")
            for field in row
        ]
        for row in plain
    ]


def test_boats_come_in_from_a_text_table_and_a_second_time_change_nothing() -> None:
    text = "Name;Built;Asking;Lies at\nZoë;1986;€ 24.500,00;Löwen Yard\nMax;1979;18 000 EUR;\n"

    once = taken_in(text)

    assert names(once) == {"Ann", "Zoë", "Max"}
    assert preview(text, once).edit is None
    assert preview(text, once).unchanged == 2


# --- What divides the columns ---


@pytest.mark.parametrize(
    ("name", "mark"), [("semicolon", ";"), ("tab", "\t"), ("bar", "|"), ("comma", ",")]
)
def test_b41_the_separator_is_offered_and_can_be_said(name: str, mark: str) -> None:
    text = f"Name{mark}Built\nZoe{mark}1986\n"

    found = preview(text)
    said = preview(text, answers={"separator": name})

    assert [(one.key, one.now) for one in found.offers] == [("separator", name)]
    assert found.questions == ()
    assert said.edit == found.edit is not None


def test_b41_two_separators_that_fit_alike_are_asked_and_not_guessed() -> None:
    text = "Name;Built, refitted\nZoe;1986, 2004\nMax;1979, 2011\n"

    found = preview(text)
    answered = preview(text, answers={"separator": "semicolon"})

    assert [one.key for one in found.questions] == ["separator"]
    assert found.edit is None
    assert "separator" not in [one.key for one in answered.questions]
    assert answered.read_as[0] == "Text in UTF-8, columns divided by semicolons."
