"""A progress bar for work that takes a while; on a terminal only, and never in what is written."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import Progress


@contextmanager
def bar(title: str) -> Iterator[Callable[[float], None]]:
    """Show a bar while the block runs; it is moved by telling the share done, 0 to 1."""
    console = Console(stderr=True)
    with Progress(transient=True, console=console, disable=not console.is_terminal) as progress:
        task = progress.add_task(title, total=1.0)
        yield lambda share: progress.update(task, completed=share)
