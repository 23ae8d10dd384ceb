"""A moving picture as one SVG: things that leave a scene one after the other, with words for each step.

It needs no script: the browser's own animation runs it, and who asked for less motion sees it standing still.
"""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from pourwright.engines.paper.drawing import INK, PAPER, Sprite

_SECONDS_A_STEP = 1.8
_REST = 1.6  # seconds before the first step of a scene, and after the last
_WARN = "#b5473a"


@dataclass(frozen=True, kw_only=True)
class Actor:
    """One picture in a scene. `veil` is how see-through it is drawn, 0 for solid."""

    name: str
    sprite: Sprite
    veil: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing leaves: which actor, how far on the paper (mm right and down), in which words.

    A `blocked` one shakes in red instead.
    """

    actor: str
    move_mm: tuple[float, float]
    words: str
    blocked: bool = False


@dataclass(frozen=True, kw_only=True)
class Scene:
    """What stands at first, from back to front, and the steps."""

    title: str
    actors: tuple[Actor, ...]
    steps: tuple[Step, ...]

    @property
    def seconds(self) -> float:
        """How long it runs."""
        return 2 * _REST + _SECONDS_A_STEP * len(self.steps)


def moving_picture(scenes: Sequence[Scene], *, title: str, width: int = 720) -> bytes:
    """All scenes one after the other, over and over.

    Parameters
    ----------
    scenes : at least one, each with at least one actor.
    title : for those who cannot see it.
    width : pixels at which it wants to be shown.

    Returns
    -------
    bytes
        An SVG. The words of every step are in its description too.
    """
    room = _Room.around(scenes)
    whole = sum(scene.seconds for scene in scenes)
    style, bodies = [], []
    start = 0.0
    for number, scene in enumerate(scenes):
        style.append(_shown(f"s{number}", start, start + scene.seconds, whole))
        body, rules = _scene(scene, number, start, whole, room)
        bodies.append(body)
        style += rules
        start += scene.seconds
    told = " ".join(f"{scene.title}: " + "; ".join(step.words for step in scene.steps) + "." for scene in scenes)
    size = f'width="{width}" height="{width * room.height / room.width:.0f}"'
    view = f'viewBox="{room.left:.2f} {room.top:.2f} {room.width:.2f} {room.height:.2f}"'
    css = "".join(style) + "@media (prefers-reduced-motion:reduce){*{animation:none!important}#s0{opacity:1}}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {view} role="img" aria-labelledby="t d">'
        f'<title id="t">{escape(title)}</title><desc id="d">{escape(told)}</desc><style>{css}</style>'
        f'<rect x="{room.left:.2f}" y="{room.top:.2f}" width="{room.width:.2f}" height="{room.height:.2f}" '
        f'fill="{PAPER}"/>{"".join(bodies)}</svg>\n'
    ).encode()


@dataclass(frozen=True, kw_only=True)
class _Room:
    """The paper, mm, and the size of its letters."""

    left: float
    top: float
    width: float
    height: float
    letter: float

    @staticmethod
    def around(scenes: Sequence[Scene]) -> _Room:
        sprites = [actor.sprite for scene in scenes for actor in scene.actors]
        left = min(one.left_mm for one in sprites)
        right = max(one.left_mm + one.width_mm for one in sprites)
        top = min(one.top_mm for one in sprites)
        low = max(one.top_mm + one.height_mm for one in sprites)
        beside, above = 0.22 * (right - left), 0.45 * (low - top)
        letter = (right - left + 2 * beside) / 34.0
        return _Room(
            left=left - beside,
            top=top - above,
            width=right - left + 2 * beside,
            height=low - top + above + 4.5 * letter,
            letter=letter,
        )


def _scene(scene: Scene, number: int, start: float, whole: float, room: _Room) -> tuple[str, list[str]]:
    rules, parts = [], []
    begin = {step.actor: start + _REST + k * _SECONDS_A_STEP for k, step in enumerate(scene.steps)}
    steps = {step.actor: step for step in scene.steps}
    for index, actor in enumerate(scene.actors):
        name = f"a{number}-{index}"
        step = steps.get(actor.name)
        if step is not None:
            rules.append(_leaving(name, step, begin[actor.name], whole))
        parts.append(_image(name, actor))
    low = room.top + room.height
    parts.append(_text(room, low - 3.2 * room.letter, scene.title, weight=700))
    for k, step in enumerate(scene.steps):
        name = f"w{number}-{k}"
        at = start + _REST + k * _SECONDS_A_STEP
        rules.append(_shown(name, at, at + _SECONDS_A_STEP, whole))
        words = f"{k + 1}. {step.words}"
        parts.append(_text(room, low - 1.4 * room.letter, words, name=name, colour=_WARN if step.blocked else INK))
    return f'<g id="s{number}">{"".join(parts)}</g>', rules


def _image(name: str, actor: Actor) -> str:
    one = actor.sprite
    link = base64.b64encode(one.png).decode()
    veil = f' opacity="{1.0 - actor.veil:.2f}"' if actor.veil else ""
    return (
        f'<g id="{name}"><image{veil} x="{one.left_mm:.3f}" y="{one.top_mm:.3f}" width="{one.width_mm:.3f}" '
        f'height="{one.height_mm:.3f}" href="data:image/png;base64,{link}"/></g>'
    )


def _text(room: _Room, y: float, words: str, *, name: str = "", weight: int = 400, colour: str = INK) -> str:
    tag = f' id="{name}" opacity="0"' if name else ""
    return (
        f'<text{tag} x="{room.left + room.width / 2:.2f}" y="{y:.2f}" text-anchor="middle" fill="{colour}" '
        f'font-family="DejaVu Sans, sans-serif" font-weight="{weight}" font-size="{room.letter:.2f}">'
        f"{escape(words)}</text>"
    )


def _shown(name: str, start: float, end: float, whole: float) -> str:
    """Seen only from `start` to `end`."""
    a, b = 100.0 * start / whole, 100.0 * end / whole
    frames = f"0%,{max(0.0, a - 0.01):.3f}%{{opacity:0}}{a:.3f}%,{b - 0.01:.3f}%{{opacity:1}}"
    if a <= 0.0:
        frames = f"0%,{b - 0.01:.3f}%{{opacity:1}}"
    after = f"{b:.3f}%,100%{{opacity:0}}" if b < 100.0 - 1e-6 else "100%{opacity:1}"
    return f"@keyframes k{name}{{{frames}{after}}}#{name}{{animation:k{name} {whole:.2f}s linear infinite}}"


def _leaving(name: str, step: Step, start: float, whole: float) -> str:
    """Moves away and fades; a blocked one shakes and stays."""
    x, y = step.move_mm
    a, b = 100.0 * start / whole, 100.0 * (start + 0.8 * _SECONDS_A_STEP) / whole
    if step.blocked:
        shakes = []
        for k in range(1, 8):
            off = 0.06 if k % 2 else 0.0
            shakes.append(f"{a + (b - a) * k / 8:.3f}%{{transform:translate({off * x:.2f}px,{off * y:.2f}px)}}")
        still = "{transform:none}"
        frames = f"0%,{a:.3f}%{still}{''.join(shakes)}{b:.3f}%,100%{still}"
        return f"@keyframes k{name}{{{frames}}}#{name}{{animation:k{name} {whole:.2f}s linear infinite}}"
    frames = (
        f"0%,{a:.3f}%{{transform:none;opacity:1}}{a + 0.8 * (b - a):.3f}%{{opacity:1}}"
        f"{b:.3f}%,100%{{transform:translate({x:.2f}px,{y:.2f}px);opacity:0}}"
    )
    return f"@keyframes k{name}{{{frames}}}#{name}{{animation:k{name} {whole:.2f}s ease-in infinite}}"
