"""Which document of the job is shown, in which language, on which paper."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QSizePolicy, QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.quote.locales import printed_in
from estimator.desktop.telling import told
from estimator.services.paper_kinds import PaperKind
from estimator.services.print_papers import PAPERS, SIZES
from estimator.services.workshop_papers import Choices

QUOTE = "quote"  # the kind that is shown first
_DATA = int(Qt.ItemDataRole.UserRole)


@dataclass(frozen=True, slots=True)
class Paper:
    """A document as it is wanted: a kind of `PAPERS`, a locale, a size ("" as the house style
    says)."""

    kind: str
    locale: str
    size: str = ""
    which: str = ""


class PaperChoice(QWidget):
    """Boxes in a row: kind, language, paper. `which_box` stands where its owner puts it.

    Signals: chosen(): another document is wanted.
    """

    chosen = Signal()

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind_box = _box(_("Document"), 5)
        self.locale_box = _box(_("Language, figures and dates as in"), 5)
        self.size_box = _box(_("Paper size"), 3)
        self.which_box = _box(_("Which of them"), 4)
        self.which_box.hide()
        self.kind_box.setModel(_kinds(self.kind_box))
        self.choose(QUOTE)
        for locale, name in printed_in(formats.locale):
            self.locale_box.addItem(name, locale)
        words = {"": _("House paper"), "A4": "A4", "Letter": "Letter"}
        for size in SIZES:
            self.size_box.addItem(words[size], size)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        for box, share in ((self.kind_box, 5), (self.locale_box, 5), (self.size_box, 3)):
            row.addWidget(box, share)
        self.kind_box.currentIndexChanged.connect(lambda _place: self._on_kind())
        for box in self.boxes[1:]:
            box.currentIndexChanged.connect(lambda _place: self.chosen.emit())

    @property
    def paper(self) -> Paper:
        """What is chosen."""
        return Paper(
            str(self.kind_box.currentData()),
            str(self.locale_box.currentData()),
            str(self.size_box.currentData()),
            str(self.which_box.currentData() or ""),
        )

    @property
    def kind(self) -> PaperKind:
        """The kind that is chosen."""
        return next(one for one in PAPERS if one.key == self.paper.kind)

    @property
    def boxes(self) -> tuple[QComboBox, ...]:
        """The boxes, in order."""
        return self.kind_box, self.which_box, self.locale_box, self.size_box

    def title_of(self, key: str) -> str:
        """What a kind is called here."""
        return self.kind_box.itemText(self.kind_box.findData(key))

    def choose(self, key: str) -> None:
        """Choose a kind of document."""
        self.kind_box.setCurrentIndex(self.kind_box.findData(key))

    def offer(self, which: str, choices: Choices) -> None:
        """Of a kind there are several documents: which is shown, and which there are."""
        box = self.which_box
        with QSignalBlocker(box):
            box.clear()
            for code, name in choices:
                box.addItem(told(name) or code, code)
            box.setCurrentIndex(box.findData(which))
        box.setVisible(bool(choices))

    def _on_kind(self) -> None:
        self.offer("", ())
        self.chosen.emit()

    def fix_print(self, locale: str) -> None:
        """What was issued is in the language and on the paper it was issued in: show so; "" lets
        choose again."""
        if locale:
            with QSignalBlocker(self.locale_box), QSignalBlocker(self.size_box):
                if self.locale_box.findData(locale) < 0:
                    self.locale_box.addItem(locale, locale)
                self.locale_box.setCurrentIndex(self.locale_box.findData(locale))
                self.size_box.setCurrentIndex(0)
        for box in (self.locale_box, self.size_box):
            box.setEnabled(not locale)


def _kinds(parent: QComboBox) -> QStandardItemModel:
    """Kinds of document under two heads, which cannot be chosen."""
    model = QStandardItemModel(parent)
    heads = ((True, _("For the customer")), (False, _("Not for the customer")))
    for outside, title in heads:
        kinds = [one for one in PAPERS if one.for_customer is outside]
        if not kinds:
            continue
        head = QStandardItem(title)
        head.setFlags(Qt.ItemFlag.NoItemFlags)
        font = head.font()
        font.setWeight(font.Weight.DemiBold)
        head.setFont(font)
        model.appendRow(head)
        for one in kinds:
            item = QStandardItem(told(one.title))
            item.setData(one.key, _DATA)
            item.setToolTip(title)
            item.setData(f"{told(one.title)}, {title}", int(Qt.ItemDataRole.AccessibleTextRole))
            model.appendRow(item)
    return model


def _box(name: str, letters: int) -> QComboBox:
    box = QComboBox()
    box.setAccessibleName(name)
    box.setToolTip(name)
    box.setMinimumContentsLength(letters)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    box.setMinimumWidth(72)
    box.setMaxVisibleItems(20)
    return box
