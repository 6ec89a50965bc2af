"""How samples of the gallery are laid out, and the parsers and writers they use."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from workbench.window.widgets.labels import surface


def show_money(amount: object) -> str:
    """Write a sum for the samples."""
    return f"{amount:,.0f}" if isinstance(amount, float | int) else ""


def show_thousandths(millimetres: object) -> str:
    """Write a length in thousandths of an inch for the samples."""
    if not isinstance(millimetres, float):
        return ""
    return f"= {millimetres / 0.0254:.0f} thousandths of an inch"


def read_number(text: str) -> object:
    """Read a number for the samples."""
    try:
        return float(text.replace(",", "").split()[0])
    except (ValueError, IndexError):
        message = f"“{text}” is no number; type one such as 1.0 mm."
        raise ValueError(message) from None


def column(*parts: QWidget, spacing: int = 8) -> QWidget:
    """Lay samples under each other on a panel."""
    ground = surface("panel")
    lines = QVBoxLayout(ground)
    lines.setContentsMargins(24, 24, 24, 24)
    lines.setSpacing(spacing)
    for part in parts:
        lines.addWidget(part)
    lines.addStretch(1)
    return ground


def row(*parts: QWidget) -> QWidget:
    """Lay samples side by side."""
    ground = QWidget()
    line = QHBoxLayout(ground)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(16)
    for part in parts:
        line.addWidget(part)
    line.addStretch(1)
    return ground
