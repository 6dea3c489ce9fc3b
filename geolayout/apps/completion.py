"""The script by which a shell completes commands, options and words."""

import click
from click.shell_completion import get_completion_class

__all__ = ["completion"]

_EXAMPLES = """\b
Examples:
  geolayout completion bash >> ~/.bashrc
  geolayout completion zsh >> ~/.zshrc
  geolayout completion fish > ~/.config/fish/completions/geolayout.fish
"""


@click.command(epilog=_EXAMPLES)
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion(*, shell: str) -> None:
    """Print the script that completes commands, options, practices and layers in SHELL."""
    root = click.get_current_context().find_root()
    script = get_completion_class(shell)
    if script is not None:  # click knows all of the choices
        click.echo(script(root.command, {}, "geolayout", "_GEOLAYOUT_COMPLETE").source())
