"""A progress bar on the terminal's error stream, so that what is printed stays clean."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress_bar() -> Iterator[Callable[[str, float], None]]:
    """A function that takes a stage and its share done; the bar goes when the work is over."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    bar = Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        TextColumn("{task.percentage:>3.0f}%"),
        TimeElapsedColumn(),
        console=Console(stderr=True),
        transient=True,
    )
    with bar:
        task = bar.add_task("Starting", total=1.0)

        def tell(stage: str, done: float) -> None:
            bar.update(task, description=stage, completed=done)

        yield tell
