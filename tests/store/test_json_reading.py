"""Bad JSON is refused with its place and a remedy, never with a traceback (B1 to B14).

The marks are those of the project's reliability goals. What JSON allows is in RFC 8259.
"""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.store.generated import PLAIN
from tests.store.samples import sample_project
from workbench.store.codec import encode
from workbench.store.json_reading import (
    DEEPEST,
    LARGEST_FILE,
    MOST_ENTRIES,
    JsonRefusedError,
    WrittenNumber,
    cp1252_preview,
    read_json,
)
from workbench.store.json_writing import write_json
from workbench.store.kept import thaw


def refusal(data: bytes) -> JsonRefusedError:
    """How the bytes are refused."""
    with pytest.raises(JsonRefusedError) as caught:
        read_json(data)
    assert caught.value.message.endswith(".")
    assert caught.value.remedy.endswith(".")
    return caught.value


def test_a_file_cut_off_at_any_byte_is_refused() -> None:
    """B1."""
    whole = write_json(encode(sample_project().boats["boat-0"].ledger)).rstrip()

    for cut in range(len(whole)):
        assert refusal(whole[:cut]).message


@pytest.mark.parametrize(("data", "words"), [(b"", "empty"), (b"\0" * 4096, "NUL bytes")])
def test_what_a_loss_of_power_leaves_is_named_as_such(data: bytes, words: str) -> None:
    """B2."""
    assert words in refusal(data).message
    assert "loss of power" in refusal(data).message


def test_a_repeated_key_is_refused_with_its_line() -> None:
    """B3."""
    found = refusal(b'{\n "a": {"name": 1},\n "b": "name: {",\n "a": 2}')

    assert found.place == "line 4"
    assert "“a”" in found.message


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e400", "-1e999"])
def test_what_is_no_number_is_refused_with_its_line(number: str) -> None:
    """B4."""
    found = refusal(f'{{"text": "NaN Infinity 1e400",\n"x": {number}}}'.encode())

    assert found.place == "line 2"


def test_a_number_of_thousands_of_digits_is_refused() -> None:
    """B5."""
    assert refusal(b"[\n1,\n" + b"9" * 5000 + b"]").place == "line 3"
    assert refusal(b"[0." + b"9" * 5000 + b"]").place == "line 1"


@pytest.mark.parametrize("deep", [DEEPEST + 1, 900, 100_000])
def test_deep_nesting_is_refused(deep: int) -> None:
    """B6."""
    assert "deep" in refusal(b"[" * deep + b"]" * deep).message
    assert "deep" in refusal(b'{"a":' * deep + b"1" + b"}" * deep).message


def test_nesting_up_to_the_limit_is_read() -> None:
    assert read_json(b"[" * DEEPEST + b"]" * DEEPEST).notices == ()


def test_a_byte_order_mark_is_read() -> None:
    """B8."""
    assert read_json('\ufeff{"a": "ä"}'.encode()).value == {"a": "ä"}
    assert read_json('\ufeff{"a": "ä"}'.encode()).notices == ()


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-32-le"])
def test_other_unicode_encodings_are_read_and_told(encoding: str) -> None:
    """B9."""
    document = read_json('{"a": "ä"}'.encode(encoding))

    assert document.value == {"a": "ä"}
    assert "UTF-8" in document.notices[0]


def test_bytes_that_are_no_text_are_refused_with_their_offset_and_can_be_previewed() -> None:
    """B10."""
    data = '{"a": "Größe"}'.encode("cp1252")

    assert refusal(data).place == f"byte {data.index(0xF6)}"
    assert cp1252_preview(data) == '{"a": "Größe"}'


def test_half_a_character_is_replaced_and_told() -> None:
    """B11, B72: it would break the next save."""
    document = read_json(rb'{"a": "x\ud800y", "b\udfff": 1}')

    assert document.value == {"a": "x\ufffdy", "b\ufffd": 1}
    assert "replaced" in document.notices[0]
    assert read_json(write_json(document.value)).value == document.value


def test_control_signs_are_left_out_and_told() -> None:
    """B71."""
    document = read_json(rb'{"a": "x\u0000\u001b[1m\n\ty"}')

    assert document.value == {"a": "x[1m\n\ty"}
    assert "left out" in document.notices[0]


@pytest.mark.parametrize("rest", [b"x", b"{}", b" \n]", b"\0"])
def test_what_follows_the_end_is_refused(rest: bytes) -> None:
    """B12."""
    assert "after the end" in refusal(b'{"a": 1}\n' + rest).message


def test_more_rows_than_any_boat_has_are_refused() -> None:
    """B13."""
    assert "entries" in refusal(b"[" + b"1," * MOST_ENTRIES + b"1]").message
    assert read_json(b"[" + b"1," * (MOST_ENTRIES - 1) + b"1]").notices == ()


def test_a_huge_file_is_refused_by_its_size_before_it_is_parsed() -> None:
    """B14."""
    assert "larger" in refusal(b'"' + b"a" * LARGEST_FILE + b'"').message


@pytest.mark.parametrize("number", ["1.10", "-0", "-0.0", "1e5", "1E+05", "0.30000000000000004"])
def test_a_number_is_written_as_it_was_read(number: str) -> None:
    """V2."""
    data = f'{{\n "n": {number}\n}}\n'.encode()

    assert write_json(read_json(data).value) == data


@given(PLAIN)
def test_what_is_written_is_what_the_standard_parser_reads(value: object) -> None:
    """The judge is Python's own json module."""
    written = write_json({"v": value})

    assert json.loads(written) == {"v": thaw(value)}
    assert read_json(written).value == {"v": thaw(value)}
    assert written.endswith(b"\n")


def is_read_or_refused(data: bytes) -> None:
    """Nothing but the refusal with its sentence may be raised."""
    try:
        value = read_json(data).value
    except JsonRefusedError:
        return
    assert read_json(write_json(value)).value == value


@given(st.binary(max_size=60) | st.text(max_size=40).map(str.encode))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    """S1: the fuzzing of the ordinary suite."""
    is_read_or_refused(data)


@given(st.data())
def test_flipped_bytes_are_read_or_refused(data: st.DataObject) -> None:
    whole = bytearray(write_json(encode(sample_project().boats["boat-0"].boat)))
    for _ in range(data.draw(st.integers(1, 4))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    is_read_or_refused(bytes(whole))


@pytest.mark.parametrize("value", [float("nan"), float("inf"), {1: 2}.keys(), object()])
def test_what_json_cannot_say_is_not_written(value: object) -> None:
    with pytest.raises(ValueError, match="cannot be written"):
        write_json([value])


def test_a_number_that_remembers_its_text_is_an_ordinary_number() -> None:
    assert WrittenNumber("1.10") == 1.1
    assert hash(WrittenNumber("1.10")) == hash(1.1)
