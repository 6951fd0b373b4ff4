"""Runs the command: python -m lickwright."""

from lickwright.cli import main

main(prog_name="lickwright")
