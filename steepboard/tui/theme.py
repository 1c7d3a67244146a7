"""The two themes of the board: slate and amber by night, paper and copper by day. Invented."""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="steepboard-dark",
    dark=True,
    primary="#e2a44d",  # amber
    secondary="#cf7d52",  # copper
    accent="#74b8a6",  # verdigris
    foreground="#ece6da",
    background="#13181d",
    surface="#192027",
    panel="#222b34",
    boost="#2c3742",
    success="#93c47d",
    warning="#f2c45f",
    error="#ee8571",
    variables={
        "steep-1": "#33302a",
        "steep-2": "#40362a",
        "steep-3": "#503d28",
        "steep-4": "#614425",
        "steep-5": "#744a22",
        "faint": "#8f9aa3",
        "scrollbar": "#4b5966",
        "scrollbar-hover": "#5d6d7c",
        "scrollbar-active": "#cf7d52",
        "scrollbar-background": "#192027",
        "scrollbar-background-hover": "#192027",
        "scrollbar-background-active": "#192027",
    },
)
LIGHT = Theme(
    name="steepboard-light",
    dark=False,
    primary="#835308",
    secondary="#96431f",
    accent="#1f665a",
    foreground="#27211c",
    background="#f3eee4",
    surface="#fbf8f1",
    panel="#e7decd",
    boost="#dbcfb9",
    success="#3b6426",
    warning="#7c5600",
    error="#a32c1a",
    variables={
        "steep-1": "#f1e3c4",
        "steep-2": "#ecd6a8",
        "steep-3": "#e6c78c",
        "steep-4": "#dfb670",
        "steep-5": "#d6a256",
        "faint": "#6d645a",
        "scrollbar": "#b9a98d",
        "scrollbar-hover": "#a3926f",
        "scrollbar-active": "#96431f",
        "scrollbar-background": "#fbf8f1",
        "scrollbar-background-hover": "#fbf8f1",
        "scrollbar-background-active": "#fbf8f1",
    },
)
THEMES = {"dark": DARK, "light": LIGHT}
