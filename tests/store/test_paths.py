"""The program's files are found wherever it is installed, and no name leads out of them (B61)."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from workbench import paths
from workbench.paths import ResourceError, resource, resource_names, resources_root


def test_a_resource_of_the_source_tree_is_found() -> None:
    assert resource("schema/boat.schema.json").is_file()
    assert "schema/boat.schema.json" in resource_names("schema", ".schema.json")
    assert resource_names("no such folder") == ()


@pytest.mark.parametrize(
    "name",
    [
        "",
        "/etc/passwd",
        "../pyproject.toml",
        "schema/../../README.md",
        "C:/x",
        "C:x",
        "a\\b",
        "a\0",
    ],
)
def test_a_name_that_leads_elsewhere_is_refused(name: str) -> None:
    with pytest.raises(ResourceError, match="relative"):
        resource(name)
    if name:
        with pytest.raises(ResourceError, match="relative"):
            resource_names(name)


def test_an_unknown_name_is_refused_with_those_beside_it() -> None:
    with pytest.raises(ResourceError, match=r"boat\.schema\.json"):
        resource("schema/boot.schema.json")


def test_an_installed_program_finds_its_own_files(tmp_path: Path) -> None:
    """As in a wheel: the resources lie inside the package, and there is no tree around it."""
    package = tmp_path / "site" / "workbench"
    package.mkdir(parents=True)
    for name in ("__init__.py", "paths.py"):
        shutil.copy(Path(paths.__file__).parent / name, package / name)
    shutil.copytree(resources_root() / "schema", package / "resources" / "schema")
    code = "from workbench.paths import resource; print(resource('schema/boat.schema.json'))"

    done = subprocess.run(
        [
            sys.executable,
            "-I",
            "-c",
            f"import sys; sys.path.insert(0, {str(tmp_path / 'site')!r}); {code}",
        ],
        capture_output=True,
        text=True,
        check=True,
    )

    assert Path(done.stdout.strip()) == package / "resources" / "schema" / "boat.schema.json"


def test_without_its_files_the_program_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(paths, "_PACKAGE", tmp_path / "a" / "b")

    with pytest.raises(ResourceError, match="Install it again"):
        resources_root()


def test_the_users_folders_are_apart_and_none_is_made(own_user_folders: Path) -> None:
    folders = [paths.data_folder(), paths.settings_folder(), paths.cache_folder()]

    assert len(set(folders)) == 3
    assert all(own_user_folders in folder.parents for folder in folders)
    assert not any(folder.exists() for folder in folders)


def test_everything_can_be_kept_on_a_stick(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HARDSTAND_HOME", str(tmp_path))

    assert paths.data_folder() == tmp_path / "data"
    assert paths.settings_folder() == tmp_path / "config"
    assert paths.cache_folder() == tmp_path / "cache"
    assert paths.documents_folder() == tmp_path / "documents"
