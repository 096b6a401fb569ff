"""The look: colours, sizes and fonts from resources/styles/tokens.json, in light and dark."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any, Literal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QToolTip

from estimator.desktop.focus_ring import colour_focus_ring, install_focus_ring
from estimator.desktop.fonts import TEXT_WEIGHT, load_bundled_fonts, make_font
from estimator.desktop.stylesheet import window_style_sheet
from estimator.installed import data_root

ThemeName = Literal["light", "dark"]
ThemeChoice = Literal["desktop", "light", "dark"]


@dataclass(frozen=True)
class Colours:
    """Every colour of one theme by the name of its token; treat them as read only."""

    window: QColor
    surface: QColor
    sunken: QColor
    raised: QColor
    line: QColor
    line2: QColor
    control: QColor
    ink: QColor
    ink2: QColor
    ink3: QColor
    select: QColor
    hover: QColor
    focus: QColor
    onink: QColor
    onink2: QColor
    firm: QColor
    firm_text: QColor
    prov_line: QColor
    prov_fill: QColor
    prov_text: QColor
    exp_line: QColor
    exp_dot: QColor
    exp_fill: QColor
    exp_text: QColor
    done: QColor
    done_text: QColor
    wait: QColor
    wait_text: QColor
    attn: QColor
    attn_text: QColor
    search: QColor
    search_text: QColor
    strip: QColor
    strip_text: QColor
    strip2: QColor


@dataclass(frozen=True)
class Sizes:
    """Lengths in logical pixels: text, rows, controls and the frame of the window."""

    figure: int
    title: int
    section: int
    nav: int
    body: int
    second: int
    note: int
    body_line: int
    second_line: int
    note_line: int
    page_pad: int
    panel_pad: int
    control: int
    tool_control: int
    control_radius: int
    chip_radius: int
    row: Mapping[str, int]
    width: Mapping[str, int]
    height: Mapping[str, int]


@dataclass(frozen=True)
class PatternSizes:
    """Lengths of the patterns in logical pixels."""

    hatch_pitch_low: int
    hatch_pitch: int
    hatch_high_from: int
    hatch_stroke: float
    dot_diameter: float
    dot_grid: tuple[int, int]
    dot_shift: int
    dash: tuple[float, float]
    not_measured_dash: tuple[float, float]
    ghost_dash: tuple[float, float]
    least_width: int


@dataclass(frozen=True)
class Theme:
    """One look of the window, light or dark."""

    name: ThemeName
    colours: Colours
    sizes: Sizes
    patterns: PatternSizes
    families: tuple[str, ...]

    def font(self, pixels: int, weight: int = TEXT_WEIGHT, italic: bool = False) -> QFont:
        """A font of the theme's face: `theme.font(theme.sizes.note, 600)`."""
        return make_font(self.families, pixels, weight, italic)


def _sizes(tokens: Mapping[str, Any]) -> Sizes:
    space, kind = tokens["space"], tokens["type"]
    return Sizes(
        **kind["sizes_px"],
        **{f"{name}_line": high for name, high in kind["line_height_px"].items()},
        page_pad=space["page_pad"],
        panel_pad=space["panel_pad"],
        control=space["control_height"],
        tool_control=space["control_height_in_tool_row"],
        control_radius=space["radius"]["control"],
        chip_radius=space["radius"]["chip"],
        row=space["row"],
        width=space["widths"],
        height=space["heights"],
    )


def _pattern_sizes(patterns: Mapping[str, Any]) -> PatternSizes:
    hatch, dots = patterns["hatch"], patterns["dots"]
    return PatternSizes(
        hatch_pitch_low=hatch["pitch_low"],
        hatch_pitch=hatch["pitch"],
        hatch_high_from=hatch["high_from"],
        hatch_stroke=hatch["stroke"],
        dot_diameter=dots["diameter"],
        dot_grid=(dots["grid"][0], dots["grid"][1]),
        dot_shift=dots["shift"],
        dash=(dots["dash"][0], dots["dash"][1]),
        not_measured_dash=(
            patterns["not_measured"]["dash"][0],
            patterns["not_measured"]["dash"][1],
        ),
        ghost_dash=(patterns["ghost"]["dash"][0], patterns["ghost"]["dash"][1]),
        least_width=patterns["least_width"],
    )


@lru_cache(maxsize=2)
def load_theme(name: ThemeName) -> Theme:
    """The light or the dark look, read once from the tokens that come with the program."""
    file = data_root() / "resources" / "styles" / "tokens.json"
    tokens = json.loads(file.read_text(encoding="utf-8"))
    shades = tokens["themes"][name]["colours"]
    return Theme(
        name=name,
        colours=Colours(**{field.name: QColor(shades[field.name]) for field in fields(Colours)}),
        sizes=_sizes(tokens),
        patterns=_pattern_sizes(tokens["patterns"]),
        families=tuple(tokens["type"]["families"]),
    )


def look_named(name: str) -> ThemeChoice:
    """The look of that name; the desktop's where it is none."""
    if name == "light":
        return "light"
    return "dark" if name == "dark" else "desktop"


def theme_name_for(choice: ThemeChoice) -> ThemeName:
    """What a choice means now: the desktop's own scheme where the choice follows it."""
    if choice != "desktop":
        return choice
    scheme = QGuiApplication.styleHints().colorScheme()
    return "dark" if scheme == Qt.ColorScheme.Dark else "light"


def palette_of(theme: Theme) -> QPalette:
    """Qt's palette in the theme's colours, for whatever the style sheet does not reach."""
    shade, role = theme.colours, QPalette.ColorRole
    palette = QPalette()
    for key, colour in {
        role.Window: shade.surface,
        role.WindowText: shade.ink,
        role.Base: shade.surface,
        role.AlternateBase: shade.sunken,
        role.Text: shade.ink,
        role.PlaceholderText: shade.ink3,
        role.Button: shade.surface,
        role.ButtonText: shade.ink,
        role.BrightText: shade.onink,
        role.Highlight: shade.select,
        role.HighlightedText: shade.ink,
        role.ToolTipBase: shade.ink,
        role.ToolTipText: shade.onink,
        role.Link: shade.firm_text,
        role.LinkVisited: shade.firm_text,
        role.Accent: shade.ink,
        role.Light: shade.line,
        role.Midlight: shade.line,
        role.Mid: shade.line2,
        role.Dark: shade.control,
        role.Shadow: shade.ink,
    }.items():
        palette.setColor(key, colour)
    for key in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, key, shade.ink3)
    return palette


def _style_sheet(theme: Theme) -> str:
    shades = {field.name: getattr(theme.colours, field.name).name() for field in fields(Colours)}
    lengths = {
        field.name: size
        for field in fields(Sizes)
        if isinstance(size := getattr(theme.sizes, field.name), int)
    }
    return window_style_sheet(
        theme.name, shades, lengths | {"head": theme.sizes.row["column_head"]}
    )


class _Look(QObject):
    """Holds which theme is worn now and tells when it changes."""

    changed = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.theme: Theme | None = None
        self.choice: ThemeChoice = "light"
        self.follows_desktop = False


@lru_cache(maxsize=1)
def look() -> _Look:
    """The one holder of the theme; its signal `changed(Theme)` comes after a change."""
    return _Look()


def current_theme() -> Theme:
    """The theme worn now; the light one until `apply_theme` was called."""
    return look().theme or load_theme("light")


def apply_theme(application: QApplication, theme: Theme) -> None:
    """Dress the whole application: fonts, palette and style sheet; open windows repaint."""
    load_bundled_fonts()
    look().theme = theme
    application.setFont(theme.font(theme.sizes.body))
    QToolTip.setFont(theme.font(theme.sizes.second))
    application.setPalette(palette_of(theme))
    application.setStyleSheet(_style_sheet(theme))
    colours = theme.colours
    colour_focus_ring(colours.focus, colours.strip_text, theme.sizes.control_radius)
    install_focus_ring(application)
    look().changed.emit(theme)


def choose_theme(application: QApplication, choice: ThemeChoice) -> Theme:
    """Wear the chosen look; with "desktop" go on following the desktop's colour scheme."""
    holder = look()
    holder.choice = choice
    if not holder.follows_desktop:
        application.styleHints().colorSchemeChanged.connect(
            lambda _scheme: _wear_again(application)
        )
        holder.follows_desktop = True
    return _wear_again(application)


def _wear_again(application: QApplication) -> Theme:
    theme = load_theme(theme_name_for(look().choice))
    if theme is not look().theme:
        apply_theme(application, theme)
    return theme
