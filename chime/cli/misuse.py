"""What is wrong with a call that cannot run, in the voice of chime; loaded only then."""

import os
from collections.abc import Collection, Sequence

import click

from chime.cli.reading import Misused, shortened
from chime.diagnostics.suggest import nearest


def no_such_command(name: str, commands: Collection[str]) -> Misused:
    """Say that there is no such command, and which may be meant."""
    near = nearest(name, commands)
    if near:
        offer = f"did you mean {one_of(near)}?"
    elif name.endswith(".chime") or os.path.isfile(name):
        offer = f"did you mean chime check {shortened(name)}?"
    else:
        offer = "chime --help lists the commands"
    return Misused(f'there is no command called "{shortened(name)}"; {offer}')


def in_words(error: click.UsageError, group: click.Context | None) -> Misused:
    """Return what click found, in our own words; `group` is the call of chime that holds the command's."""
    command = _command(error, group)
    if isinstance(error, click.NoSuchOption):
        return Misused(_no_such_option(error.option_name, command))
    if isinstance(error, click.BadOptionUsage):
        return Misused(_wrong_value(error.option_name, command))
    if isinstance(error, click.MissingParameter) and error.param is not None:
        return Misused(f"{_name(error.param)} is missing; write: {_synopsis(command)}")
    if isinstance(error, click.BadParameter) and error.param is not None:
        return Misused(f"{error.param.opts[0]} is {one_of(_choices(error.param))}")
    if command is None:
        return Misused("no command is named; chime --help lists them")
    _, _, words = error.message.rstrip(")").partition("(")
    return Misused(f'"{shortened(words)}" is too much; write: {_synopsis(command)}')


def offered(near: Sequence[str], otherwise: str) -> str:
    """Return `did you mean this or that?`, or other words where nothing is near."""
    return f"did you mean {one_of(near)}?" if near else otherwise


def one_of(words: Sequence[str]) -> str:
    """Return `this`, `this or that`, `this, that or the other`."""
    *before, last = words
    return f"{', '.join(before)} or {last}" if before else last


def _command(error: click.UsageError, group: click.Context | None) -> click.Command | None:
    """Return the command that was called; None if what is wrong stands before one."""
    context = error.ctx
    if context is not None and context.parent is not None:
        return context.command
    # An option that ends the line is found wanting without a word of whose it is.
    if group is not None and group.invoked_subcommand is not None:
        assert isinstance(group.command, click.Group)
        return group.command.get_command(group, group.invoked_subcommand)
    return None


def _no_such_option(name: str, command: click.Command | None) -> str:
    called, known = "chime", {"--help", "--version"}
    if command is not None:
        called = f"chime {command.name}"
        known = {"--help", *(opt for param in command.params for opt in param.opts if opt.startswith("--"))}
    begun = sorted(option for option in known if option.startswith(name))
    offer = offered(begun or nearest(name, known), f"{called} --help lists them")
    return f"there is no option {shortened(name)}; {offer}"


def _wrong_value(name: str, command: click.Command | None) -> str:
    options = {opt: param for param in command.params for opt in param.opts} if command is not None else {}
    option = options.get(name)
    if isinstance(option, click.Option) and not option.is_flag:
        return f"nothing stands behind {name}; write: {name} {_metavar(option)}"
    return f"{name} stands by itself, without a value"


def _synopsis(command: click.Command | None) -> str:
    """Return how a command is called, without the options that may be left out."""
    assert command is not None
    words = ["chime", str(command.name)]
    for param in command.params:
        if isinstance(param, click.Argument):
            words.append(_metavar(param) if param.required else f"[{_metavar(param)}]")
        elif param.required:
            words.append(f"{param.opts[0]} {_metavar(param)}")
    return " ".join(words)


def _name(param: click.Parameter) -> str:
    return param.opts[0] if isinstance(param, click.Option) else _metavar(param).split()[0].rstrip(".")


def _metavar(param: click.Parameter) -> str:
    """Return the word that stands for a value in the help."""
    choices = _choices(param)
    return param.metavar or ("|".join(choices) if choices else str(param.name).upper())


def _choices(param: click.Parameter) -> tuple[str, ...]:
    return tuple(map(str, param.type.choices)) if isinstance(param.type, click.Choice) else ()
