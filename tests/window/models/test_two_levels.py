"""A tree of two levels goes from any rows to any other, keeps Qt's contract, and keeps its place.

Qt's own model tester judges every step; a persistent index stands for the place of a view.
"""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPersistentModelIndex
from PySide6.QtTest import QAbstractItemModelTester

from workbench.window.models.two_levels import KEY_ROLE, Entry, Group, TwoLevelModel
from workbench.window.widgets.row_delegate import ROW_ROLE, RowParts

FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal

rows_of_a_group = st.lists(
    st.tuples(st.sampled_from("abcdefgh"), st.sampled_from(("1", "2"))),
    max_size=8,
    unique_by=lambda row: row[0],
)
whole_trees = st.lists(
    st.tuples(st.sampled_from("XYZ"), rows_of_a_group), max_size=3, unique_by=lambda one: one[0]
)
Tree = list[tuple[str, list[tuple[str, str]]]]


def groups_of(tree: Tree) -> list[Group]:
    """Groups whose rows show their key and a figure."""
    return [
        Group(
            key,
            RowParts(key, figure=str(len(rows))),
            tuple(Entry(f"{key}{name}", RowParts(name, figure=figure)) for name, figure in rows),
        )
        for key, rows in tree
    ]


def shown(model: TwoLevelModel) -> Tree:
    """What a view would read out of the model."""
    tree: Tree = []
    for row in range(model.rowCount()):
        group = model.index(row, 0)
        below = [model.index(place, 0, group) for place in range(model.rowCount(group))]
        parts = [index.data(ROW_ROLE) for index in below]
        tree.append((group.data(ROW_ROLE).title, [(one.title, one.figure) for one in parts]))
        assert group.data(ROW_ROLE).figure == str(len(below))
    return tree


@settings(max_examples=150)
@given(st.lists(whole_trees, min_size=2, max_size=5))
def test_any_rows_become_any_other(trees: list[Tree]) -> None:
    model = TwoLevelModel()
    tester = QAbstractItemModelTester(model, FATAL)

    for tree in trees:
        model.take(groups_of(tree))

        assert shown(model) == tree
    tester.deleteLater()
    model.deleteLater()


def test_a_row_that_stays_is_still_the_row_it_was() -> None:
    model = TwoLevelModel()
    model.take(groups_of([("X", [("a", "1"), ("b", "1"), ("c", "1")]), ("Y", [("d", "1")])]))
    place = QPersistentModelIndex(model.index_of("Xc"))
    other = QPersistentModelIndex(model.index_of("Yd"))
    resets: list[int] = []
    model.modelReset.connect(lambda: resets.append(1))

    model.take(groups_of([("X", [("n", "1"), ("c", "2")]), ("Y", [("e", "1"), ("d", "1")])]))

    assert (place.data(KEY_ROLE), place.row()) == ("Xc", 1)
    assert (other.data(KEY_ROLE), other.row()) == ("Yd", 1)
    assert resets == []


def test_only_what_changed_is_announced() -> None:
    model = TwoLevelModel()
    model.take(groups_of([("X", [("a", "1"), ("b", "1"), ("c", "1")])]))
    told: list[object] = []
    model.dataChanged.connect(lambda first, last, _roles: told.append(first.data(KEY_ROLE)))
    model.rowsInserted.connect(lambda _parent, first, last: told.append((first, last)))
    model.rowsRemoved.connect(lambda _parent, first, last: told.append((first, last)))

    model.take(groups_of([("X", [("a", "1"), ("b", "2"), ("c", "1")])]))
    assert told == ["Xb"]

    told.clear()
    model.take(groups_of([("X", [("a", "1"), ("b", "2"), ("c", "1")])]))
    assert told == []

    model.take(groups_of([("X", [("a", "1"), ("b", "2"), ("m", "1"), ("c", "1")])]))
    assert told == [(2, 2), ""]
