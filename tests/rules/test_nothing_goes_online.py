"""The program opens no connection of its own (P5); a link is handed to the system by one wrapper.

That the readers of strangers' files open none is tried with sockets blocked, beside those readers.
"""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator

import pytest

from tests.rules.source_files import ROOT, python_files

ONLINE = {
    *("socket", "ssl", "http", "urllib.request", "urllib3", "requests", "httpx", "aiohttp"),
    *("ftplib", "smtplib", "poplib", "imaplib", "telnetlib", "xmlrpc", "socketserver", "asyncio"),
    *("PySide6.QtNetwork", "PySide6.QtWebSockets", "PySide6.QtWebEngineCore"),
}


def goes_online(text: str) -> Iterator[str]:
    """The imports of a module that could open a connection."""
    for node in ast.walk(ast.parse(text)):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
        for name in names:
            if any(name == one or name.startswith(f"{one}.") for one in ONLINE):
                yield name


def test_no_module_imports_what_could_open_a_connection() -> None:
    """P5."""
    found = [
        f"{path.relative_to(ROOT)}: {name}"
        for path in python_files("workbench")
        for name in goes_online(path.read_text(encoding="utf-8"))
    ]

    assert found == []


@pytest.mark.parametrize(
    "planted",
    [
        "import socket",
        "from urllib import request",
        "from PySide6 import QtNetwork",
        "def late():\n    from http.client import HTTPSConnection",
    ],
)
def test_a_module_that_could_is_found(planted: str) -> None:
    assert list(goes_online(planted))
    assert not list(goes_online("from urllib.parse import urlsplit"))


def test_a_search_is_figured_and_its_sheets_are_written_with_sockets_blocked() -> None:
    """P5, B23: in a process of its own, where every socket is an error."""
    code = (
        "import socket, sys, tempfile\n"
        "def refuse(*_, **__): raise SystemExit('a socket was opened')\n"
        "socket.socket.connect = socket.socket.connect_ex = refuse\n"
        "socket.create_connection = socket.getaddrinfo = refuse\n"
        "from workbench.cli import run\n"
        "out = tempfile.mkdtemp()\n"
        "sys.exit(run(['export', sys.argv[1], '--out', out, '--sheet', 'offer']))\n"
    )
    sample = ROOT / "sample_projects" / "two-yards-one-spring"
    done = subprocess.run(
        [sys.executable, "-c", code, str(sample)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert "a socket was opened" not in done.stderr
    assert done.stdout.count(".pdf") >= 4, done.stderr
