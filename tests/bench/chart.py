#!/usr/bin/env python3
"""Draws the ratios of a table of the benchmark as one SVG chart.

    chart.py bench.csv chart.svg

Bars have a logarithmic scale; a stroke marks what must be reached, a dashed one what is aimed at.
"""

import csv
import html
import math
import sys

LEFT, WIDTH, ROW, TOP = 610, 420, 24, 56
LEAST, MOST = 0.01, 10000.0


def place(value):
    share = (math.log10(min(max(value, LEAST), MOST)) - math.log10(LEAST)) / math.log10(MOST / LEAST)
    return LEFT + share * WIDTH


def number(text):
    try:
        return float(text)
    except ValueError:
        return None


def stroke(value, y, dashed):
    x = place(value)
    dash = ' stroke-dasharray="3 2"' if dashed else ""
    return (f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{y - 9}" y2="{y + 9}" stroke="#000" '
            f'stroke-width="2"{dash}/>')


def chart(rows):
    height = TOP + ROW * len(rows) + 30
    parts = [f'<svg xmlns="http://www.w3.org/2000/svg" width="{LEFT + WIDTH + 90}" '
             f'height="{height}" font-family="sans-serif" font-size="12">',
             f'<rect width="100%" height="100%" fill="#fff"/>',
             '<text x="10" y="20" font-size="15">Ratios to the rivals in one run (logarithmic)'
             '</text>',
             '<text x="10" y="38">bar: measured on the invented rules; stroke: must be reached; '
             'dashed: aimed at</text>']
    for power in range(-2, 4):
        x = place(10.0 ** power)
        parts.append(f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{TOP - 8}" y2="{height - 24}" '
                     f'stroke="#ccc"/><text x="{x:.1f}" y="{height - 8}" text-anchor="middle">'
                     f'{10.0 ** power:g}x</text>')
    for i, row in enumerate(rows):
        y = TOP + ROW * i + 6
        value = float(row["value"])
        must, aim = number(row["must"]), number(row["aim"])
        # Times as long as the rival, or as the smaller size, where it is no "times as fast".
        longer = must is not None and (aim is None or must >= aim)
        label = html.escape(row["what"]) + (" [less is better]" if longer else "")
        right = max(place(each) for each in (value, must, aim) if each is not None)
        parts.append(f'<text x="{LEFT - 8}" y="{y + 4}" text-anchor="end">{label}</text>')
        parts.append(f'<rect x="{LEFT}" y="{y - 7}" width="{place(value) - LEFT:.1f}" height="14" '
                     f'fill="#4a78a8"/>')
        figure = f"{value:,.0f}" if value >= 1000 else f"{value:.3g}"
        parts.append(f'<text x="{right + 6:.1f}" y="{y + 4}">{figure}x</text>')
        for goal, dashed in ((must, False), (aim, True)):
            if goal is not None:
                parts.append(stroke(goal, y, dashed))
    return "\n".join(parts + ["</svg>"]) + "\n"


def main():
    with open(sys.argv[1], newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file)
                if number(row["value"]) is not None and row["must"]]
    with open(sys.argv[2], "w", encoding="utf-8") as file:
        file.write(chart(rows))


if __name__ == "__main__":
    main()
