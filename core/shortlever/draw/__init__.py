"""Pictures as SVG text."""
