"""The fields of a house style: lines, colours with their contrast, logo, signatures, terms."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.telling import told
from estimator.domain.house_style import (
    A4,
    BY_LOCALE,
    LETTER,
    PAPERS,
    Drawing,
    HouseStyle,
    Signature,
    check_style,
    contrast_on_white,
    is_colour,
)

_LINES_HIGH, _TERMS_HIGH, _LIST_HIGH = 62, 110, 66


class StyleForm(QScrollArea):
    """Shows a style in fields and answers the one that is typed.

    Signals: changed(): another style is typed; drawing_asked(object): a picture is to be chosen,
    and what takes it.
    """

    changed = Signal()
    drawing_asked = Signal(object)

    def __init__(self, formats: Formats) -> None:
        super().__init__()
        self._formats = formats
        self._style = HouseStyle()
        self._showing = False
        self.phone, self.email, self.web = QLineEdit(), QLineEdit(), QLineEdit()
        self.rule_colour, self.head_colour = QLineEdit(), QLineEdit()
        self.registration, self.footer, self.terms = (QPlainTextEdit() for _at in range(3))
        self.paper = QComboBox()
        names = {BY_LOCALE: _("As the language of the document has it"), A4: _("A4"),
                 LETTER: _("Letter")}  # fmt: skip
        for paper in PAPERS:
            self.paper.addItem(names[paper], paper)
        self.faults: dict[str, QLabel] = {}
        self.logo_words = QLabel()
        self.choose_logo, self.drop_logo = QPushButton(_("Choose\u2026")), QPushButton(_("Remove"))
        self.signer, self.capacity = QLineEdit(), QLineEdit()
        self.add_signature = QPushButton(_("Choose picture\u2026"))
        self.drop_signature = QPushButton(_("Remove"))
        self.signatures = QListWidget()
        self._build()
        self._join()

    def _build(self) -> None:
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapAllRows)
        form.setSpacing(6)
        self._row(form, "phone", _("Telephone"), self.phone)
        self._row(form, "email", _("E-mail"), self.email)
        self._row(form, "web", _("Web"), self.web)
        self._row(form, "registration", _("Registrations, a line each"), self.registration)
        self._row(form, "footer", _("Lines at the foot of each page"), self.footer)
        self._row(form, "rule_colour", _("Colour of rules"), self.rule_colour)
        self._row(form, "head_colour", _("Colour of headings"), self.head_colour)
        self._row(form, "paper", _("Paper"), self.paper)
        self.choose_logo.setAccessibleName(_("Choose the logo"))
        self.drop_logo.setAccessibleName(_("Remove the logo"))
        logo = _beside(self.logo_words, self.choose_logo, self.drop_logo)
        self._row(form, "logo", _("Logo, SVG or PNG"), logo)
        self._row(form, "terms", _("Closing terms"), self.terms)
        self.signer.setPlaceholderText(_("Name"))
        self.signer.setAccessibleName(_("Name of who signs"))
        self.capacity.setPlaceholderText(_("Capacity"))
        self.capacity.setAccessibleName(_("Capacity of who signs"))
        self.add_signature.setAccessibleName(_("Choose the picture of this signature"))
        self.drop_signature.setAccessibleName(_("Remove the chosen signature"))
        self.signatures.setAccessibleName(_("Signatures"))
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 12, 12)
        column.addLayout(form)
        title = QLabel(_("Signatures, printed on what their owner releases"))
        title.setWordWrap(True)
        fault = self._fault("signatures")
        adding = _beside(self.signer, self.capacity, self.add_signature)
        for widget in (title, adding, self.signatures, self.drop_signature, fault):
            column.addWidget(widget)
        for text, high in ((self.registration, _LINES_HIGH), (self.footer, _LINES_HIGH),
                           (self.terms, _TERMS_HIGH), (self.signatures, _LIST_HIGH)):  # fmt: skip
            text.setFixedHeight(high)
        for text in (self.registration, self.footer, self.terms):
            text.setTabChangesFocus(True)
        column.addStretch()
        self.setWidget(whole)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def _row(self, form: QFormLayout, name: str, title: str, field: QWidget) -> None:
        caption = QLabel(title)
        caption.setBuddy(field)
        field.setAccessibleName(title)
        form.addRow(caption, field)
        form.addRow(self._fault(name))

    def _fault(self, name: str) -> QLabel:
        words = QLabel()
        words.setWordWrap(True)
        words.setTextFormat(Qt.TextFormat.PlainText)
        words.setVisible(False)
        self.faults[name] = words
        return words

    def _join(self) -> None:
        for line in (self.phone, self.email, self.web, self.rule_colour, self.head_colour):
            line.textChanged.connect(self._typed)
        for text in (self.registration, self.footer, self.terms):
            text.textChanged.connect(self._typed)
        self.paper.currentIndexChanged.connect(self._typed)
        self.choose_logo.clicked.connect(lambda: self.drawing_asked.emit(self._take_logo))
        self.drop_logo.clicked.connect(lambda: self._change(logo=None))
        self.add_signature.clicked.connect(self._sign)
        self.drop_signature.clicked.connect(self._unsign)

    # What is shown and what is typed

    @property
    def style_typed(self) -> HouseStyle:
        """The style as the fields have it."""
        return replace(
            self._style,
            phone=self.phone.text().strip(), email=self.email.text().strip(),
            web=self.web.text().strip(),
            registration=_lines(self.registration), footer=_lines(self.footer),
            rule_colour=self.rule_colour.text().strip(),
            head_colour=self.head_colour.text().strip(),
            paper=str(self.paper.currentData()), terms=self.terms.toPlainText().strip(),
        )  # fmt: skip

    def show_style(self, style: HouseStyle) -> None:
        """Fill the fields."""
        self._showing = True
        self._style = style
        for field, text in (
            (self.phone, style.phone), (self.email, style.email), (self.web, style.web),
            (self.rule_colour, style.rule_colour), (self.head_colour, style.head_colour),
        ):  # fmt: skip
            field.setText(text)
        for area, words in (
            (self.registration, "\n".join(style.registration)),
            (self.footer, "\n".join(style.footer)), (self.terms, style.terms),
        ):  # fmt: skip
            area.setPlainText(words)
        self.paper.setCurrentIndex(PAPERS.index(style.paper))
        self._showing = False
        self._typed()

    def allow(self, may: bool) -> None:
        """Let the fields be changed, or only looked at."""
        for line in (self.phone, self.email, self.web, self.rule_colour, self.head_colour,
                     self.registration, self.footer, self.terms):  # fmt: skip
            line.setReadOnly(not may)
        for one in (self.paper, self.choose_logo, self.drop_logo, self.signer, self.capacity,
                    self.add_signature, self.drop_signature):  # fmt: skip
            one.setEnabled(may)

    def _change(self, **values: object) -> None:
        self._style = replace(self.style_typed, **values)  # type: ignore[arg-type]
        self._typed()

    def _typed(self) -> None:
        if self._showing:
            return
        style = self.style_typed
        logo = style.logo
        self.logo_words.setText(
            _("none")
            if logo is None
            else f"{logo.kind.upper()} {logo.width:g} \u00d7 {logo.height:g}"
        )
        shown = [f"{one.name}, {one.capacity}" if one.capacity else one.name
                 for one in style.signatures]  # fmt: skip
        if shown != [self.signatures.item(at).text() for at in range(self.signatures.count())]:
            self.signatures.clear()
            self.signatures.addItems(shown)
        self._show_faults(style)
        self.changed.emit()

    def _show_faults(self, style: HouseStyle) -> None:
        said = dict.fromkeys(self.faults, "")
        for name, colour in (
            ("rule_colour", style.rule_colour),
            ("head_colour", style.head_colour),
        ):
            if is_colour(colour):
                ratio = self._formats.number(Decimal(contrast_on_white(colour)))
                said[name] = _("Contrast on white paper {ratio} to 1").format(ratio=ratio)
        wrong = {one.place.column: one for one in check_style(style)}
        for name, words in self.faults.items():
            fault = wrong.get(name)
            text = said[name] if fault is None else f"{told(fault.message)} {told(fault.remedy)}"
            words.setText(text)
            words.setProperty("tone", "second" if fault is None else "attention")
            words.style().polish(words)
            words.setVisible(bool(text))

    # Pictures

    def _take_logo(self, drawing: Drawing) -> None:
        self._change(logo=drawing)

    def _sign(self) -> None:
        name, capacity = self.signer.text().strip(), self.capacity.text().strip()
        if not name:
            self.signer.setFocus()
            return

        def take(drawing: Drawing) -> None:
            signatures = self.style_typed.signatures
            self._change(signatures=(*signatures, Signature(name, capacity, drawing)))
            self.signer.clear()
            self.capacity.clear()

        self.drawing_asked.emit(take)

    def _unsign(self) -> None:
        at = self.signatures.currentRow()
        kept = self.style_typed.signatures
        if 0 <= at < len(kept):
            self._change(signatures=kept[:at] + kept[at + 1 :])


Take = Callable[[Drawing], None]


def _lines(field: QPlainTextEdit) -> tuple[str, ...]:
    return tuple(line.strip() for line in field.toPlainText().splitlines() if line.strip())


def _beside(*widgets: QWidget) -> QWidget:
    holder = QWidget()
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 0, 0, 0)
    for at, widget in enumerate(widgets):
        row.addWidget(widget, 0 if isinstance(widget, QPushButton) or at > 1 else 1)
    return holder
