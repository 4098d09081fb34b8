"""The rule card for player and operator, made from the game's own docstrings and tables."""

import html
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from firmware.base.errors import GameError
from firmware.cabinet.hole import Hole
from firmware.cabinet.trough import Trough
from firmware.cabinet.tunnel import Tunnel
from firmware.charts.suggest import did_you_mean
from firmware.console import Console
from firmware.parts.orbit import Orbit
from firmware.parts.ramp import Ramp
from firmware.play.feature import Feature
from firmware.play.score import Award
from firmware.play.settings import Setting
from hil.games import Game

CABINET = "firmware.cabinet."
DEVICES = (Hole, Tunnel, Trough, Orbit, Ramp)
COLUMN = 54  # characters of a line in a column of the printed page
LINE = 96  # characters of a line in a terminal
TOP, BOTTOM = 34.0, 284.0  # mm from the page's edge: first line, last line
SMALL_STEP, LARGE_STEP = (
    3.9,
    7.4,
)  # mm a line: COLUMN characters fit half the page, or all of it
LARGE_LINES = int((BOTTOM - TOP) / 4.6)


@dataclass(frozen=True)
class Rule:
    """One feature: its name in words, its sentence, its awards with points (None: the rules compute them)."""

    title: str
    sentence: str
    pays: tuple[tuple[str, int | None], ...]


@dataclass(frozen=True)
class SettingLine:
    """One operator setting with its present value and range."""

    name: str
    value: int
    unit: str
    meaning: str
    least: int
    most: int


@dataclass(frozen=True)
class Card:
    """A game's rule card."""

    title: str
    rules: tuple[Rule, ...]
    settings: tuple[SettingLine, ...]


def card_of(game: Game, settings: dict[str, int] | None = None) -> Card:
    """The card of a game with these settings. Raises GameError: a feature without docstring, a setting
    without meaning."""
    console = game.console(settings=settings)
    features = [feature for feature in console.play.features if _is_rule(feature)]
    return Card(
        game.module.TITLE.decode(),
        tuple(rule_of(feature, console) for feature in features),
        tuple(_setting_line(setting, game) for setting in console.settings.all),
    )


def refusals(console: Console) -> Iterator[tuple[Feature, str]]:
    """Each feature that has no sentence for the card, or one that cannot be written, with why."""
    for feature in console.play.features:
        if _is_rule(feature):
            try:
                rule_of(feature, console)
            except GameError as error:
                yield feature, error.text


def _is_rule(feature: Feature) -> bool:
    """Whether a feature belongs on the card: it pays awards or is a rule, and no cabinet part or device."""
    if type(feature).__module__.startswith(CABINET):
        return False
    return bool(_awards(feature)) or (not isinstance(feature, DEVICES) and not _is_of_shots(feature))


def _is_of_shots(feature: Feature) -> bool:
    """Whether it is in the file of what counts as a shot."""
    return type(feature).__module__.endswith(".shots")


def _awards(feature: Feature) -> list[Award]:
    scorer = feature.play.score
    return [
        award
        for name, award in zip(scorer.names, scorer.awards, strict=True)
        if name.partition(".")[0] == feature.name
    ]


def rule_of(feature: Feature, console: Console) -> Rule:
    """A feature as on the card. Raises GameError: no sentence, or one that names no setting."""
    sentence = first_sentence(type(feature).__doc__)
    where = type(feature).__module__.replace(".", "/") + ".py"
    if not sentence:
        raise GameError(
            f"feature '{feature.name}' has no sentence for the rule card; give it a docstring", where
        )
    names = console.award_names
    pays = tuple((_in_words(names[award.ident]), award.points or None) for award in _awards(feature))
    return Rule(feature.name.replace("_", " "), _with_settings(sentence, console, where), pays)


def _with_settings(sentence: str, console: Console, where: str) -> str:
    """The sentence, with the present value of each setting that it names in braces, such as {extra_balls}."""
    values = {setting.name: f"{setting.value:,}" for setting in console.settings.all}
    for name in re.findall(r"\{(\w+)\}", sentence):
        if name not in values:
            near = did_you_mean(name, list(values))
            raise GameError(f"the sentence names a setting '{name}', which there is not{near}", where)
    return re.sub(r"\{(\w+)\}", lambda found: values[found[1]], sentence)


def _in_words(award: str) -> str:
    """What an award is called without its feature: `wax.rung_paid` is "rung paid"."""
    _, _, own = award.partition(".")
    return own.replace("_", " ")


def _setting_line(setting: Setting, game: Game) -> SettingLine:
    if not setting.meaning.strip():
        raise GameError(f"setting '{setting.name}' has no meaning; give it one line", str(game.folder))
    return SettingLine(
        setting.name, setting.value, setting.unit, setting.meaning, setting.least, setting.most
    )


def first_sentence(text: str | None) -> str:
    """The first sentence of a docstring, on one line."""
    flat = " ".join((text or "").split())
    match = re.match(r"(.+?[.!?])(?:\s|$)", flat)
    return match.group(1) if match else flat


def as_text(card: Card) -> str:
    """The card as text for a terminal."""
    lines = [card.title, "=" * len(card.title), ""]
    for rule in card.rules:
        lines += [rule.title.upper(), *_wrapped(rule.sentence, 2)]
        lines += [f"  {_points(points):>10}  {award}" for award, points in rule.pays]
        lines.append("")
    lines += ["SETTINGS", ""]
    lines += [f"  {c.value:>10,} {c.unit:<9} {c.meaning} ({c.least:,} to {c.most:,})" for c in card.settings]
    return "\n".join(lines) + "\n"


def as_markdown(card: Card) -> str:
    """The card as Markdown."""
    lines = [f"# {card.title.title()}", ""]
    for rule in card.rules:
        lines += [f"**{rule.title.capitalize()}.** {rule.sentence}", ""]
    lines += ["## What pays what", "", "| rule | award | points |", "|---|---|---:|"]
    for rule in card.rules:
        lines += [f"| {rule.title} | {award} | {_points(points)} |" for award, points in rule.pays]
    lines += ["", "## Settings", "", "| setting | now | range | meaning |", "|---|---:|---|---|"]
    lines += [
        f"| {c.name} | {c.value:,} {c.unit} | {c.least:,} to {c.most:,} | {c.meaning} |"
        for c in card.settings
    ]
    return "\n".join(lines) + "\n"


def as_svg(card: Card) -> str:
    """The card as SVG: black on white, A4 or less high, in one column of large letters or in two."""
    lines = [_block(rule) for rule in card.rules]
    columns = [lines] if sum(map(len, lines)) <= LARGE_LINES else _in_two(lines)
    tallest = max(1, *(sum(map(len, column)) for column in columns))
    step = min(LARGE_STEP if len(columns) == 1 else SMALL_STEP, (BOTTOM - TOP) / tallest)
    height = min(297, round(TOP + step * tallest + 8))
    body = [_column(column, 12 + 96 * at, step) for at, column in enumerate(columns)]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="{height}mm" '
        f'viewBox="0 0 210 {height}">\n'
        f'<rect width="210" height="{height}" fill="white"/>\n'
        f'<text x="105" y="20" font-family="sans-serif" font-size="9" font-weight="bold" '
        f'text-anchor="middle">{html.escape(card.title)}</text>\n'
        '<line x1="12" y1="25" x2="198" y2="25" stroke="black" stroke-width="0.5"/>\n'
        + "\n".join(body)
        + "\n</svg>\n"
    )


def _in_two(blocks: Sequence[list[str]]) -> list[list[list[str]]]:
    """The rules in two columns of about the same height."""
    total, at, left = sum(map(len, blocks)), 0, 0
    while left < total / 2:
        left += len(blocks[at])
        at += 1
    return [list(blocks[:at]), list(blocks[at:])]


def _block(rule: Rule) -> list[str]:
    """A rule's lines; '#' marks its heading."""
    lines = ["#" + rule.title.capitalize(), *_wrapped(rule.sentence, 0, COLUMN)]
    fixed = [f"{award}: {points:,}" for award, points in rule.pays if points]
    return [*lines, *_wrapped(" · ".join(fixed), 2, COLUMN), ""]


def _column(blocks: Sequence[Sequence[str]], x: int, step: float) -> str:
    out = []
    y = TOP
    for line in [line for block in blocks for line in block]:
        heading = line.startswith("#")
        weight = ' font-weight="bold"' if heading else ""
        size = step * (0.95 if heading else 0.8)
        indent = len(line) - len(line.lstrip())
        text = html.escape(line[1:] if heading else line.strip())
        font = f'font-family="sans-serif" font-size="{size:.2f}"{weight}'
        out.append(f'<text x="{x + indent}" y="{y:.1f}" {font}>{text}</text>')
        y += step
    return "\n".join(out)


def _points(points: int | None) -> str:
    return f"{points:,}" if points else "as built"


def _wrapped(text: str, indent: int, width: int = LINE) -> list[str]:
    words = text.split()
    lines: list[str] = []
    line = " " * indent
    for word in words:
        if line.strip() and len(line) + len(word) > width:
            lines.append(line.rstrip())
            line = " " * indent
        line += word + " "
    return [*lines, line.rstrip()] if line.strip() else lines
