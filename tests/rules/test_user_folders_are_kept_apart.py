"""The tests never touch the folders of whoever runs them."""

import os
from pathlib import Path

import platformdirs


def test_every_user_folder_lies_below_the_tests_own_home(own_user_folders: Path) -> None:
    folders = (
        platformdirs.user_data_path("hardstand"),
        platformdirs.user_cache_path("hardstand"),
        platformdirs.user_config_path("hardstand"),
        platformdirs.user_state_path("hardstand"),
        platformdirs.user_documents_path(),
        Path.home() / "anything",
    )

    assert all(own_user_folders in folder.parents for folder in folders), folders


def test_two_tests_do_not_share_a_home(own_user_folders: Path) -> None:
    # Both halves run in one process; the second would find what the first left.
    assert list(own_user_folders.iterdir()) == []
    (own_user_folders / "left-behind").touch()


def test_two_tests_do_not_share_a_home_either_way(own_user_folders: Path) -> None:
    assert list(own_user_folders.iterdir()) == []
    (own_user_folders / "left-behind").touch()


def test_the_locale_is_neutral() -> None:
    assert os.environ["LC_ALL"] == "C.UTF-8"
    assert "LANGUAGE" not in os.environ
