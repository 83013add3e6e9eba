"""``python -m weighstation``."""

from __future__ import annotations


def main() -> None:
    """Run the command line and leave with its exit code."""
    from weighstation.cli import app  # noqa: PLC0415 - so that importing this module costs nothing

    app(prog_name="weighstation")


if __name__ == "__main__":
    main()
