"""The baseline: a PySide6 window with an empty table, painted once; says so with its memory."""

import sys

from PySide6.QtWidgets import QApplication, QMainWindow, QTableView

application = QApplication(sys.argv[:1])
window = QMainWindow()
table = QTableView()
window.setCentralWidget(table)
window.resize(1440, 900)
window.show()
application.processEvents()
print("usable", flush=True)

# After the time was taken.
from tests.benchmarks.children.memory import resident_megabytes  # noqa: E402

print(f"memory {resident_megabytes()}", flush=True)
sys.stdout.flush()
